"""Loads are measured in the units of the trade, and the conversion that was used is kept."""

from decimal import Decimal

import pytest

from inventory.models import ReceiptLine
from inventory.services import deliveries, measures
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from tests.factories import inventory_orders as trade
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


# 1 brass = 100 ft³ = 2.832 m³: common practice of the trade; 1 ft³ = 0.3048³ m³ by the foot of 1959.
@pytest.mark.parametrize(
    ("unit", "cm3", "tolerance"),
    [
        ("brass", 2_832_000, 500),
        ("cft", 28_316.846592, 0.001),
        ("yd3", 764_600, 50),
        ("m3", 1_000_000, 0),
    ],
)
def test_sand_in_units_of_trade(unit, cm3, tolerance):
    sand = trade.sand(cast().firm.pk).material

    measure = measures.measure(sand, pack=None, unit=unit)

    assert measure.stock_per_unit / 1_000 == pytest.approx(cm3, abs=tolerance)


# 1 quintal = 100 kg: public works tables of cement are in quintals.
def test_cement_in_quintals():
    cement = trade.cement(cast().firm.pk).material

    assert measures.measure(cement, pack=None, unit="quintal").stock_per_unit == 100_000 * 1_000


@pytest.mark.parametrize("unit", ["kg", "sack", "furlong", "ft", "1/0", "m3 * m3", "m3 m3"])
def test_unit_that_measures_no_volume_is_refused(unit):
    sand = trade.sand(cast().firm.pk).material

    with pytest.raises(measures.BadUnit):
        measures.measure(sand, pack=None, unit=unit)


def test_receipt_keeps_what_was_measured_and_by_which_conversion():
    team = cast()
    sand = trade.sand(team.firm.pk)
    line = ReceiptLineAct(material_id=sand.material.pk, unit="brass", stated=Decimal(2), found=Decimal("1.8"))
    act = ReceiptAct(
        site_id=team.site.pk, supplier_id=trade.supplier(team.firm.pk).pk, happened_at=NOW, lines=(line,)
    )

    receipt = deliveries.record(actor=team.bob, act=act, key="r-1", now=NOW)

    kept = ReceiptLine.objects.get(receipt=receipt)
    assert (kept.measured_in, kept.stated_thousandths, kept.found_thousandths) == ("brass", 2_000, 1_800)
    # 180 ft³ of 28,316.846592 cm³ each.
    assert kept.accepted == 5_097_032
    assert "brass" in kept.conversion_source
