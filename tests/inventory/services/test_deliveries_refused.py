from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.models import Receipt, Stock
from inventory.models.ledger import Movement
from inventory.services import deliveries, loads, measures, moments, texts
from inventory.services.deliveries import ReverseAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def record(at, *lines, by=None, **more):
    act = made.receipt_act(at, *lines, **more)
    return deliveries.record(actor=by or at.cast.bob, act=act, key=made.key(), now=NOW)


def test_same_note_number_is_asked_about():
    at = made.yard()
    line = made.receipt_line(at.cement, packs=10)
    record(at, line, note_number="B-118")

    with pytest.raises(deliveries.SameNote) as refused:
        record(at, line, note_number="b-118")

    assert (refused.value.code, refused.value.field) == ("same_note", "same_note_answer")
    assert Receipt.objects.count() == 1


def test_same_note_number_with_an_answer_is_kept():
    at = made.yard()
    line = made.receipt_line(at.cement, packs=10)
    record(at, line, note_number="B-118")

    second = record(at, line, note_number="B-118", same_note_answer="second truck on one note")

    assert second.same_note_answer == "second truck on one note"


@pytest.mark.parametrize(
    ("change", "of_other"),
    [({"happened_at": NOW - timedelta(days=200), "sure_of_time": True}, False), ({}, True)],
    ids=["another year", "another supplier"],
)
def test_note_number_of_another_year_or_supplier_is_another_load(change, of_other):
    at = made.yard()
    line = made.receipt_line(at.cement, packs=10)
    record(at, line, note_number="7")
    if of_other:
        change = {"supplier_id": goods.supplier(at.cast.firm.pk, name="Weir Lane Cement").pk}

    record(at, line, note_number="7", **change)

    assert Receipt.objects.count() == 2


def test_note_number_is_free_again_once_its_receipt_is_taken_back():
    at = made.yard()
    line = made.receipt_line(at.cement, packs=10)
    first = record(at, line, note_number="7")
    goods.taken_back(at.cast.bob, receipt=first)

    record(at, line, note_number="7")

    assert Receipt.objects.filter(reversed_at=None).count() == 1


@pytest.mark.parametrize(
    ("change", "fault", "field"),
    [
        ({"found": Decimal(0)}, deliveries.NothingReceived, "found"),
        ({"found": Decimal("-1")}, measures.BadQuantity, "found"),
        ({"found": Decimal("NaN")}, measures.BadQuantity, "found"),
        ({"found": Decimal("Infinity")}, measures.BadQuantity, "found"),
        ({"found": Decimal("1E+20")}, measures.BadQuantity, "found"),
        ({"found": Decimal("0.0001")}, measures.BadQuantity, "found"),
        ({"rejected": Decimal(11), "reject_reason": "wet"}, loads.BadRejection, "rejected"),
        ({"rejected": Decimal(1)}, loads.BadRejection, "reject_reason"),
        ({"unit": "m3", "pack_id": None}, measures.BadUnit, "unit"),
        ({"measured_kg_per_m": Decimal(1)}, measures.BadUnit, "measured_kg_per_m"),
        ({"order_line_id": 1}, deliveries.OtherOrder, "order_line_id"),
        ({"reject_reason": "x" * 201}, texts.TooLong, "reject_reason"),
    ],
)
def test_bad_line_is_refused_at_its_field_and_nothing_is_kept(change, fault, field):
    at = made.yard()
    line = replace(made.receipt_line(at.cement, packs=10), **change)

    with pytest.raises(fault) as refused:
        record(at, line)

    assert refused.value.field == field
    assert (Receipt.objects.count(), Movement.objects.count(), Stock.objects.count()) == (0, 0, 0)


def test_bars_with_no_mass_are_refused():
    at = made.yard()
    line = made.receipt_line(goods.steel(at.cast.firm.pk), packs=1, measured_kg_per_m=Decimal(0))

    with pytest.raises(measures.BadQuantity):
        record(at, line)


def test_pack_of_another_material_is_refused():
    at = made.yard()

    with pytest.raises(measures.BadUnit):
        record(at, made.receipt_line(at.cement, packs=1, pack_id=at.sand.pack.pk))


def test_material_that_is_never_stored_is_refused():
    at = made.yard()
    at.sand.material.stocked = False
    at.sand.material.save()

    with pytest.raises(measures.NotStocked):
        made.receive(at, packs=1, of=at.sand)


def test_order_of_another_supplier_is_refused():
    at = made.yard()
    seller = goods.supplier(at.cast.firm.pk, name="Weir Lane Cement")
    act = goods.order_act(at.cast.site, by=seller, lines=(goods.line_of(at.cement, packs=80),))
    order = goods.ordered(at.cast.alice, act=act)

    with pytest.raises(deliveries.OtherOrder):
        record(at, made.receipt_line(at.cement, packs=1), order_id=order.pk)


def test_too_many_lines_are_refused():
    at = made.yard()

    with pytest.raises(deliveries.TooManyLines):
        record(at, *[made.receipt_line(at.cement, packs=1)] * 101)


def test_time_to_come_is_refused_but_for_the_drift_of_a_clock():
    at = made.yard()
    line = made.receipt_line(at.cement, packs=1)

    record(at, line, happened_at=NOW + timedelta(minutes=9))
    with pytest.raises(moments.InFuture, match="the clock that wrote it"):
        record(at, line, happened_at=NOW + timedelta(hours=23))


def test_time_without_a_zone_is_refused():
    at = made.yard()

    with pytest.raises(moments.BadMoment):
        record(at, made.receipt_line(at.cement, packs=1), happened_at=NOW.replace(tzinfo=None))


def test_stranger_and_manager_of_another_site_find_nothing():
    at = made.yard()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=1))
    receipt = made.receive(at, packs=1)

    back = ReverseAct(receipt_id=receipt.pk, reason="x")

    with pytest.raises(NotFound):
        deliveries.record(actor=at.cast.charlie, act=act, key=made.key(), now=NOW)
    with pytest.raises(NotFound):
        deliveries.reverse(actor=at.cast.charlie, act=back, key=made.key(), now=NOW)
    with pytest.raises(NotFound):
        record(at, made.receipt_line(at.cement, packs=1), site_id=at.cast.other_site.pk)


def test_owner_does_not_record_deliveries():
    at = made.yard()

    with pytest.raises(NotAllowed):
        record(at, made.receipt_line(at.cement, packs=1), by=at.cast.olga)
