"""Each rule of the stores' tables, and what the database says to a row that breaks it."""

import pytest
from django.db import IntegrityError, transaction

from inventory.models import (
    Lot,
    LotStock,
    LotTest,
    Place,
    Receipt,
    ReceiptCheck,
    ReceiptLine,
    Stock,
    StockCount,
    StockCountLine,
    StockSlip,
    StockSlipLine,
    StorageLimit,
)
from inventory.models.ledger import Movement, ValueAdjustment
from inventory.services import places
from projects.models import Attachment
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


def refused(rule, model, **facts):
    """Check that the database refuses the row by this rule.

    SQLite names a broken check, and the columns of a broken uniqueness.
    """
    with pytest.raises(IntegrityError) as broken, transaction.atomic():
        model.objects.create(**facts)
    text = str(broken.value)
    assert rule in text or text.startswith("UNIQUE constraint failed: ")
    if not text.startswith("UNIQUE"):
        assert rule in text


def movement(at, **change):
    facts = {
        "firm": at.cast.firm,
        "material": at.cement.material,
        "source": places.of_site(at.cast.site, kind=Place.Kind.SUPPLIER),
        "target": places.store(at.cast.site),
        "quantity": 1,
        "value_minor": 0,
        "reason": "receipt",
        "happened_at": NOW,
        "recorded_at": NOW,
        "key": made.key(),
    }
    return facts | change


def test_movement_has_a_quantity(at):
    refused("inventory_movement_quantity_positive", Movement, **movement(at, quantity=0))


def test_movement_has_no_negative_value(at):
    refused("inventory_movement_value_not_negative", Movement, **movement(at, value_minor=-1))


def test_movement_has_two_places(at):
    store = places.store(at.cast.site)
    refused("inventory_movement_two_places", Movement, **movement(at, source=store, target=store))


def test_reversal_names_its_original(at):
    refused("inventory_movement_reversal_names_original", Movement, **movement(at, reason="reversal"))


def test_only_a_reversal_names_an_original(at):
    original = Movement.objects.create(**movement(at))
    refused("inventory_movement_reversal_names_original", Movement, **movement(at, reverses=original))


def test_movement_is_reversed_once(at):
    original = Movement.objects.create(**movement(at))
    Movement.objects.create(**movement(at, reason="reversal", reverses=original))
    refused("reverses", Movement, **movement(at, reason="reversal", reverses=original))


def test_key_of_a_movement_is_used_once(at):
    Movement.objects.create(**movement(at, key="k"))
    refused("key", Movement, **movement(at, key="k"))


def test_adjustment_is_not_zero(at):
    refused(
        "inventory_adjustment_not_zero",
        ValueAdjustment,
        firm=at.cast.firm,
        place=places.store(at.cast.site),
        material=at.cement.material,
        value_minor=0,
        source="x",
        happened_at=NOW,
        recorded_at=NOW,
        key="k",
    )


def test_firm_site_and_slab_have_one_place_of_a_kind(at):
    firm, site, slab = at.cast.firm, at.cast.site, at.pour.slab
    Place.objects.create(firm=firm, kind="sold")
    refused("inventory_place_of_firm_once", Place, firm=firm, kind="sold")
    places.store(site)
    refused("inventory_place_of_site_once", Place, firm=firm, kind="store", site=site)
    places.slab(slab)
    refused("inventory_place_of_slab_once", Place, firm=firm, kind="slab", site=site, slab=slab)


def test_slab_place_names_its_slab_and_store_its_site(at):
    refused("inventory_place_slab_named", Place, firm=at.cast.firm, kind="slab", site=at.cast.site)
    refused("inventory_place_store_has_site", Place, firm=at.cast.firm, kind="store")


def test_balance_of_a_material_and_of_a_lot_stand_once(at):
    store = places.store(at.cast.site)
    lot = Lot.objects.create(firm=at.cast.firm, material=at.cement.material, supplier=at.supplier, label="W1")
    Stock.objects.create(place=store, material=at.cement.material)
    LotStock.objects.create(place=store, lot=lot)
    refused("inventory_stock_once", Stock, place=store, material=at.cement.material)
    refused("inventory_lotstock_once", LotStock, place=store, lot=lot)


def test_lot_label_stands_once_and_its_mass_is_above_nothing(at):
    facts = {"firm": at.cast.firm, "material": at.cement.material, "supplier": at.supplier}
    Lot.objects.create(label="W1", **facts)
    refused("inventory_lot_label_once", Lot, label="W1", **facts)
    refused("inventory_lot_mass_positive", Lot, label="W2", measured_mg_per_mm=0, **facts)


def document(at, **more):
    return {"firm": at.cast.firm, "site": at.cast.site, "happened_at": NOW, "recorded_at": NOW} | more


