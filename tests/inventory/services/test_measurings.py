from datetime import timedelta
from decimal import Decimal

import pytest

from estimates.models import Material
from inventory.models import Lot, ReceiptLine
from inventory.queries import deliveries as rows
from inventory.services import deliveries, measurings, receipt_lines
from inventory.services.measurings import MeasurementAct, ReadingAct, TicketAct
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BODY = {
    "length": "5",
    "bottom_length": "4.3",
    "width": "2.25",
    "depth_1": "1.95",
    "depth_2": "2.15",
    "depth_3": "1.9",
}
"""20.925 m³ (paramvisions.com, 2022)."""


@pytest.fixture
def at():
    return made.yard()


def by(method, assumed=(), ticket=None, **figures):
    readings = tuple(ReadingAct(name, Decimal(value), name not in assumed) for name, value in figures.items())
    return MeasurementAct(method, readings, ticket)


def measured(at, of, measurement, *, found=0, stated=None, pack=False, **more):
    facts = {"stated": stated, "found": Decimal(found), "measurement": measurement} | more
    line = made.receipt_line(of, packs=0, **facts | ({} if pack else {"pack_id": None}))
    receipt = deliveries.record(actor=at.cast.bob, act=made.receipt_act(at, line), key=made.key(), now=NOW)
    return receipt.lines.get()


def remarks(at, line):
    return rows.receipt(at.cast.bob, receipt_id=line.receipt_id).lines[0].remarks


def test_truck_measured_inside_gives_what_was_found_with_its_working(at):
    line = measured(at, at.sand, by("truck", assumed=["bottom_length"], **BODY))

    assert (line.found_thousandths, line.stated_thousandths, line.accepted) == (20_925, 20_925, 20_925_000)
    assert (line.method, line.working) == ("truck", "(5 + 4.3) / 2 × 2.25 × (1.95 + 2.15 + 1.9) / 3")
    assert {row["name"]: row["measured"] for row in line.readings} == {
        "length": True,
        "bottom_length": False,
        "width": True,
        "depth_1": True,
        "depth_2": True,
        "depth_3": True,
    }
    kept = next(row for row in line.readings if row["name"] == "bottom_length")
    assert (kept["value"], kept["unit"]) == ("4.3", "m")
    assert made.balance("store", of=at.sand)[0] == 20_925_000


def test_truck_measured_for_loads_of_a_fixed_size_counts_in_them(at):
    # 20.925 m³ in truck loads of 5 m³.
    line = measured(at, at.sand, by("truck", **BODY), stated=Decimal(5), pack=True)

    assert (line.stated_thousandths, line.found_thousandths, line.accepted) == (5_000, 4_185, 20_925_000)


def test_moist_sand_keeps_its_dry_equivalent(at):
    # Jar 200 to 160: 25 %; 10 m³ moist hold 8 m³ dry. The store keeps what lies there.
    line = measured(at, at.sand, by("counted", jar_moist="200", jar_flooded="160", moisture="4"), found=10)

    assert (line.accepted, line.dry_equivalent) == (10_000_000, 8_000_000)
    assert (line.bulking_thousandths, line.moisture_thousandths) == (25_000, 4_000)
    assert remarks(at, line) == ("bulked by 25 %: dry it is 8 m³",)


def test_sand_over_the_weighbridge_becomes_a_volume_by_its_density(at):
    line = measured(
        at, at.sand, by("weighbridge", assumed=["density"], gross="43480", tare="10000", density="1600")
    )

    # 33,480 kg at 1,600 kg/m³ (the same page).
    assert line.found_thousandths == 20_925
    assert next(r for r in line.readings if r["name"] == "density")["measured"] is False


@pytest.mark.parametrize(
    ("together", "accepted", "said"),
    [("502", 200 * 50_000, 0), ("495", 200 * 50_000, 1), ("487.5", 200 * 48_750, 1)],
)
def test_bags_count_by_their_print_unless_they_are_short(at, together, accepted, said):
    """2 % below the mass marked is the bound (ASTM C150, from memory): 48.75 kg is 2.5 % short."""
    line = measured(at, at.cement, by("bags", bags="200", weighed="10", weighed_mass=together), pack=True)

    assert (line.found_thousandths, line.accepted) == (200_000, accepted)
    assert len(remarks(at, line)) == said


