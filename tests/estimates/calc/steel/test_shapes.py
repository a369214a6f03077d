"""Cutting lengths against sums done by hand; the sums stand beside each."""

import itertools
import math

import pytest

from estimates.calc import derivation
from estimates.calc.sheet.steel import BarMark, SteelMethods
from estimates.calc.steel import rules, shapes
from estimates.standards import load

PROFILE = load.profile("is")


def cut(shape, size_mm, dimensions, *, methods=None, **more):
    bar = BarMark(
        mark="M1", member="slab", size_mm=size_mm, shape=shape, dimensions=dimensions, per_member=1, **more
    )
    chosen = rules.choose(SteelMethods(**(methods or {})), profile=PROFILE)
    return shapes.cutting_length(bar, rules=chosen)


@pytest.mark.parametrize(
    ("shape", "size_mm", "dimensions", "methods", "expected"),
    [
        ("straight", 10, {"A": 3920}, {}, 3920),
        # L: 900 + 300 - (R/2 + d); R = 2d = 24: 12 + 12 = 24; R = 4d = 48: 24 + 12 = 36.
        ("l", 12, {"A": 900, "B": 300}, {}, 1176),
        ("l", 12, {"A": 900, "B": 300}, {"bend": "is2502_r2"}, 1176),
        ("l", 12, {"A": 900, "B": 300}, {"bend": "is2502_r4"}, 1164),
        ("l", 12, {"A": 900, "B": 300}, {"bend": "site_2d"}, 1176),
        ("l", 12, {"A": 900, "B": 300}, {"bend": "out_to_out"}, 1200),
        # U: 85 + 2400 + 85 = 2570, less two bends of 2 × 10 (R = 2d) or 3 × 10 (R = 4d).
        ("u", 10, {"A": 85, "B": 2400, "C": 85}, {}, 2530),
        ("u", 10, {"A": 85, "B": 2400, "C": 85}, {"bend": "is2502_r4"}, 2510),
        # Stirrup: 2 (180 + 400) = 1160; outside + 16 × 8 = 1288; inside + 24 × 8 = 1352, 64 mm more.
        ("stirrup", 8, {"A": 180, "B": 400}, {}, 1288),
        ("stirrup", 8, {"A": 180, "B": 400}, {"stirrup": "inside_24d"}, 1352),
        # Inside dimensions of the same stirrup, 16 mm less each way: 2 (164 + 384) + 192 = 1288 again.
        ("stirrup", 8, {"A": 164, "B": 384}, {"stirrup": "inside_24d"}, 1288),
    ],
)
def test_cutting_length_equals_the_sum_by_hand(shape, size_mm, dimensions, methods, expected):
    assert cut(shape, size_mm, dimensions, methods=methods).length_mm == expected


@pytest.mark.parametrize("size_mm", [8, 10, 12, 16, 20, 25, 32])
def test_is_2502_with_radius_2d_is_the_site_rule(size_mm):
    # reference: one bend takes off R/2 + d, which at R = 2d is 2d, the site rule for 90°.
    sides = {"A": 900, "B": 2400, "C": 700}
    formula = cut("u", size_mm, sides, methods={"bend": "is2502_r2"}).length_mm
    assert formula == cut("u", size_mm, sides, methods={"bend": "site_2d"}).length_mm == 4000 - 4 * size_mm


@pytest.mark.parametrize(
    ("angle", "share", "bend"),
    # 0.27, 0.42, 0.58 D and 1d per 45° bend are the published site figures.
    [(30, 0.27, 0.67), (45, 0.42, 1), (60, 0.58, 1.33)],
)
def test_cranked_bar_by_practice_adds_a_share_of_the_rise(angle, share, bend):
    found = cut("cranked", 10, {"B": 3000, "D": 90}, crank_angle_deg=angle, cranks=1).length_mm
    assert found == pytest.approx(3000 + share * 90 - 2 * bend * 10, abs=1e-9)


@pytest.mark.parametrize("angle", [30, 45, 60])
def test_cranked_bar_by_exact_geometry_equals_the_polyline(angle):
    # Independent: lengths of the five straight parts of the centre line, measured between their corners.
    run, rise, level = 3000, 90, 500
    slope = rise / math.tan(math.radians(angle))
    corners = [
        (0, rise),
        (level, rise),
        (level + slope, 0),
        (run - level - slope, 0),
        (run - level, rise),
        (run, rise),
    ]
    polyline = sum(math.dist(here, there) for here, there in itertools.pairwise(corners))
    found = cut("cranked", 10, {"B": run, "D": rise}, methods={"crank": "exact"}, crank_angle_deg=angle)
    assert found.length_mm == pytest.approx(polyline, abs=1e-9)


def test_cranked_bar_by_one_depth_adds_the_rise_once():
    # An old textbook adds one depth, 8 cm, for a bent-up bar whatever its cranks.
    assert cut("cranked", 10, {"B": 3000, "D": 80}, methods={"crank": "one_depth"}).length_mm == 3080


@pytest.mark.parametrize(
    ("rounding", "expected"),
    [
        ("none", 2530.8),
        ("mm_dropped", 2530),
        ("nearest_5_mm", 2530),
        ("nearest_10_mm", 2530),
        ("up_25_mm", 2550),
    ],
)
def test_cutting_length_is_rounded_as_the_method_says(rounding, expected):
    found = cut("straight", 10, {"A": 2530.8}, methods={"length_rounding": rounding})
    assert found.length_mm == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("rounding", "length", "expected"),
    [
        ("nearest_5_mm", 1287.5, 1290),
        ("nearest_10_mm", 1285, 1290),
        ("up_25_mm", 1275, 1275),
        ("mm_dropped", 1288, 1288),
    ],
)
def test_rounding_of_halves_and_whole_steps(rounding, length, expected):
    assert cut("straight", 8, {"A": length}, methods={"length_rounding": rounding}).length_mm == expected


def test_method_says_which_dimension_was_read():
    assert "outside dimensions" in cut("stirrup", 8, {"A": 180, "B": 400}).method
    inside = cut("stirrup", 8, {"A": 180, "B": 400}, methods={"stirrup": "inside_24d"})
    assert "inside dimensions" in inside.method
    assert inside.source == "named in the design sheet"


def test_every_coefficient_carries_its_citation():
    found = cut("cranked", 12, {"A": 480, "B": 2500, "C": 480, "D": 88})
    sources = {name: item.source for name, item in found.inputs.items()}
    assert sources == {
        "A": "bar schedule, mark M1",
        "B": "bar schedule, mark M1",
        "C": "bar schedule, mark M1",
        "D": "bar schedule, mark M1",
        "d": "bar schedule, mark M1",
        "share": "bend-pages, crank at 45° (secondary)",
        "slant": "bend-pages, 45° bend (secondary)",
        "R": "is-2502-1963, bend radius k = 2; one bend A + E - R/2 - d (memory)",
    }


def test_formula_uses_every_input_and_no_other():
    found = cut("cranked", 12, {"A": 480, "B": 2500, "D": 88})
    assert derivation.names(found.formula) == set(found.inputs)


def test_missing_dimension_is_refused():
    with pytest.raises(ValueError, match="bar M1: shape u needs dimension B, C"):
        cut("u", 10, {"A": 85})
