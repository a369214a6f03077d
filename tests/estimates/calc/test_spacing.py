"""Bars laid over a plan, against shapely: a line at each level, cut by the polygons."""

import random

import pytest
from shapely import LineString, Polygon

from estimates.calc import spacing
from estimates.calc.sheet.types import Point
from estimates.calc.spacing import Piece, Plan

SQUARE = [Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000)]
L_SHAPE = [
    Point(0, 0),
    Point(8000, 0),
    Point(8000, 3000),
    Point(4000, 3000),
    Point(4000, 7000),
    Point(0, 7000),
]


def with_shapely(plan, *, count, cover):
    """Length of all bars along x: lines cut by the concrete, less a cover at each end, within the region."""
    holes = [[tuple(point) for point in outline] for _, outline in plan.openings]
    concrete = Polygon([tuple(point) for point in plan.outline], holes)
    region = Polygon([tuple(point) for point in plan.region])
    low = max(region.bounds[1], concrete.bounds[1] + cover)
    high = min(region.bounds[3], concrete.bounds[3] - cover)
    total = 0.0
    for index in range(count):
        level = low + (high - low) * index / (count - 1)
        line = LineString([(-1e6, level), (1e6, level)])
        for part in getattr(line.intersection(concrete), "geoms", [line.intersection(concrete)]):
            if part.length > 2 * cover:
                start, _, end, _ = part.bounds
                bar = LineString([(start + cover, level), (end - cover, level)])
                total += bar.intersection(region).length
    return total


def total(laid):
    return sum(piece.length_mm * piece.count for piece in laid.pieces)


@pytest.mark.parametrize("seed", range(20))
def test_total_length_equals_shapely(seed):
    chance = random.Random(seed)  # noqa: S311 - a repeatable plan, no secret
    left, bottom = chance.uniform(300, 1500), chance.uniform(300, 1500)
    width, height = chance.uniform(300, 2000), chance.uniform(300, 1200)
    hole = [
        Point(left, bottom),
        Point(left + width, bottom + chance.uniform(-90, 90)),
        Point(left + width, bottom + height),
        Point(left, bottom + height),
    ]
    skewed = [Point(x + chance.uniform(0, 200), y + chance.uniform(0, 200)) for x, y in L_SHAPE]
    region = chance.choice([skewed, [Point(500, 500), Point(7000, 700), Point(3500, 6500)]])
    plan = Plan(skewed, [("hole", hole)], region)
    laid = spacing.lay(plan, direction="x", count=37, end_cover_mm=25)
    assert total(laid) == pytest.approx(with_shapely(plan, count=37, cover=25), rel=1e-5)


def test_bars_along_y_are_those_along_x_of_the_turned_plan():
    turned = [Point(y, x) for x, y in L_SHAPE]
    along_x = spacing.lay(Plan(L_SHAPE, (), L_SHAPE), direction="x", count=21, end_cover_mm=20)
    along_y = spacing.lay(Plan(turned, (), turned), direction="y", count=21, end_cover_mm=20)
    assert along_x == along_y


def test_one_bar_lies_in_the_middle():
    laid = spacing.lay(
        Plan(L_SHAPE, (), [Point(0, 2900), Point(8000, 2900), Point(8000, 3300), Point(0, 3300)]),
        direction="x",
        count=1,
        end_cover_mm=20,
    )
    # The middle, y = 3100, lies in the narrow part of the L: 4000 - 40.
    assert laid.pieces == (Piece(3960, 1),)


def test_reentrant_outline_gives_pieces_without_blaming_an_opening():
    horns = [
        Point(0, 0), Point(6000, 0), Point(6000, 3000), Point(4000, 3000),
        Point(4000, 1000), Point(2000, 1000), Point(2000, 3000), Point(0, 3000),
    ]  # fmt: skip
    laid = spacing.lay(Plan(horns, (), horns), direction="x", count=4, end_cover_mm=20)
    # Bars at 20, 1006.7, 1993.3 and 2980: one whole, three in two horns of 2000.
    assert laid.pieces == (Piece(5960, 1), Piece(1960, 6))
    assert laid.cut_by == {}


def test_each_opening_is_named_with_its_own_bars():
    holes = [
        ("duct", [Point(500, 500), Point(700, 500), Point(700, 700), Point(500, 700)]),
        ("shaft", [Point(3000, 600), Point(3300, 600), Point(3300, 2500), Point(3000, 2500)]),
        ("far", [Point(1000, 2900), Point(1100, 2900), Point(1100, 2950), Point(1000, 2950)]),
    ]
    laid = spacing.lay(Plan(SQUARE, holes, SQUARE), direction="x", count=16, end_cover_mm=50)
    # Bars from 50 on, 193.3 apart: 630 meets the duct, 630 to 2370 (ten) meet the shaft.
    assert laid.cut_by == {"duct": 1, "shaft": 10}


def test_region_off_the_concrete_holds_no_bar():
    region = [Point(0, 0), Point(4000, 0), Point(4000, 30), Point(0, 30)]
    assert spacing.lay(Plan(SQUARE, (), region), direction="x", count=3, end_cover_mm=40).pieces == ()


@pytest.mark.parametrize(("direction", "expected"), [("x", 7000), ("y", 8000)])
def test_extent_is_measured_across_the_bars(direction, expected):
    assert spacing.extent_mm(L_SHAPE, direction=direction) == expected
