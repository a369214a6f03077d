"""Bars laid over a plan, against shapely: lines cut by the concrete moved in by its cover."""

import math
import random

import pytest
from shapely import LineString, Polygon, affinity
from shapely.geometry import Point as Dot

from estimates.calc import spacing
from estimates.calc.sheet.types import Point
from estimates.calc.spacing import Course, Piece, Plan

SQUARE = [Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000)]
L_SHAPE = [
    Point(0, 0),
    Point(8000, 0),
    Point(8000, 3000),
    Point(4000, 3000),
    Point(4000, 7000),
    Point(0, 7000),
]


def polygon(points):
    return Polygon([tuple(point) for point in points])


def moved(shape, by):
    return shape.buffer(by, join_style="mitre", mitre_limit=4)


def with_shapely(plan, *, count, cover, angle=0, shorter=0):
    """Length of bars: lines cut by concrete less its cover, within the region; and how many holes cut."""
    back = [affinity.rotate(polygon(ring), -angle, origin=(0, 0)) for ring in (plan.outline, plan.region)]
    holes = [affinity.rotate(polygon(ring), -angle, origin=(0, 0)) for _, ring in plan.openings]
    inside, region = moved(back[0], -cover), back[1]
    low, high = max(region.bounds[1], inside.bounds[1]), min(region.bounds[3], inside.bounds[3])
    total, cut = 0.0, 0
    for index in range(count):
        level = low + (high - low) * index / (count - 1)
        level = min(max(level, low + 1e-6), high - 1e-6)
        line = LineString([(-1e6, level), (1e6, level)])
        bars = line.intersection(inside).intersection(region)
        for hole in holes:
            if line.intersection(hole).length:
                cut += bool(bars.intersection(hole).length)
                bars = bars.difference(moved(hole, cover))
        off = shorter * (index % 2)
        total += sum(max(0, bar.length - 2 * off) for bar in getattr(bars, "geoms", [bars]))
    return total, cut


def total(laid):
    return sum(piece.length_mm * piece.count for piece in laid.pieces)


