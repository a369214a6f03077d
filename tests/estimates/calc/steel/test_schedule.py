"""The example's bar schedule against a calculation by hand, line by line."""

import json

import pytest

from estimates.calc import derivation
from estimates.calc.reading import reader as sheet
from estimates.calc.steel import schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")


def compute(data):
    return schedule.compute(sheet.read(data), profile=PROFILE)


@pytest.fixture(scope="module")
def roof():
    return compute(sheets.roof())


# By hand from drawing RH-S-04 rev. B. U bars: sum of the sides less 2 × 2d (90° bends at R = 2d).
# Stirrups: 2 (A + B) + 16 × 8, outside dimensions.
# Mass per metre: 8 mm 0.395, 10 mm 0.617, 12 mm 0.888, 16 mm 1.58 kg.
BY_HAND = [
    # S1: 62 × 2 = 124 bars × 3.920 m = 486.080 m × 0.617
    ("S1", 3920, 124, 486_080, 299.911),
    # S2: 7400 / 200 + 1 = 38 bars × 9.150 = 347.700 m × 0.395
    ("S2", 9150, 38, 347_700, 137.342),
    # S3: 85 + 2400 + 85 - 40 = 2530; 62 × 2.530 = 156.860 m × 0.617
    ("S3", 2530, 62, 156_860, 96.783),
    # S4: 85 + 1750 + 85 - 40 = 1880; 62 × 1.880 = 116.560 m × 0.617
    ("S4", 1880, 62, 116_560, 71.918),
    # S5: 21 × 9.150 = 192.150 m × 0.395
    ("S5", 9150, 21, 192_150, 75.899),
    # B1-1: 350 + 9150 + 350 - 64 = 9786; 3 × 9.786 = 29.358 m × 1.58
    ("B1-1", 9786, 3, 29_358, 46.386),
    # B1-2: 300 + 9150 + 300 - 48 = 9702; 2 × 9.702 = 19.404 m × 0.888
    ("B1-2", 9702, 2, 19_404, 17.231),
    # B2-1: 400 + 9150 + 400 - 64 = 9886; 4 × 9.886 = 39.544 m × 1.58
    ("B2-1", 9886, 4, 39_544, 62.480),
    # B2-2: 2 × 2 × 3.200 = 12.800 m × 1.58
    ("B2-2", 3200, 4, 12_800, 20.224),
    # B2-3 and B3-2 as B1-2; B3-1 as B1-1
    ("B2-3", 9702, 2, 19_404, 17.231),
    ("B3-1", 9786, 3, 29_358, 46.386),
    ("B3-2", 9702, 2, 19_404, 17.231),
    # B4-1: 300 + 7350 + 300 - 48 = 7902; 9 × 7.902 = 71.118 m × 0.888
    ("B4-1", 7902, 9, 71_118, 63.153),
    # B4-2: 6 × 7.902 = 47.412 m × 0.888
    ("B4-2", 7902, 6, 47_412, 42.102),
    # ST1: 2 (180 + 400) + 128 = 1288; 124 × 1.288 = 159.712 m × 0.395
    ("ST1", 1288, 124, 159_712, 63.086),
    # ST2: 2 (180 + 450) + 128 = 1388; 77 × 1.388 = 106.876 m × 0.395
    ("ST2", 1388, 77, 106_876, 42.216),
    # ST3: 150 × 1.288 = 193.200 m × 0.395
    ("ST3", 1288, 150, 193_200, 76.314),
]


def test_example_holds_every_row_of_the_drawing(roof):
    assert [mark.mark for mark in roof.marks] == [row[0] for row in BY_HAND]


@pytest.mark.parametrize(("name", "cutting", "bars", "total", "mass"), BY_HAND)
def test_mark_equals_the_calculation_by_hand(roof, name, cutting, bars, total, mass):
    mark = next(mark for mark in roof.marks if mark.mark == name)
    assert (mark.cutting_length_mm, mark.bars, mark.total_length_mm) == (cutting, bars, total)
    assert mark.mass_kg == pytest.approx(mass, abs=0.0006)


@pytest.mark.parametrize(
    ("size_mm", "length_mm", "mass_kg", "stock_bars"),
    [
        # 347.700 + 192.150 + 159.712 + 106.876 + 193.200 = 999.638 m × 0.395; / 12 = 83.3
        (8, 999_638, 394.857, 84),
        # 486.080 + 156.860 + 116.560 = 759.500 m × 0.617; / 12 = 63.3
        (10, 759_500, 468.612, 64),
        # 3 × 19.404 + 71.118 + 47.412 = 176.742 m × 0.888; / 12 = 14.7
        (12, 176_742, 156.947, 15),
        # 2 × 29.358 + 39.544 + 12.800 = 111.060 m × 1.58; / 12 = 9.3
        (16, 111_060, 175.475, 10),
    ],
)
def test_size_equals_the_calculation_by_hand(roof, size_mm, length_mm, mass_kg, stock_bars):
    size = next(size for size in roof.sizes if size.size_mm == size_mm)
    assert (size.length_mm, size.stock_bars, size.grade) == (length_mm, stock_bars, "Fe500")
    assert size.mass_kg == pytest.approx(mass_kg, abs=0.0006)


