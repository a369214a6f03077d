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
        ("steel.cut_by_opening", {"opening": "stair", "bars": 5}),
        # The bar at 2000 lies on the very edge.
        ("steel.beside_opening", {"opening": "stair", "bars": 1, "cover_mm": 20}),
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


# --- Other ways of laying, on the slab of 6 by 4 m with cover 20


def mark_of(**changes):
    return compute(spacing_rules=[sheets.rule(**changes)]).marks[0]


def test_both_directions_are_one_mark():
    # 21 bars of 5960 along x and 31 of 3960 along y, as by themselves.
    mark = mark_of(direction="both")
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(5960, 21), (3960, 31)]
    assert (mark.count, mark.own_count) == (52, 52)
    assert mark.mass_kg == pytest.approx((21 * 5.96 + 31 * 3.96) * 0.617)


def test_printed_number_wins_and_the_count_of_the_spacing_stands_beside_it():
    mark = mark_of(number=19)
    assert (mark.count, mark.own_count, mark.bars) == (19, 21, 19)
    assert [one.code for one in mark.findings] == ["steel.count_differs"]
    assert "as the drawing prints it" in mark.method


@pytest.mark.parametrize(
    # From the cover: (3980 - 20) / 200 = 19.8, so 20 bars; half a space in: (3980 - 100) / 200 = 19.4, so 20.
    ("first_bar", "count"),
    [("at_cover", 20), ("half_spacing", 20), ("spread_evenly", 21)],
)
def test_first_bar_by_a_named_method(first_bar, count):
    mark = mark_of(first_bar=first_bar)
    assert (mark.count, mark.own_count, mark.cutting_length_mm) == (count, 21, 5960)


def test_every_second_bar_shorter():
    # 11 bars of 5960 and 10 of 5960 - 2 x 900.
    mark = mark_of(shorter_mm=900)
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(5960, 11), (4160, 10)]


def test_bars_at_an_angle_cross_the_slab():
    # Independent: area of the slab less its covers over the spacing, 5.96 m x 3.96 m / 0.2 m = 118 m of bar.
    mark = mark_of(angle_deg=45)
    assert mark.total_length_mm / 1000 == pytest.approx(5.96 * 3.96 / 0.2, rel=0.05)
    assert "turned by 45°" in mark.method


def test_short_bars_and_a_region_that_leaves_the_slab_are_findings():
    corner = [[5_700, 0], [7_000, 0], [7_000, 4_000], [5_700, 4_000]]
    found = compute(spacing_rules=[sheets.rule(region=corner)])
    # 5700 to 5980: 280 mm, below 300; 1 m x 4 m lie outside.
    assert [
        (one.code, one.params.get("outside_m2"), one.params.get("length_mm")) for one in found.findings
    ] == [
        ("steel.region_off_slab", 4.0, None),
        ("steel.short_bars", None, 280.0),
    ]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"number": 9, "direction": "both"}, ("spacing_rules[0].number", "field_superfluous")),
        ({"number": 9, "first_bar": "at_cover"}, ("spacing_rules[0].first_bar", "field_superfluous")),
        ({"angle_deg": 181}, ("spacing_rules[0].angle_deg", "too_large")),
        ({"direction": "z"}, ("spacing_rules[0].direction", "not_a_choice")),
    ],
)
def test_rule_that_contradicts_itself_is_refused(changes, expected):
    assert sheets.faults(sheets.small(spacing_rules=[sheets.rule(**changes)])) == [expected]
