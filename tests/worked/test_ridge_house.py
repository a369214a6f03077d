"""The roof slab of Ridge House (drawing RH-S-04, revision B) worked out by hand, and counted cell by cell."""

import math

import pytest

from estimates.calc import bill
from estimates.calc.checks import casting as checks
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")


@pytest.fixture(scope="module")
def takeoff():
    return bill.compute(drawn.ridge_house(), profile=IS)


# Slab in plan: 9.2 × 8.0 = 73.6; stair 2.4 × 1.1 = 2.64; duct 0.3 × 0.25 = 0.075. Together 70.885 m².
SLAB_M2 = 9.2 * 8.0 - 2.4 * 1.1 - 0.3 * 0.25
# Beams in plan, 230 wide: three of 9.2 m (B1, B2, B3), three of 7.4 m (B4, B5, B6), less nine crossings:
# 6.348 + 5.106 − 0.4761 = 10.9779 m². No opening touches a beam.
BEAMS_M2 = 3 * 9.2 * 0.23 + 3 * 7.4 * 0.23 - 9 * 0.23 * 0.23
# Around the beams: outside 2 × (9.2 + 7.4) = 33.2 m; four panels between them, each
# (9.2 − 3 × 0.23) / 2 = 4.255 by (7.4 − 3 × 0.23) / 2 = 3.355, so 4 × 2 × 7.61 = 60.88 m. Together 94.08 m.
AROUND_M = 2 * (9.2 + 7.4) + 4 * 2 * (4.255 + 3.355)
# Beam B2 alone reaches 50 mm further down: 9.2 × 0.23 in plan, 2 × (9.2 + 0.23) around.
B2_M2, B2_AROUND_M = 9.2 * 0.23, 2 * (9.2 + 0.23)
# Concrete: 70.885 × 0.125 + 10.9779 × 0.325 + 2.116 × 0.05 = 8.8606 + 3.5678 + 0.1058 = 12.5342 m³.
CONCRETE_M3 = SLAB_M2 * 0.125 + BEAMS_M2 * 0.325 + B2_M2 * 0.05

BY_HAND = {
    "concrete.slab": 8.860625,
    "concrete.beams": 3.6736175,
    "concrete.net": 12.5342425,
    # 1:1.5:3 by the public analysis of rates: 1.558 / 5.5 of cement at 1,412 kg/m³ in each cubic metre.
    "cement": CONCRETE_M3 * 1.558 / 5.5 * 1412,
    "sand": CONCRETE_M3 * 1.558 * 1.5 / 5.5,
    "stone.20": CONCRETE_M3 * 1.558 * 3 / 5.5 * 0.6,
    "stone.10": CONCRETE_M3 * 1.558 * 3 / 5.5 * 0.4,
    # Water/cement 0.50, one litre is one kilogram; 200 ml of compound to a bag of 50 kg.
    "water": CONCRETE_M3 * 1.558 / 5.5 * 1412 * 0.5,
    "admixture.waterproofer": CONCRETE_M3 * 1.558 / 5.5 * 1412 / 50 * 0.2,
    "formwork.slab_soffit": 59.9071,
    "formwork.beam_soffit": 10.9779,
    # 94.08 × 0.325 + 18.86 × 0.05 = 30.576 + 0.943.
    "formwork.beam_side": 31.519,
    # Edge of the slab 34.4, of the stair 7.0, of the duct 1.1 m, by 0.125.
    "formwork.edge": 42.5 * 0.125,
    "formwork.total": 107.7165,
    # Bars: number × members × length [m] × kg/m of the table. S1: 62 × 2 × 3.92 at 0.617.
    "steel.mark.S1": 62 * 2 * 3.92 * 0.617,
    # S2 has no number: 7,400 / 200 = 37, and 1: 38 bars of 9.15 m at 0.395.
    "steel.mark.S2": 38 * 9.15 * 0.395,
    "steel.mark.S5": 21 * 9.15 * 0.395,
    # B2-2: 2 × 2 of 3.2 m at 1.58.
    "steel.mark.B2-2": 2 * 2 * 3.2 * 1.58,
    # Pond of 50 L/m² and 5 L/m² for 10 days (cement not known: as blended).
    "curing.water": 70.885 * (50 + 5 * 10),
    "curing.cover": 70.885,
}


@pytest.mark.parametrize(("key", "expected"), BY_HAND.items())
def test_line_by_hand(takeoff, key, expected):
    assert takeoff.line(key).net == pytest.approx(expected, rel=1e-9)