def test_sum_equals_the_calculation_by_hand(roof):
    # 394.857 + 468.612 + 156.947 + 175.475
    assert roof.mass_kg == pytest.approx(1195.89, abs=0.002)
    assert sum(mark.mass_kg for mark in roof.marks) == pytest.approx(roof.mass_kg, abs=1e-9)


def test_printed_counts_of_the_example_agree_with_its_spacings(roof):
    # 9200 / 150 + 1 = 62.3; 9200 / 120 + 1 = 77.7; 7400 / 150 + 1 = 50.3; 7400 / 200 + 1 = 38
    own = {mark.mark: (mark.count, mark.own_count) for mark in roof.marks if mark.own_count is not None}
    assert own == {
        "S1": (62, 62),
        "S2": (38, 38),
        "S3": (62, 62),
        "S4": (62, 62),
        "ST1": (62, 62),
        "ST2": (77, 77),
        "ST3": (50, 50),
    }


def test_members_that_do_not_fit_are_asked_about(roof):
    assert [(finding.code, finding.mark, dict(finding.params)) for finding in roof.findings] == [
        ("steel.members_differ", "S1", {"schedule": 2, "named": 1}),
        ("steel.members_differ", "B2-2", {"schedule": 2, "named": 1}),
    ]


def test_every_formula_gives_its_mass_again(roof):
    for line in (*roof.marks, *roof.sizes):
        values = {name: item.value for name, item in line.inputs.items()}
        assert derivation.evaluate(line.formula, values=values) == line.mass_kg
        assert derivation.names(line.formula) == set(line.inputs)


def test_every_input_has_unit_and_source(roof):
    for line in (*roof.marks, *roof.sizes):
        assert all(item.unit and item.source for item in line.inputs.values())
        assert line.method
        assert line.source


def test_open_count_is_worked_out_in_the_formula(roof):
    s2 = next(mark for mark in roof.marks if mark.mark == "S2")
    assert s2.formula == "(floor(over / spacing + 0.000001) + 1) * members * A / 1000 * mass_per_metre"
    assert "count length / spacing + 1, fraction dropped" in s2.method


def test_printed_count_stands_and_the_difference_is_a_finding():
    counted = {"length_mm": 6000, "spacing_mm": 150, "method": "spacing_plus_one_dropped"}
    found = compute(sheets.small(bars=[sheets.bar(per_member=40, count_rule=counted)]))
    assert (found.marks[0].count, found.marks[0].own_count, found.marks[0].bars) == (40, 41, 40)
    assert [finding.code for finding in found.findings] == ["steel.count_differs"]
    assert "prints 40 per member, its spacing gives 41" in found.findings[0].text


def test_bar_longer_than_stock_is_a_finding_and_gets_no_lap():
    found = compute(sheets.small(bars=[sheets.bar(dimensions={"A": 13_000}, per_member=4)]))
    assert found.marks[0].total_length_mm == 52_000
    assert [(finding.code, finding.params["length_mm"]) for finding in found.findings] == [
        ("steel.longer_than_stock", 13_000)
    ]


def test_bar_of_exactly_stock_length_is_no_finding():
    assert compute(sheets.small(bars=[sheets.bar(dimensions={"A": 12_000})])).findings == ()


def test_beam_rows_count_with_the_beams_cover():
    # (5000 - 2 × 40) / 150 + 1 = 33.8 in the beam; the slab's 20 mm would give (5000 - 40) / 150 + 1 = 34.07.
    row = sheets.bar(
        member="stirrups B1",
        shape="stirrup",
        dimensions={"A": 150, "B": 370},
        per_member=None,
        count_rule={"length_mm": 5000, "spacing_mm": 150},
    )
    data = sheets.small(beams=[sheets.beam()], beam_cover_mm=40, bars=[row])
    assert compute(data).marks[0].count == 34
    slab_row = {**row, "member": "somewhere"}
    assert compute({**data, "bars": [slab_row]}).marks[0].count == 35


def test_slab_without_bars_has_an_empty_schedule():
    found = compute(sheets.small())
    assert (found.marks, found.sizes, found.findings, found.mass_kg) == ((), (), (), 0)


def test_example_says_nothing_but_its_own_drawing():
    assert json.dumps(sheets.roof()["drawing"], sort_keys=True) == (
        '{"dated": "2026-03-12", "engineer": "N. Orveld", "number": "RH-S-04", "revision": "B"}'
    )