def test_bars_counted_and_sampled_by_number_by_length_and_by_mass(at):
    bars = goods.steel(at.cast.firm.pk, size_mm=16, grams_per_metre=1_580)
    sample = by("bars", bars="50", bar_length="12", pieces_length="3", pieces_mass="4.89")

    counted = measured(at, bars, sample, pack=True, lot_label="h1")
    metres = measured(at, bars, sample, unit="m", lot_label="h2")
    weighed = measured(at, bars, sample, unit="kg", lot_label="h3")

    assert [line.accepted for line in (counted, metres, weighed)] == [600_000] * 3
    assert [line.found_thousandths for line in (counted, metres, weighed)] == [50_000, 600_000, 978_000]
    assert {lot.measured_mg_per_mm for lot in Lot.objects.all()} == {1_630}
    assert {line.bars for line in (counted, metres, weighed)} == {50}


def test_bars_lighter_than_the_tolerance_are_called_a_defect(at):
    bars = goods.steel(at.cast.firm.pk, size_mm=16, grams_per_metre=1_580)

    # IS 1786 batch: ±5 % at 16 mm; 1.49 kg/m is 5.7 % light.
    line = measured(
        at, bars, by("bars", bars="50", bar_length="12", pieces_length="3", pieces_mass="4.47"), pack=True
    )

    assert [words[:20] for words in remarks(at, line)] == ["bars light by 5.7 % "]


def test_ready_mixed_keeps_its_ticket_and_an_old_load_is_said(at):
    mixed = Material.objects.create(
        firm=at.cast.firm,
        code="ready-mixed",
        name="Ready-mixed",
        stock_unit="cm3",
        show_unit="m³",
        show_factor=1_000_000,
    )
    times = TicketAct(NOW - timedelta(minutes=150), NOW - timedelta(minutes=45), NOW)
    bought = goods.Bought(mixed, goods.pack(mixed, name="truck mixer", content=6_000_000))

    line = measured(at, bought, by("ticket", ticket=times), found=6)

    # IS 4926: 2 hours from loading, half an hour at the site.
    assert (line.batched_at, line.discharged_at) == (times.batched_at, times.discharged_at)
    assert [words.split(" min")[0] for words in remarks(at, line)] == ["150", "stood 45"]


REFUSED = [
    (by("truck", **BODY | {"length": "0"}), measurings.BadReading, "length"),
    (by("truck", **BODY | {"depth_2": "-1"}), measurings.BadReading, "depth_2"),
    (by("truck", length="5", width="2"), measurings.BadMeasurement, "depth_1"),
    (by("truck", **BODY, colour="1"), measurings.BadMeasurement, "readings"),
    (by("truck", **BODY, jar_moist="200"), measurings.BadMeasurement, "readings"),
    (by("bags", bags="10", weighed="10", weighed_mass="500"), measurings.BadMeasurement, "method"),
    (by("counted", ticket=TicketAct(NOW)), measurings.BadMeasurement, "batched_at"),
    (by("weighbridge", gross="9000", tare="9500", density="1600"), measurings.BadMeasurement, "readings"),
    # 60 m³ in one truck: 16 × 2.5 × 1.5.
    (
        by("truck", length="16", width="2.5", depth_1="1.5", depth_2="1.5", depth_3="1.5"),
        receipt_lines.AbsurdQuantity,
        "found",
    ),
]


@pytest.mark.parametrize(("measurement", "refused", "field"), REFUSED)
def test_readings_that_cannot_be_are_refused_at_their_field(at, measurement, refused, field):
    with pytest.raises(refused) as fault:
        measured(at, at.sand, measurement, found=0 if measurement.method != "counted" else 1)

    assert fault.value.field == field
    assert not ReceiptLine.objects.exists()


@pytest.mark.parametrize(
    ("figure", "unit", "refused"), [(60, "m3", True), (40, "m3", False), (1_500, "cft", True)]
)
def test_more_than_a_truck_carries_is_refused(at, figure, unit, refused):
    if not refused:
        assert measured(at, at.sand, None, found=figure, unit=unit).accepted == 40_000_000
        return
    with pytest.raises(receipt_lines.AbsurdQuantity, match="one load"):
        measured(at, at.sand, None, found=figure, unit=unit)


def test_twelve_truck_loads_are_no_absurd_load(at):
    assert made.receive(at, packs=12, of=at.sand).lines.get().accepted == 60_000_000


def test_figure_beside_its_readings_is_refused(at):
    with pytest.raises(measurings.BadMeasurement):
        measured(at, at.sand, by("truck", **BODY), found=20)
