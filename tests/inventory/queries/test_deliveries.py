from datetime import date

import pytest

from inventory.queries import counts, deliveries, slips
from projects.errors import NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY
from tests.factories.inventory_stock import charlies, elsewhere
from tests.factories.looking import constant

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


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
    count = made.counts.record(actor=at.cast.alice, act=act, key="k", now=NOW)

    assert slips.slip(at.cast.alice, slip_id=slip.pk).value_minor == 160_000
    assert slips.slip(at.cast.bob, slip_id=slip.pk).value_minor is None
    assert counts.count(at.cast.alice, count_id=count.pk).value_minor == -40_000
    assert counts.count(at.cast.bob, count_id=count.pk).value_minor is None
    with pytest.raises(NotFound):
        slips.slip(at.cast.charlie, slip_id=slip.pk)
    with pytest.raises(NotFound):
        counts.count(at.cast.charlie, count_id=count.pk)


def test_suppliers_that_ended_are_not_offered(at):
    gone = goods.supplier(at.cast.firm.pk, name="Old Kiln")
    gone.ended_date = TODAY
    gone.save()
    goods.supplier(at.cast.other_firm.pk, name="Ferry Cement")

    assert [row.name for row in deliveries.suppliers(at.cast.bob, today=TODAY)] == ["Hillfoot Cement Depot"]


def test_number_longer_than_any_finds_nothing(at):
    made.receive(at, packs=1)

    assert deliveries.receipts(at.cast.bob, note="N" * 100_000).rows == ()