def test_numbers_of_documents_stand_once(at):
    for model, more, rule in (
        (Receipt, {"supplier": at.supplier, "match": "unordered"}, "inventory_receipt_number_once"),
        (StockSlip, {"kind": "opening"}, "inventory_slip_number_once"),
        (StockCount, {"by_keeper": False}, "inventory_count_number_once"),
    ):
        model.objects.create(**document(at, number="N-1", **more))
        refused(rule, model, **document(at, number="N-1", **more))


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"rejected_thousandths": 2, "reject_reason": "x"}, "inventory_receiptline_rejected_is_part"),
        ({"found_thousandths": -1}, "inventory_receiptline_rejected_is_part"),
        ({"stated_thousandths": -1}, "inventory_receiptline_rejected_is_part"),
        ({"rejected_thousandths": 1}, "inventory_receiptline_rejection_has_reason"),
        ({"accepted": -1}, "inventory_receiptline_not_negative"),
        ({"value_minor": -1}, "inventory_receiptline_not_negative"),
        ({"stock_per_unit": 0}, "inventory_receiptline_not_negative"),
        ({"held": 1}, "inventory_receiptline_held_is_part_with_reason"),
        ({"held": 2, "hold_reason": "x"}, "inventory_receiptline_held_is_part_with_reason"),
        ({"held": -1, "hold_reason": "x"}, "inventory_receiptline_held_is_part_with_reason"),
        ({"dry_equivalent": 2}, "inventory_receiptline_dry_is_no_more"),
    ],
)
def test_receipt_line_figures_are_possible(at, change, rule):
    facts = document(at, number="N", supplier=at.supplier, match="unordered")
    line = {
        "receipt": Receipt.objects.create(**facts),
        "position": 1,
        "material": at.cement.material,
        "measured_in": "bag",
        "stated_thousandths": 1,
        "found_thousandths": 1,
        "rejected_thousandths": 0,
        "stock_per_unit": 1,
        "conversion_source": "x",
        "accepted": 1,
        "value_minor": 0,
    }
    refused(rule, ReceiptLine, **(line | change))
    ReceiptLine.objects.create(**line)
    refused("inventory_receiptline_position_once", ReceiptLine, **line)


def test_checks_tests_and_limits_are_possible(at):
    made.receive(at, packs=1, lot_label="W17")
    line, lot, place = ReceiptLine.objects.get(), Lot.objects.get(), {"site": at.cast.site}
    test = {"lot": lot, "tested_date": TODAY, "tested_by": "x", "result": "y", "recorded_at": NOW}
    limit = place | {"material": at.cement.material, "source": "x", "set_at": NOW}
    file = {"firm": at.cast.firm, "kind": "photo", "name": "n", "stored": "s", "received_at": NOW}
    checked = {"line": line, "code": "bags", "verdict": "pass", "checked_at": NOW}

    refused("inventory_receiptcheck_reading_not_negative", ReceiptCheck, **checked, reading_thousandths=-1)
    refused("inventory_lottest_passed_has_a_last_day", LotTest, **test, passed=True)
    refused("inventory_lottest_passed_has_a_last_day", LotTest, **test, passed=False, usable_until=TODAY)
    refused("inventory_storagelimit_takes_something", StorageLimit, **limit, capacity=0)
    refused("inventory_storagelimit_floor_with_height", StorageLimit, **limit, capacity=1, floor_cm2=1)
    refused("projects_attachment_not_empty", Attachment, **place, **file, size_bytes=0)
    StorageLimit.objects.create(**limit, capacity=1)
    refused("inventory_storagelimit_once", StorageLimit, **limit, capacity=1)


def test_issue_and_return_name_a_pour_and_waste_its_cause(at):
    refused("inventory_slip_issue_names_pour", StockSlip, **document(at, number="1", kind="issue"))
    refused("inventory_slip_issue_names_pour", StockSlip, **document(at, number="1", kind="return"))
    refused("inventory_slip_waste_has_reason", StockSlip, **document(at, number="1", kind="waste"))
    refused("inventory_slip_other_names_works", StockSlip, **document(at, number="1", kind="other"))


def test_slip_line_has_a_quantity_and_its_own_position(at):
    line = {
        "slip": StockSlip.objects.create(**document(at, number="1", kind="opening")),
        "position": 1,
        "material": at.cement.material,
        "source": places.of_site(at.cast.site, kind=Place.Kind.OPENING),
        "target": places.store(at.cast.site),
        "quantity": 1,
        "value_minor": 0,
    }
    refused("inventory_slipline_positive", StockSlipLine, **(line | {"quantity": 0}))
    StockSlipLine.objects.create(**line)
    refused("inventory_slipline_position_once", StockSlipLine, **line)


def test_count_line_is_not_negative_and_counts_a_material_once(at):
    line = {
        "count": StockCount.objects.create(**document(at, number="1", by_keeper=False)),
        "position": 1,
        "material": at.cement.material,
        "book": 0,
        "found": 0,
    }
    refused("inventory_countline_not_negative", StockCountLine, **(line | {"book": -1}))
    refused("inventory_countline_not_negative", StockCountLine, **(line | {"found": -1}))
    StockCountLine.objects.create(**line)
    refused("inventory_countline_once", StockCountLine, **line)
