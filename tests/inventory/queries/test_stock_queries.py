from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.queries import counts, deliveries, movements, paging, slips, stock
from inventory.queries.movements import Question
from inventory.services import places
from projects.errors import NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


def charlies(at):
    """Charlie's firm with stock, receipts, slips and counts of its own, which must not show."""
    people = at.cast
    theirs = made.Yard(
        cast=made.replace(people, bob=people.charlie, site=people.charlie_site),
        supplier=goods.supplier(people.other_firm.pk),
        cement=goods.cement(people.other_firm.pk),
        sand=goods.sand(people.other_firm.pk),
        pour=goods.pour(people.charlie_site),
    )
    made.receive(theirs, packs=5)
    made.issue(theirs, packs=1)
    made.counts.record(
        actor=people.charlie, act=made.count_act(people.charlie_site, (theirs.cement, "4")), key="c", now=NOW
    )
    return theirs


def elsewhere(at):
    """A delivery at the firm's other site, which Bob does not see."""
    return made.deliveries.record(
        actor=at.cast.alice,
        act=made.receipt_act(at, made.receipt_line(at.cement, packs=9), site_id=at.cast.other_site.pk),
        key=made.key(),
        now=NOW,
    )


def queries(question):
    with CaptureQueriesContext(
        connection,
    ) as asked:
        question()
    return len(asked)


def constant(question, *, more):
    """Count the queries with what there is and with more of it."""
    first = queries(question)
    more()
    assert queries(question) == first
    return first


# On hand


def test_on_hand_shows_lots_oldest_first_with_ages_and_words(at):
    made.receive(at, packs=10, made_date=date(2026, 4, 20))
    made.receive(at, packs=10, made_date=date(2026, 2, 10))
    made.receive(at, packs=10, made_date=date(2026, 1, 5))
    made.receive(at, packs=10, lot_label="K9")
    made.receive(at, packs=1)

    (row,) = stock.on_hand(at.cast.alice, site_id=at.cast.site.pk, today=TODAY).rows

    assert [(lot.label, lot.age_days, lot.words) for lot in row.lots if lot.made_date] == [
        ("2026-01-05", 119, "blocked: over age"),
        ("2026-02-10", 83, "use before it is over age"),
        ("2026-04-20", 14, ""),
    ]
    assert [lot.words for lot in row.lots if not lot.made_date] == ["age not known"]
    assert (row.quantity, row.blocked, row.usable, row.without_lot) == (
        41 * BAG,
        10 * BAG,
        31 * BAG,
        BAG,
    )


def test_value_is_shown_to_who_may_see_money_alone(at):
    made.receive(at, packs=10)

    site = at.cast.site.pk
    assert stock.on_hand(at.cast.alice, site_id=site, today=TODAY).value_minor == 400_000
    assert stock.on_hand(at.cast.bob, site_id=site, today=TODAY).value_minor is None


def test_stores_are_the_actors_own(at):
    made.receive(at, packs=10)
    elsewhere(at)
    charlies(at)

    rows = stock.stores(at.cast.bob)

    assert [(row.site, row.materials, row.counted_at) for row in rows] == [(at.cast.site, 1, None)]
    assert len(stock.stores(at.cast.alice)) == 2


def test_stock_of_another_site_or_firm_is_not_found(at):
    for site in (at.cast.other_site, at.cast.charlie_site):
        with pytest.raises(NotFound):
            stock.on_hand(at.cast.bob, site_id=site.pk, today=TODAY)


def test_store_without_a_movement_is_empty(at):
    hand = stock.on_hand(at.cast.alice, site_id=at.cast.site.pk, today=TODAY)

    assert (hand.place, hand.rows, hand.value_minor) == (None, (), None)


def test_slab_holds_what_was_issued(at):
    made.receive(at, packs=10)
    made.issue(at, packs=4)

    hand = stock.at_slab(at.cast.bob, slab_id=at.pour.slab_id, today=TODAY)

    assert [row.quantity for row in hand.rows] == [4 * BAG]
    with pytest.raises(NotFound):
        stock.at_slab(at.cast.charlie, slab_id=at.pour.slab_id, today=TODAY)


# The ledger


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

    # The look-up of the store in this test; then place, material, movements, adjustments and two sums.
    assert asked == 7


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

    assert asked == 2


# Lists


@pytest.mark.parametrize(
    ("listing", "expected"),
    [
        (deliveries.receipts, 2),
        (slips.slips, 3),
        (counts.counts, 1),
    ],
    ids=["receipts", "slips", "counts"],
)
def test_lists_show_the_actors_own_and_ask_constantly(at, listing, expected):
    def one_of_each():
        made.receive(at, packs=10)
        made.issue(at, packs=1)
        book = made.balance("store", of=at.cement, site=at.cast.site)[0] // BAG
        act = made.count_act(at.cast.site, (at.cement, str(book)))
        made.counts.record(actor=at.cast.bob, act=act, key=made.key(), now=NOW)

    one_of_each()
    elsewhere(at)
    charlies(at)

    asked = constant(lambda: listing(at.cast.bob), more=lambda: [one_of_each(), one_of_each()])

    assert asked == expected
    assert {row.site for row in listing(at.cast.bob).rows} == {at.cast.site}
    assert len(listing(at.cast.bob).rows) == 3


