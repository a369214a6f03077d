"""Steel bought by mass and used by length: orders close by mass, and heavy bars show as missing metres."""

from datetime import date
from decimal import Decimal

import pytest

from estimates.calc.steel import store
from estimates.models import Pack
from inventory.models import Lot, PurchaseOrder
from inventory.queries import deliveries as delivery_rows
from inventory.queries import orders as order_rows
from inventory.services import deliveries, loads, lots, orders
from inventory.services.deliveries import ReceiptLineAct
from inventory.services.orders import LineAct, OrderAct, StepAct
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY
from tests.factories.inventory_orders import Bought

pytestmark = pytest.mark.django_db

TONNE_PRICE = 65_000_00 * 10_000
"""65,000.00 of the currency for a tonne, in 1/10,000 of its minor unit."""


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bars(at):
    return goods.steel(at.cast.firm.pk, size_mm=16, grams_per_metre=1_580)


@pytest.fixture
def tonne(bars):
    pack = Pack.objects.create(
        material=bars.material, name="tonne", content=632_911, mass_g=1_000_000, source="weighbridge"
    )
    return Bought(bars.material, pack)


def ordered(at, tonne, *, tonnes=100):
    line = LineAct(material_id=tonne.material.pk, pack_id=tonne.pack.pk, packs=tonnes, pack_price=TONNE_PRICE)
    act = OrderAct(
        site_id=at.cast.site.pk, supplier_id=at.supplier.pk, expected_date=date(2026, 5, 8), lines=(line,)
    )
    order = orders.draft(actor=at.cast.alice, act=act, key=made.key(), now=NOW)
    return orders.approve(actor=at.cast.alice, act=StepAct(order_id=order.pk), key=made.key(), now=NOW)


def received(at, line, *, order=None):
    act = made.receipt_act(at, line, order_id=order.pk if order else None)
    return deliveries.record(actor=at.cast.bob, act=act, key=made.key(), now=NOW).lines.get()


def line_of(of, *, found, **more):
    figures = {"stated": Decimal(found), "found": Decimal(found), "pack_id": of.pack.pk} | more
    return ReceiptLineAct(material_id=of.material.pk, **figures)


def test_heavy_bars_by_the_tonne_close_the_order_and_are_worth_what_was_paid(at, tonne):
    order = ordered(at, tonne)
    line = line_of(tonne, found=100, measured_kg_per_m=Decimal("1.63"), order_line_id=order.lines.get().pk)

    found = received(at, line, order=order)

    order.refresh_from_db()
    assert order.state == PurchaseOrder.State.CLOSED
    assert found.receipt.match == "ordered"
    assert found.mass_g == 100_000_000
    assert found.value_minor == order.total_minor == 100 * 65_000_00
    assert found.accepted == 61_349_693  # 100 t / 1.63 kg/m
    assert found.conversion_source == "weighed: 1630 g/m"
    # reference: 100 t of 16 mm at 1.63 instead of 1.58 kg/m are 3,067.5 kg short by nominal mass
    delivered = store.delivered(100_000, measured_kg_per_m=1.63, nominal_kg_per_m=1.58)
    assert delivered.loss_kg == pytest.approx(3_067.5, abs=0.05)
    assert found.accepted * 1.58 / 1_000_000 == pytest.approx(100 - 3.0675, abs=0.0001)


def test_half_of_the_mass_leaves_half_to_come(at, tonne):
    order = ordered(at, tonne)
    line = line_of(tonne, found=50, measured_kg_per_m=Decimal("1.63"), order_line_id=order.lines.get().pk)

    received(at, line, order=order)

    order.refresh_from_db()
    assert order.state == PurchaseOrder.State.PART
    expected = delivery_rows.expected_order(at.cast.bob, order_id=order.pk, today=TODAY)
    assert [row.packs_left for row in expected.lines] == [50]
    assert [row.left for row in order_rows.lines(at.cast.alice, order)] == [50 * 632_911]


def test_more_mass_than_ordered_is_said(at, tonne):
    order = ordered(at, tonne, tonnes=1)
    line = line_of(tonne, found="1.02", order_line_id=order.lines.get().pk)

    assert received(at, line, order=order).receipt.match == "excess"