def circle(x, y, radius, *, corners=24):
    turns = [2 * math.pi * index / corners for index in range(corners)]
    return [Point(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


def random_plan(chance):
    """An L with skewed corners, a skewed hole and a round one, and a region, the whole or a triangle."""
    left, bottom = chance.uniform(300, 1500), chance.uniform(300, 1500)
    width, height = chance.uniform(300, 2000), chance.uniform(300, 1200)
    hole = [
        Point(left, bottom),
        Point(left + width, bottom + chance.uniform(-90, 90)),
        Point(left + width, bottom + height),
        Point(left, bottom + height),
    ]
    tank = circle(chance.uniform(5200, 6500), chance.uniform(1100, 1900), chance.uniform(200, 900))
    skewed = [Point(x + chance.uniform(0, 200), y + chance.uniform(0, 200)) for x, y in L_SHAPE]
    region = chance.choice([skewed, [Point(500, 500), Point(7000, 700), Point(3500, 6500)]])
    return Plan(skewed, [("hole", hole), ("tank", tank)], region)


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.parametrize("angle", [0, 30, 101.5])
def test_total_length_equals_shapely(seed, angle):
    chance = random.Random(seed)  # noqa: S311 - a repeatable plan, no secret
    plan, shorter = random_plan(chance), chance.choice([0, 250])
    course = Course(direction="x", count=37, end_cover_mm=25, angle_deg=angle, shorter_mm=shorter)
    laid = spacing.lay(plan, course)
    length, cut = with_shapely(plan, count=37, cover=25, angle=angle, shorter=shorter)
    # A bar within a hundredth of a millimetre of a corner may fall on either side: 1e-4 of the length.
    assert total(laid) == pytest.approx(length, rel=1e-4)
    assert sum(laid.cut_by.values()) == cut


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.parametrize(("direction", "angle"), [("x", 0), ("y", 0), ("x", 17), ("y", 60)])
def test_every_bar_lies_in_the_region_and_a_cover_inside_the_concrete(seed, direction, angle):
    plan = random_plan(random.Random(seed))  # noqa: S311 - a repeatable plan, no secret
    course = Course(direction=direction, count=41, end_cover_mm=30, angle_deg=angle)
    laid = spacing.lay(plan, course)
    holes = [polygon(ring) for _, ring in plan.openings]
    concrete, region = polygon(plan.outline), polygon(plan.region)
    edge = concrete.exterior
    bars = [LineString([start, end]) for start, end in spacing.segments(laid)]
    assert len(bars) == sum(piece.count for piece in laid.pieces)
    assert sum(bar.length for bar in bars) == pytest.approx(total(laid), rel=1e-5)
    for bar in bars:
        assert bar.distance(edge) > 30 - 0.01
        assert region.buffer(0.01).contains(bar)
        assert not any(bar.intersects(hole) for hole in holes)


def test_bars_along_y_are_those_along_x_of_the_turned_plan():
    turned = [Point(y, x) for x, y in L_SHAPE]
    along_x = spacing.lay(Plan(L_SHAPE, (), L_SHAPE), Course(direction="x", count=21, end_cover_mm=20))
    along_y = spacing.lay(Plan(turned, (), turned), Course(direction="y", count=21, end_cover_mm=20))
    assert along_x.pieces == along_y.pieces
    flipped = [(Point(a.y, a.x), Point(b.y, b.x)) for a, b in spacing.segments(along_y)]
    assert list(spacing.segments(along_x)) == flipped


def test_bars_turned_by_a_right_angle_are_those_along_the_other_axis():
    plan = Plan(L_SHAPE, [("tank", circle(2000, 2000, 600))], L_SHAPE)
    turned = spacing.lay(plan, Course(direction="x", count=31, end_cover_mm=20, angle_deg=90))
    along_y = spacing.lay(plan, Course(direction="y", count=31, end_cover_mm=20))
    assert total(turned) == pytest.approx(total(along_y), rel=1e-6)


def test_one_bar_lies_in_the_middle():
    strip = [Point(0, 2900), Point(8000, 2900), Point(8000, 3300), Point(0, 3300)]
    laid = spacing.lay(Plan(L_SHAPE, (), strip), Course(direction="x", count=1, end_cover_mm=20))
    # The middle, y = 3100, lies in the narrow part of the L: 4000 - 40.
    assert laid.pieces == (Piece(3960, 1),)


def test_reentrant_outline_gives_pieces_without_blaming_an_opening():
    horns = [
        Point(0, 0), Point(6000, 0), Point(6000, 3000), Point(4000, 3000),
        Point(4000, 1000), Point(2000, 1000), Point(2000, 3000), Point(0, 3000),
    ]  # fmt: skip
    laid = spacing.lay(Plan(horns, (), horns), Course(direction="x", count=4, end_cover_mm=20))
    # Bars at 20, 1006.7, 1993.3 and 2980: one whole, three in two horns of 2000.
    assert laid.pieces == (Piece(5960, 1), Piece(1960, 6))
    assert laid.cut_by == {}


def test_each_opening_is_named_with_its_own_bars():
    holes = [
        ("duct", [Point(500, 500), Point(700, 500), Point(700, 700), Point(500, 700)]),
        ("shaft", [Point(3000, 600), Point(3300, 600), Point(3300, 2500), Point(3000, 2500)]),
        ("far", [Point(1000, 2850), Point(1100, 2850), Point(1100, 2900), Point(1000, 2900)]),
    ]
    laid = spacing.lay(Plan(SQUARE, holes, SQUARE), Course(direction="x", count=16, end_cover_mm=50))
    # Bars from 50 on, 193.3 apart: 630 meets the duct, 630 to 2370 (ten) meet the shaft; of `far`, from 2850
    # to 2900, the bar at 2950 is just one cover off, and that at 2756.7 is 93.3 mm off.
    assert laid.cut_by == {"duct": 1, "shaft": 10}
    assert laid.beside == {}


def test_bar_closer_to_an_opening_than_its_cover_stays_whole():
    # Bars at 50, 1016.7, 1983.3, 2950; the opening ends at 1000, 16.7 mm below the second.
    hole = [("duct", [Point(500, 600), Point(900, 600), Point(900, 1000), Point(500, 1000)])]
    laid = spacing.lay(Plan(SQUARE, hole, SQUARE), Course(direction="x", count=4, end_cover_mm=50))
    assert laid.pieces == (Piece(3900, 4),)
    assert (laid.cut_by, laid.beside) == ({}, {"duct": 1})


def test_round_opening_takes_its_chord_and_a_cover_at_each_side():
    # Radius 600 about the middle; the bar through the centre loses 2 (600 + 25) = 1250, in two pieces.
    tank = [("tank", circle(2000, 1500, 600, corners=100))]
    laid = spacing.lay(Plan(SQUARE, tank, SQUARE), Course(direction="x", count=3, end_cover_mm=25))
    lengths = [piece.length_mm for piece in laid.pieces]
    assert lengths == pytest.approx([3950, 2000 - 25 - 625, 2000 - 25 - 625], abs=0.5) or lengths == (
        pytest.approx([3950, 1350], abs=0.5)
    )
    assert total(laid) == pytest.approx(2 * 3950 + 3950 - 1250, abs=1)


@pytest.mark.parametrize(
    # Lines by hand over 3000 mm at 200: from the cover 20, 220, ... 2820: (2980 - 20) / 200 = 14.8 so 15;
    # half a space in, 100, 300, ... 2900: 15; 50 mm in, 50, 250, ... 2850: 15.
    ("first", "lines", "start"),
    [(0, 15, 20), (100, 15, 100), (50, 15, 50)],
)
def test_lines_at_their_own_spacing(first, lines, start):
    course = Course(direction="x", end_cover_mm=20, step_mm=200, first_mm=first)
    laid = spacing.lay(Plan(SQUARE, (), SQUARE), course)
    places = [bar[0].y for bar in spacing.segments(laid)]
    assert laid.lines == lines
    assert places == pytest.approx([start + 200 * index for index in range(lines)])


def test_every_second_bar_is_shorter_at_both_ends():
    course = Course(direction="x", end_cover_mm=20, count=5, shorter_mm=400)
    laid = spacing.lay(Plan(SQUARE, (), SQUARE), course)
    assert laid.pieces == (Piece(3960, 3), Piece(3160, 2))
    assert [bar[0].x for bar in spacing.segments(laid)] == [20, 420, 20, 420, 20]


def test_region_off_the_concrete_holds_no_bar():
    region = [Point(0, 0), Point(4000, 0), Point(4000, 30), Point(0, 30)]
    laid = spacing.lay(Plan(SQUARE, (), region), Course(direction="x", count=3, end_cover_mm=40))
    assert (laid.pieces, laid.lines) == ((), 0)


def test_slab_narrower_than_two_covers_holds_no_bar():
    strip = [Point(0, 0), Point(4000, 0), Point(4000, 70), Point(0, 70)]
    assert spacing.lay(Plan(strip, (), strip), Course(direction="x", count=3, end_cover_mm=40)).pieces == ()


@pytest.mark.parametrize(
    ("direction", "angle", "expected"),
    [("x", 0, 7000), ("y", 0, 8000), ("x", 90, 8000), ("x", 45, (8000 + 7000) / math.sqrt(2))],
)
def test_extent_is_measured_across_the_bars(direction, angle, expected):
    found = spacing.extent_mm(L_SHAPE, direction=direction, angle_deg=angle)
    # Turned by 45°, from the corner (8000, 0) to (0, 7000): both over the root of 2.
    assert found == pytest.approx(expected, abs=0.01)


def test_hole_reaching_over_the_edge_cuts_like_a_notch():
    hole = [("notch", [Point(-100, 500), Point(1000, 500), Point(1000, 900), Point(-100, 900)])]
    laid = spacing.lay(Plan(SQUARE, hole, SQUARE), Course(direction="x", end_cover_mm=50, step_mm=650))
    # Lines at 50, 700, ...: the second runs from 1050 to 3950.
    assert Piece(2900, 1) in laid.pieces
    assert polygon(SQUARE).contains(Dot(1050, 700))
