from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimates.models import Rate
from inventory.models import Lot, Receipt, ReceiptLine
from inventory.models.ledger import Movement
from inventory.services import deliveries, lots, posting
from inventory.services.deliveries import ReverseAct
from projects.errors import KeyReused
from projects.models import AuditEntry, Outbox
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


def record(at, *lines, by=None, **more):
    act = made.receipt_act(at, *lines, **more)
    return deliveries.record(actor=by or at.cast.bob, act=act, key=made.key(), now=NOW)


def test_delivery_as_ordered_goes_to_the_store_at_the_order_price():
    at = made.yard()
    act = goods.order_act(
        at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80, price=410_000_000),)
    )
    order = goods.ordered(at.cast.alice, act=act)

    receipt = goods.received(at.cast.bob, order=order, packs=(80,))

    # 80 bags at 410.00 each are 32,800.00.
    assert made.balance("store", of=at.cement) == (80 * BAG, 3_280_000)
    assert made.balance("supplier", of=at.cement) == (-80 * BAG, -3_280_000)
    assert receipt.match == Receipt.Match.ORDERED
    order.refresh_from_db()
    assert order.state == "closed"
    made.assert_sound()


def test_part_of_an_order_leaves_it_part_delivered():
    at = made.yard()
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80),))
    order = goods.ordered(at.cast.alice, act=act)

    goods.received(at.cast.bob, order=order, packs=(50,))

    order.refresh_from_db()
    assert order.state == "part"


def test_excess_is_recorded_and_flagged():
    at = made.yard()
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80),))
    order = goods.ordered(at.cast.alice, act=act)
    goods.received(at.cast.bob, order=order, packs=(50,))

    receipt = goods.received(at.cast.bob, order=order, packs=(31,))

    assert receipt.match == Receipt.Match.EXCESS
    assert made.balance("store", of=at.cement)[0] == 81 * BAG


def test_unordered_is_recorded_flagged_and_valued_by_the_offer():
    at = made.yard()

    receipt = made.receive(at, packs=10)

    # 10 bags at the offer's 400.00 (400,000,000 parts of 1/10,000 paisa are 40,000 paisa).
    assert receipt.match == Receipt.Match.UNORDERED
    assert made.balance("store", of=at.cement) == (10 * BAG, 400_000)


def test_delivery_against_a_draft_is_recorded_as_not_ordered():
    at = made.yard()
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80),))
    draft = goods.orders.draft(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    receipt = goods.received(at.cast.bob, order=draft, packs=(80,))

    draft.refresh_from_db()
    assert (receipt.match, draft.state) == (Receipt.Match.UNORDERED, "draft")


def test_delivery_against_a_cancelled_order_is_recorded_and_flagged():
    at = made.yard()
    order = made.ordered(at, packs=80)
    ended = goods.StepAct(order_id=order.pk, reason="ordered twice")
    goods.orders.cancel(actor=at.cast.alice, act=ended, key=made.key(), now=NOW)

    receipt = goods.received(at.cast.bob, order=order, packs=(80,))

    order.refresh_from_db()
    assert (receipt.match, order.state) == (Receipt.Match.UNORDERED, "cancelled")
    assert made.balance("store", of=at.cement)[0] == 80 * BAG


def test_delivery_against_an_order_that_a_person_has_closed_is_flagged():
    # 4 of 10 came and the rest was given up; 3 more are no longer as ordered.
    at = made.yard()
    order = made.ordered(at, packs=10)
    goods.received(at.cast.bob, order=order, packs=(4,))
    ended = goods.StepAct(order_id=order.pk, reason="the depot has run dry")
    goods.orders.close(actor=at.cast.alice, act=ended, key=made.key(), now=NOW)

    receipt = goods.received(at.cast.bob, order=order, packs=(3,))

    order.refresh_from_db()
    assert (receipt.match, order.state) == (Receipt.Match.UNORDERED, "closed")
    assert made.balance("store", of=at.cement)[0] == 7 * BAG


def test_material_without_any_price_comes_in_at_nothing():
    at = made.yard()

    receipt = made.receive(at, packs=1, of=at.sand)

    assert receipt.lines.get().value_minor == 0
    assert made.balance("store", of=at.sand) == (5_000_000, 0)


def test_rate_values_what_no_offer_does():
    at = made.yard()
    Rate.objects.create(
        material=at.sand.material,
        from_date=date(2026, 1, 1),
        basic=1_500_000_000,
        freight=500_000_000,
        set_at=NOW,
    )

    made.receive(at, packs=2, of=at.sand)

    # 10 m³ at 1,500.00 + 500.00 for a cubic metre.
    assert made.balance("store", of=at.sand) == (10_000_000, 2_000_000)


def test_short_and_rejected_parts_stay_apart():
    at = made.yard()
    line = made.receipt_line(
        at.cement, packs=60, found=Decimal(58), rejected=Decimal(3), reject_reason="wet at the corners"
    )

    receipt = record(at, line)

    row = receipt.lines.get()
    assert (row.stated_thousandths, row.found_thousandths, row.rejected_thousandths) == (
        60_000,
        58_000,
        3_000,
    )
    assert row.accepted == 55 * BAG
    assert made.balance("store", of=at.cement)[0] == 55 * BAG


def test_found_quantity_is_kept_in_its_unit_with_the_conversion_and_its_source():
    at = made.yard()

    made.receive(at, packs=4, of=at.sand)

    row = ReceiptLine.objects.get()
    assert (row.measured_in, row.stock_per_unit, row.conversion_source) == (
        "truck load",
        5_000_000_000,
        "delivery notes",
    )


def test_bars_are_counted_into_millimetres():
    at = made.yard()
    bars = goods.steel(at.cast.firm.pk)

    made.receive(at, packs=25, of=bars)

    assert made.balance("store", of=bars)[0] == 25 * 12_000


def test_weighed_bars_take_their_length_from_the_measured_mass():
    """100 t of 16 mm bar at 1.63 kg/m are 61,349.693 m; at the nominal 1.58 kg/m 63,291.139 m."""
    at = made.yard()
    bars = goods.steel(at.cast.firm.pk, size_mm=16, grams_per_metre=1_580)
    heavy = made.receipt_line(
        bars,
        packs=100,
        pack_id=None,
        unit="t",
        lot_label="heat 7",
        measured_kg_per_m=Decimal("1.63"),
    )

    record(at, heavy, note_number="88")
    record(at, replace(heavy, lot_label="heat 8", measured_kg_per_m=None))

    assert [row.accepted for row in ReceiptLine.objects.order_by("id")] == [61_349_693, 63_291_139]
    assert Lot.objects.get(label="heat 7").measured_mg_per_mm == 1_630


def test_cement_lot_without_a_label_is_named_by_its_day_of_make():
    at = made.yard()

    made.receive(at, made_date=date(2026, 4, 20))

    lot = Lot.objects.get()
    assert (lot.label, lot.made_date, lot.supplier) == ("2026-04-20", date(2026, 4, 20), at.supplier)


def test_lot_with_two_dates_of_make_is_refused():
    at = made.yard()
    made.receive(at, lot_label="W17", made_date=date(2026, 4, 20))

    with pytest.raises(lots.LotDiffers):
        made.receive(at, lot_label="W17", made_date=date(2026, 3, 20))


def test_lot_learns_what_was_not_known():
    at = made.yard()
    made.receive(at, lot_label="W17")

    made.receive(at, lot_label="W17", made_date=date(2026, 4, 20))

    assert Lot.objects.get().made_date == date(2026, 4, 20)


def test_receipt_sent_twice_counts_once():
    at = made.yard()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=10))

    first = deliveries.record(actor=at.cast.bob, act=act, key="k", now=NOW)
    again = deliveries.record(actor=at.cast.bob, act=act, key="k", now=NOW)

    assert first == again
    assert (Receipt.objects.count(), Movement.objects.count()) == (1, 1)


