"""Bars by spacing on a slab of 6 by 4 m, cover 20, against figures by hand."""

import pytest

from estimates.calc import derivation
from estimates.calc.reading import reader as sheet
from estimates.calc.steel import schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")
STAIR = {"name": "stair", "outline": [[2000, 1000], [3000, 1000], [3000, 2000], [2000, 2000]]}


def compute(**changes):
    return schedule.compute(sheet.read(sheets.small(**changes)), profile=PROFILE)


def test_bars_over_the_whole_slab():
    # Along x: (4000 - 40) / 200 + 1 = 20.8 → 21 bars of 6000 - 40.
    mark = compute(spacing_rules=[sheets.rule()]).marks[0]
    assert (mark.count, mark.bars, mark.cutting_length_mm, mark.member) == (21, 21, 5960, "slab, bottom")
    assert mark.mass_kg == pytest.approx(21 * 5.96 * 0.617, abs=1e-9)
    assert mark.findings == ()


def test_bars_along_y_count_over_x():
    # (6000 - 40) / 200 + 1 = 30.8 → 31 bars of 4000 - 40.
    mark = compute(spacing_rules=[sheets.rule(direction="y")]).marks[0]
    assert (mark.bars, mark.cutting_length_mm) == (31, 3960)


def test_opening_cuts_bars_and_no_trimmer_is_added():
    # 21 bars from y = 20 to 3980, 198 apart:
    # those at 1010, 1208, 1406, 1604 and 1802 meet the stair (1000 to 2000).
    # Left of it 2000 - 20 - 20 = 1960 remain, right of it 5980 - 3020 = 2960.
    found = compute(spacing_rules=[sheets.rule()], openings=[STAIR])
    mark = found.marks[0]
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(5960, 16), (2960, 5), (1960, 5)]
    assert [(finding.code, dict(finding.params)) for finding in found.findings] == [
        ("steel.cut_by_opening", {"opening": "stair", "bars": 5})
    ]
    assert mark.cutting_length_mm is None


def test_region_and_own_cover():
    # Region 3 by 2 m in the corner: along x from cover 50 to the region's edge at 3000: 2950;
    # (2000 - 100) / 200 + 1 = 10.5 → 11.
    corner = [[0, 0], [3000, 0], [3000, 2000], [0, 2000]]
    mark = compute(spacing_rules=[sheets.rule(region=corner, end_cover_mm=50)]).marks[0]
    assert (mark.bars, mark.cutting_length_mm) == (11, 2950)


def test_many_lengths_go_into_the_formula_as_their_sum():
    # A triangle of 6 by 4 m gives every bar its own length.
    found = compute(outline=[[0, 0], [6000, 0], [0, 4000]], spacing_rules=[sheets.rule()]).marks[0]
    assert len(found.pieces) > 12
    assert found.formula == "length / 1000 * mass_per_metre"
    assert found.inputs["length"].value == pytest.approx(found.total_length_mm)
    values = {name: item.value for name, item in found.inputs.items()}
    assert derivation.evaluate(found.formula, values=values) == found.mass_kg


def test_long_bars_are_a_finding_for_each_length():
    found = compute(outline=[[0, 0], [13_000, 0], [13_000, 4000], [0, 4000]], spacing_rules=[sheets.rule()])
    assert [finding.code for finding in found.findings] == ["steel.longer_than_stock"]


def test_region_too_narrow_for_a_bar_is_a_finding():
    # A strip of 20.5 mm beside the slab's edge: less 20 mm of cover, half a millimetre is left.
    strip = [[0, 0], [20.5, 0], [20.5, 4000], [0, 4000]]
    found = compute(spacing_rules=[sheets.rule(region=strip)])
    assert (found.marks[0].bars, found.marks[0].mass_kg) == (0, 0)
    assert [finding.code for finding in found.findings] == ["steel.no_room"]