def test_hand_figures_hang_together():
    assert pytest.approx(70.885) == SLAB_M2
    assert pytest.approx(10.9779) == BEAMS_M2
    assert pytest.approx(94.08) == AROUND_M
    assert pytest.approx(12.5342425) == CONCRETE_M3
    assert pytest.approx(31.519) == AROUND_M * 0.325 + B2_AROUND_M * 0.05


def test_concrete_and_formwork_counted_cell_by_cell(takeoff):
    # All edges of the drawing lie on a grid of 5 mm, so the count is exact.
    design = drawn.ridge_house()
    found = drawn.counted(drawn.depth_map(design, cell_mm=5), cell_mm=5, thickness_mm=design.thickness_mm)
    keys = (
        "concrete.net",
        *(f"formwork.{part}" for part in ("edge", "beam_side", "beam_soffit", "slab_soffit")),
    )
    assert [takeoff.line(key).net for key in keys] == pytest.approx(found, rel=1e-9)


@pytest.mark.parametrize(
    ("key", "packs", "order"),
    [
        # 5,013.46 kg of cement are 100.27 bags: 101. The dry factor holds the loss, so that nothing is added.
        ("cement", 101, 5050),
        ("sand", 11, 5.5),
        ("stone.20", 13, 6.5),
        ("stone.10", 9, 4.5),
        ("admixture.waterproofer", 5, 25),
    ],
)
def test_order_in_packs(takeoff, key, packs, order):
    line = takeoff.line(key)
    assert (line.packs, line.order) == (packs, pytest.approx(order))
    assert line.surplus == pytest.approx(order - line.net)


# Bars in all: by hand, with the bends of IS 2502 at R = 2d taken off each (2d a bend), in metres.
S3, S4 = 62 * (2 * 0.085 + 2.4 - 4 * 0.010), 62 * (2 * 0.085 + 1.75 - 4 * 0.010)
SIZES = {
    # S2, S5; stirrups 2 (A + B) + 16d: ST1 and ST3 of 1.288 m, ST2 of 1.388 m.
    8: 38 * 9.15 + 21 * 9.15 + 124 * 1.288 + 77 * 1.388 + 150 * 1.288,
    10: 124 * 3.92 + S3 + S4,
    12: (2 + 2 + 2) * (9.15 + 0.6 - 4 * 0.012) + (9 + 6) * (7.35 + 0.6 - 4 * 0.012),
    16: (3 + 3) * (9.15 + 0.7 - 4 * 0.016) + 4 * (9.15 + 0.8 - 4 * 0.016) + 4 * 3.2,
}
MASS = {8: 0.395, 10: 0.617, 12: 0.888, 16: 1.58}


@pytest.mark.parametrize("size_mm", SIZES)
def test_steel_by_size(takeoff, size_mm):
    line = takeoff.line(f"steel.size.{size_mm}")
    assert line.net == pytest.approx(SIZES[size_mm] * MASS[size_mm], rel=1e-9)
    # 3 % for cutting, then whole bars of 12 m.
    assert line.packs == math.ceil(SIZES[size_mm] * 1.03 / 12)


def test_binding_wire_is_one_percent_of_all_bars(takeoff):
    total = sum(SIZES[size] * MASS[size] for size in SIZES)
    assert takeoff.line("steel.total").net == pytest.approx(total)
    assert takeoff.line("steel.binding_wire").net == pytest.approx(total / 100)


def test_checks_ask_about_the_drawings_weaknesses():
    found = [
        (str(row.severity), row.code, row.subject) for row in checks.find(drawn.ridge_house(), profile=IS)
    ]
    assert found == [
        # M20 and covers of 20 and 25 mm against moderate exposure: IS 456 asks for M25 and 30 mm.
        ("stop", "exposure.grade", "grade"),
        ("stop", "exposure.slab_cover", "cover_mm"),
        ("stop", "exposure.beam_cover", "beam_cover_mm"),
        ("warn", "opening.trimmers", "openings[0]"),
        ("warn", "opening.trimmers", "openings[1]"),
        ("warn", "steel.members_differ", "bars.S1"),
        ("warn", "steel.members_differ", "bars.B2-2"),
        # 12 mm: 6 bars of 9.7 m and 15 of 7.9 m each need a bar of their own, 21; by length 15.2 make 16.
        ("warn", "steel.cutting", "steel.size.12"),
        ("warn", "steel.cutting", "steel.size.16"),
        ("note", "curing.cement", "curing.cement"),
        # No formwork drawing has come.
        ("note", "falsework.unknown", "falsework"),
    ]