def test_key_with_another_act_is_refused():
    at = made.yard()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=10))
    deliveries.record(actor=at.cast.bob, act=act, key="k", now=NOW)

    with pytest.raises(KeyReused):
        deliveries.record(actor=at.cast.bob, act=replace(act, vehicle="LK 7"), key="k", now=NOW)


def test_two_firms_may_use_the_same_key():
    at = made.yard()
    other = goods.cement(at.cast.other_firm.pk)
    seller = goods.supplier(at.cast.other_firm.pk)
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=10))
    deliveries.record(actor=at.cast.bob, act=act, key="k", now=NOW)

    theirs = replace(
        act,
        site_id=at.cast.charlie_site.pk,
        supplier_id=seller.pk,
        lines=(made.receipt_line(other, packs=10),),
    )
    deliveries.record(actor=at.cast.charlie, act=theirs, key="k", now=NOW)

    assert Movement.objects.count() == 2


def test_taking_back_a_receipt_undoes_it_whole():
    at = made.yard()
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=80),))
    order = goods.ordered(at.cast.alice, act=act)
    receipt = goods.received(at.cast.bob, order=order, packs=(80,))

    goods.taken_back(at.cast.bob, receipt=receipt)

    assert made.balance("store", of=at.cement) == (0, 0)
    order.refresh_from_db()
    receipt.refresh_from_db()
    assert (order.state, receipt.reversed_at, receipt.remark) == (
        "approved",
        NOW,
        "booked on the wrong order",
    )
    assert Movement.objects.count() == 2
    made.assert_sound()


def test_taking_back_twice_is_refused():
    at = made.yard()
    receipt = made.receive(at, packs=10)
    goods.taken_back(at.cast.bob, receipt=receipt)

    with pytest.raises(posting.AlreadyReversed):
        goods.taken_back(at.cast.bob, receipt=receipt)


def test_taking_back_needs_a_reason():
    at = made.yard()
    receipt = made.receive(at, packs=10)

    with pytest.raises(deliveries.ReasonMissing):
        deliveries.reverse(
            actor=at.cast.bob, act=ReverseAct(receipt_id=receipt.pk, reason=" "), key=made.key(), now=NOW
        )


def test_receipt_that_was_used_cannot_be_taken_back():
    at = made.yard()
    receipt = made.receive(at, packs=10)
    made.issue(at, packs=4)

    with pytest.raises(posting.NotEnoughStock) as refused:
        goods.taken_back(at.cast.bob, receipt=receipt)

    assert "only 300 kg (6 × bag) are still at store, Mill Yard" in refused.value.message


def test_delivery_is_audited_and_asks_for_a_new_plan():
    at = made.yard()

    receipt = made.receive(at, packs=10)

    entry = AuditEntry.objects.get(act="deliveries.record")
    assert (entry.signed, entry.subject_id) == ("Bob", receipt.pk)
    assert Outbox.objects.filter(job="inventory.plan", firm_id=at.cast.firm.pk).count() == 1


def test_lot_made_after_the_day_it_came_is_refused():
    """The year typed wrong: it would never be over age."""
    at = made.yard()

    with pytest.raises(lots.MadeLater):
        made.receive(at, made_date=date(2027, 4, 20))