@pytest.mark.parametrize(
    ("unit", "amount", "mass_g"),
    [("kg", "2350", 2_350_000), ("quintal", "23.5", 2_350_000), ("t", "2.35", 2_350_000)],
)
def test_weight_is_accepted_in_every_unit_of_mass(at, bars, unit, amount, mass_g):
    line = line_of(bars, found=amount, pack_id=None, unit=unit)

    found = received(at, line)

    assert found.mass_g == mass_g
    assert found.accepted == 1_487_342  # 2,350 kg / 1.58 kg/m = 1,487.3418 m
    assert found.conversion_source.startswith("nominal mass 1580 g/m")


def test_a_weighed_and_counted_load_tells_its_mass_per_metre(at, bars):
    line = line_of(
        bars, found="2.347", pack_id=None, unit="t", bars=120, bar_length_mm=12_000, lot_label="H 7"
    )

    found = received(at, line)

    lot = Lot.objects.get(label="H 7")
    assert (found.accepted, found.mass_g, found.bars) == (1_440_000, 2_347_000, 120)
    # 2,347 kg / (120 × 12 m) = 1.6299 kg/m
    assert (lot.bar_length_mm, lot.measured_mg_per_mm) == (12_000, 1_630)
    assert found.conversion_source == "counted: 120 bars of 12000 mm, so 1630 g/m"


def test_counted_bars_are_a_lot_of_their_length(at, bars):
    found = received(at, line_of(bars, found=40))

    assert (found.bars, found.lot.bar_length_mm, found.mass_g) == (40, 12_000, 758_400)
    assert found.lot.label == found.receipt.number


def test_bars_of_two_lengths_of_one_heat_are_two_lots(at, bars):
    for length in (12_000, 9_000):
        received(
            at,
            line_of(
                bars,
                found=40 * length // 1_000,
                pack_id=None,
                unit="m",
                bar_length_mm=length,
                lot_label="H 7",
            ),
        )

    assert [lot.bar_length_mm for lot in Lot.objects.filter(label="H 7").order_by("bar_length_mm")] == [
        9_000,
        12_000,
    ]


def test_a_second_load_of_a_heat_need_not_weigh_the_same(at, bars):
    for tonnes in ("2.347", "2.340"):
        line = line_of(
            bars, found=tonnes, pack_id=None, unit="t", bars=120, bar_length_mm=12_000, lot_label="H 7"
        )
        received(at, line)

    assert Lot.objects.get(label="H 7").measured_mg_per_mm == 1_630


def test_another_weighed_metre_of_the_same_heat_is_asked_about(at, bars):
    received(at, line_of(bars, found=1, measured_kg_per_m=Decimal("1.63"), lot_label="H 7"))

    with pytest.raises(lots.LotDiffers):
        received(at, line_of(bars, found=1, measured_kg_per_m=Decimal("1.55"), lot_label="H 7"))


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"bars": 0, "bar_length_mm": 12_000}, "bars"),
        ({"bars": 120}, "bar_length_mm"),
        ({"bars": 1_200, "bar_length_mm": 12_000}, "bars"),
        ({"bars": 120, "bar_length_mm": 0}, "bar_length_mm"),
        ({"bars": 120, "bar_length_mm": 18_001}, "bar_length_mm"),
    ],
)
def test_bars_that_cannot_be_are_refused(at, bars, change, field):
    line = line_of(bars, found="2.347", pack_id=None, unit="t", **change)

    with pytest.raises(loads.BadBars) as refused:
        received(at, line)

    assert refused.value.field == field
    assert not Lot.objects.exists()


def test_cement_has_no_bars(at):
    with pytest.raises(loads.BadBars):
        received(at, line_of(at.cement, found=1, bars=3))


def test_number_that_is_not_what_was_found_is_refused(at, bars):
    with pytest.raises(loads.BadBars):
        received(at, line_of(bars, found=40, bars=41))


def test_the_receipt_says_how_much_was_paid_for_in_vain(at, tonne):
    found = received(at, line_of(tonne, found=100, measured_kg_per_m=Decimal("1.63")))

    row = delivery_rows.receipt(at.cast.alice, receipt_id=found.receipt_id).lines[0]

    # reference: 3,067.5 kg short; 100,000 kg less 61,349.693 m at 1.58 kg/m
    assert row.heavy_g == pytest.approx(3_067_500, abs=50)
