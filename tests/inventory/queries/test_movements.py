from datetime import date, timedelta

import pytest

from inventory.queries import movements, paging
from inventory.queries.movements import Question
from inventory.services import places
from projects.errors import NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW
from tests.factories.inventory_stock import charlies, elsewhere
from tests.factories.looking import constant

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


def ledger(at, *, by=None, **more):
    question = Question(place_id=places.store(at.cast.site).pk, material_id=at.cement.material.pk, **more)
    return movements.ledger(by or at.cast.alice, question=question)


def days(n):
    return NOW + timedelta(days=n)


def filled(at):
    """On day 0: 100 bags in; day 1: 30 out; day 2: 20 in; day 3: 10 out."""
    for day, packs in enumerate((100, -30, 20, -10)):
        if packs > 0:
            act = made.receipt_act(at, made.receipt_line(at.cement, packs=packs), happened_at=days(day))
            made.deliveries.record(actor=at.cast.bob, act=act, key=made.key(), now=days(day))
        else:
            act = made.replace(made.issue_act(at, packs=-packs), happened_at=days(day))
            made.usage.issue(actor=at.cast.bob, act=act, key=made.key(), now=days(day))


def test_ledger_opens_runs_and_closes(at):
    filled(at)

    page = ledger(at, since=days(1), until=days(3))

    assert (page.opening.quantity, page.closing.quantity) == (100 * BAG, 90 * BAG)
    assert [(e.incoming, e.outgoing, e.balance.quantity) for e in page.entries] == [
        (0, 30 * BAG, 70 * BAG),
        (20 * BAG, 0, 90 * BAG),
    ]
    assert page.closing.value_minor == 90 * 40_000


def test_ledger_pages_join_without_gap_or_double(at):
    filled(at)
    made.receive(at, packs=3)
    whole = ledger(at)

    pages, after = [], ""
    while True:
        page = ledger(at, after=after, limit=2)
        pages.append(page)
        after = page.after
        if not after:
            break

    assert [e.movement for page in pages for e in page.entries] == [e.movement for e in whole.entries]
    balances = [e.balance for page in pages for e in page.entries]
    assert balances == [e.balance for e in whole.entries]
    assert [page.opening.quantity for page in pages] == [0, 70 * BAG + 33 * BAG, 93 * BAG]


def test_ledger_shows_changes_of_value_in_their_place(at):
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    first = made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=2_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    made.issue(at, packs=10)
    goods.taken_back(at.cast.bob, receipt=first)

    pages, after = [], ""
    while True:
        page = ledger(at, after=after, limit=1)
        pages.append(page)
        after = page.after
        if not after:
            break

    assert [page.entries[0].value_minor for page in pages] == [1_000, 2_000, -1_500, -1_000, -500]
    assert pages[-1].entries[0].balance == movements.Balance(0, 0)
    assert pages[-1].entries[0].adjustment is not None


def test_ledger_without_money_shows_quantities_alone(at):
    filled(at)

    page = ledger(at, by=at.cast.bob)

    assert page.closing == movements.Balance(80 * BAG, None)
    assert {entry.value_minor for entry in page.entries} == {None}


def test_ledger_of_another_site_is_not_found(at):
    elsewhere(at)
    question = Question(place_id=places.store(at.cast.other_site).pk, material_id=at.cement.material.pk)

    with pytest.raises(NotFound):
        movements.ledger(at.cast.bob, question=question)
    with pytest.raises(NotFound):
        movements.ledger(at.cast.charlie, question=question)


@pytest.mark.parametrize("cursor", ["x", "0_x", "0_2026-05-04T09:00:00_1", "0_2026-05-04T09:00:00+00:00_x"])
def test_cursor_that_was_never_given_is_refused(at, cursor):
    with pytest.raises(paging.BadCursor):
        ledger(at, after=cursor)


def test_ledger_asks_a_constant_number_of_queries(at):
    made.receive(at, packs=10)

    asked = constant(lambda: ledger(at), more=lambda: [made.issue(at, packs=1) for _ in range(3)])

    # The look-up of the store in this test; then place, material, what came, what went, both
    # in full with their ends, adjustments and three sums.
    assert asked == 12


def test_latest_movements_of_a_site(at):
    filled(at)
    elsewhere(at)
    charlies(at)

    page = movements.latest(at.cast.bob, site_id=at.cast.site.pk, limit=3)
    rest = movements.latest(at.cast.bob, site_id=at.cast.site.pk, after=page.after)

    assert [row.quantity // BAG for row in (*page.rows, *rest.rows)] == [10, 20, 30, 100]
    with pytest.raises(NotFound):
        movements.latest(at.cast.bob, site_id=at.cast.other_site.pk)


def test_latest_asks_a_constant_number_of_queries(at):
    made.receive(at, packs=10)

    asked = constant(
        lambda: movements.latest(at.cast.bob, site_id=at.cast.site.pk),
        more=lambda: [made.issue(at, packs=1) for _ in range(2)],
    )

    # The site, its places, which movements, and these in full with their two ends.
    assert asked == 6