def test_lists_page_by_key(at):
    for packs in (1, 2, 3):
        made.receive(at, packs=packs)

    first = deliveries.receipts(at.cast.bob, limit=2)
    second = deliveries.receipts(at.cast.bob, limit=2, after=first.after)

    assert [row.number for row in (*first.rows, *second.rows)] == [
        "RC-2026-0003",
        "RC-2026-0002",
        "RC-2026-0001",
    ]
    assert second.after == ""


def test_receipt_is_found_by_its_paper_note(at):
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=1), note_number="B-118")
    made.deliveries.record(actor=at.cast.bob, act=act, key="k", now=NOW)
    made.receive(at, packs=1)

    assert [row.note_number for row in deliveries.receipts(at.cast.bob, note="b-1").rows] == ["B-118"]


def test_lists_narrow_to_a_site_and_a_pour(at):
    made.receive(at, packs=9)
    elsewhere(at)
    made.issue(at, packs=1)

    site = at.cast.other_site.pk
    assert len(deliveries.receipts(at.cast.alice, site_id=site).rows) == 1
    assert len(slips.slips(at.cast.alice, site_id=site).rows) == 0
    assert len(counts.counts(at.cast.alice, site_id=site).rows) == 0
    assert len(slips.slips(at.cast.alice, pour_id=at.pour.pk).rows) == 1


# Expected deliveries


def test_expected_shows_what_is_still_to_come_and_how_late(at):
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80),))
    order = goods.ordered(at.cast.alice, act=act)
    goods.received(at.cast.bob, order=order, packs=(30,))

    (found,) = deliveries.expected(at.cast.bob, today=date(2026, 5, 10))

    assert (found.order, found.late_days) == (order, 2)
    assert [(line.left, line.packs_left) for line in found.lines] == [(50 * BAG, 50)]


def test_expected_leaves_out_the_delivered_and_the_others(at):
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=8),))
    goods.received(at.cast.bob, order=goods.ordered(at.cast.alice, act=act), packs=(8,))
    other = goods.order_act(at.cast.other_site, by=at.supplier, lines=(goods.line_of(at.cement, packs=8),))
    hidden = goods.ordered(at.cast.alice, act=other)

    assert deliveries.expected(at.cast.bob, today=TODAY) == []
    with pytest.raises(NotFound):
        deliveries.expected_order(at.cast.bob, order_id=hidden.pk, today=TODAY)


def test_expected_asks_a_constant_number_of_queries(at):
    def one_order():
        act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=8),))
        goods.ordered(at.cast.alice, act=act)

    one_order()

    asked = constant(
        lambda: deliveries.expected(at.cast.bob, today=TODAY), more=lambda: [one_order(), one_order()]
    )

    assert asked == 2


# One document


def test_receipt_sheet_says_what_is_odd(at):
    receipt = made.receive(
        at,
        packs=10,
        found=made.Decimal(9),
        made_date=date(2026, 1, 5),
        rejected=made.Decimal(1),
        reject_reason="torn",
    )

    sheet = deliveries.receipt(at.cast.alice, receipt_id=receipt.pk)

    (line,) = sheet.lines
    assert (line.short, line.over, line.unordered, line.over_age, line.unpriced) == (
        True,
        False,
        True,
        True,
        False,
    )
    assert (sheet.value_minor, len(sheet.movements)) == (8 * 40_000, 1)
    assert deliveries.receipt(at.cast.bob, receipt_id=receipt.pk).value_minor is None
    with pytest.raises(NotFound):
        deliveries.receipt(at.cast.charlie, receipt_id=receipt.pk)


def test_slip_and_count_sheets_are_the_actors_own(at):
    made.receive(at, packs=10)
    slip = made.issue(at, packs=4)
    act = made.count_act(at.cast.site, (at.cement, "5"), explanation="torn")
    count = made.counts.record(actor=at.cast.bob, act=act, key="k", now=NOW)

    assert slips.slip(at.cast.alice, slip_id=slip.pk).value_minor == 160_000
    assert slips.slip(at.cast.bob, slip_id=slip.pk).value_minor is None
    assert counts.count(at.cast.alice, count_id=count.pk).value_minor == -40_000
    assert counts.count(at.cast.bob, count_id=count.pk).value_minor is None
    with pytest.raises(NotFound):
        slips.slip(at.cast.charlie, slip_id=slip.pk)
    with pytest.raises(NotFound):
        counts.count(at.cast.charlie, count_id=count.pk)


def test_count_asks_for_what_was_kept_here(at):
    made.receive(at, packs=10)
    elsewhere(at)
    goods.steel(at.cast.firm.pk)

    assert [row.code for row in counts.countable(at.cast.bob, site_id=at.cast.site.pk)] == ["cement"]
    assert [row.code for row in slips.kept_materials(at.cast.bob)] == ["cement", "sand", "steel-12"]


def test_suppliers_that_ended_are_not_offered(at):
    gone = goods.supplier(at.cast.firm.pk, name="Old Kiln")
    gone.ended_date = TODAY
    gone.save()
    goods.supplier(at.cast.other_firm.pk, name="Ferry Cement")

    assert [row.name for row in deliveries.suppliers(at.cast.bob, today=TODAY)] == ["Hillfoot Cement Depot"]
