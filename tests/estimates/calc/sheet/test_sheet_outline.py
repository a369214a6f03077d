"""Outlines against shapely's verdict, and the faults' words."""

import math
import random

import pytest
from shapely import Polygon

from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.types import Point

SQUARE = [Point(0, 0), Point(1000, 0), Point(1000, 1000), Point(0, 1000)]


def codes(*corners):
    return [code for code, _ in outlines.faults_of([Point(x, y) for x, y in corners])]


@pytest.mark.parametrize(
    ("corners", "expected"),
    [
        ([(0, 0), (4000, 0), (4000, 3000), (0, 3000)], []),
        ([(0, 3000), (4000, 3000), (4000, 0), (0, 0)], []),
        # A corner on a straight edge is no fault.
        ([(0, 0), (2000, 0), (4000, 0), (4000, 3000), (0, 3000)], []),
        ([(0, 0), (4000, 3000), (4000, 0), (0, 3000)], ["crosses_itself"]),
        # No area: all on one line.
        ([(0, 0), (4000, 0), (2000, 0)], ["crosses_itself"]),
        # A spike out and back.
        ([(0, 0), (4000, 0), (4000, 3000), (4000, 5000), (4000, 3000.5), (0, 3000)], ["crosses_itself"]),
        # A corner that touches a far edge.
        ([(0, 0), (4000, 0), (4000, 3000), (2000, 0), (0, 3000)], ["crosses_itself"]),
        # Two parts that meet in one corner.
        ([(0, 0), (1000, 1000), (2000, 0), (2000, 2000), (1000, 1000), (0, 2000)], ["crosses_itself"]),
        # The way folds back at the first corner.
        ([(0, 0), (2000, 0), (2000, 1000), (1000, 0)], ["crosses_itself"]),
        ([(0, 0), (4000, 0), (4000, 3000), (0, 3000), (0, 0)], ["repeated_corner"]),
        ([(0, 0), (4000, 0), (4000, 0.0001), (4000, 3000), (0, 3000)], ["repeated_corner"]),
    ],
)
def test_outline_is_sound_or_named(corners, expected):
    assert codes(*corners) == expected


@pytest.mark.parametrize("seed", range(200))
def test_verdict_equals_shapely(seed):
    chance = random.Random(seed)  # noqa: S311 - repeatable corners, no secret
    corners = [(chance.randrange(9) * 500, chance.randrange(9) * 500) for _ in range(chance.randrange(3, 8))]
    repeated = any(here == corners[index - 1] for index, here in enumerate(corners))
    expected = "repeated" if repeated else Polygon(corners).is_valid
    found = codes(*corners)
    assert ("repeated" if found == ["repeated_corner"] else not found) == expected


def test_sentence_names_the_edges():
    (found,) = outlines.faults_of([Point(0, 0), Point(4000, 3000), Point(4000, 0), Point(0, 3000)])
    assert found[1] == (
        "crosses or touches itself: edge (0, 0) to (4000, 3000) meets edge (4000, 0) to (0, 3000); "
        "put the corners in order around it"
    )


def test_many_crossings_are_counted_and_not_listed():
    star = [
        Point(5000 + 4000 * math.cos(step * 4 * math.pi / 9), 5000 + 4000 * math.sin(step * 4 * math.pi / 9))
        for step in range(9)
    ]
    (found,) = outlines.faults_of(star)
    # A star {9/2} crosses itself nine times.
    assert found[1].count("meets edge") == 3
    assert "and 6 more" in found[1]


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (
            [(0, 0), (4000, 0), (4000, 3000), (0, 0)],
            "repeats its corner (0, 0) (the last corner joins the first by itself); leave the second one out",
        ),
        ([(0, 0), (4000, 0), (4000, 0), (0, 3000)], "repeats its corner (4000, 0); leave the second one out"),
    ],
)
def test_repeated_corner_is_named(corners, words):
    assert outlines.faults_of([Point(x, y) for x, y in corners]) == [("repeated_corner", words)]


@pytest.mark.parametrize("seed", range(30))
def test_areas_equal_shapely(seed):
    chance = random.Random(seed)  # noqa: S311 - repeatable corners, no secret

    def triangle():
        while True:
            corners = [(chance.uniform(0, 9000), chance.uniform(0, 9000)) for _ in range(3)]
            if Polygon(corners).area > 1e5:
                return corners

    one, other = triangle(), triangle()
    ours = [[Point(x, y) for x, y in corners] for corners in (one, other)]
    shared = Polygon(one).intersection(Polygon(other)).area
    left_over = Polygon(one).difference(Polygon(other)).area
    tolerance = 0.02 * Polygon(one).length
    assert outlines.area_shared_mm2(ours[0], other=ours[1]) == pytest.approx(shared, abs=tolerance)
    assert outlines.area_outside_mm2(ours[0], outer=ours[1]) == pytest.approx(left_over, abs=tolerance)


def test_a_speck_within_the_tolerance_is_nothing():
    wider = [Point(0, 0), Point(1000.005, 0), Point(1000.005, 1000), Point(0, 1000)]
    assert outlines.area_outside_mm2(wider, outer=SQUARE) == 0


def test_more_than_the_tolerance_is_found():
    wider = [Point(0, 0), Point(1001, 0), Point(1001, 1000), Point(0, 1000)]
    assert outlines.area_outside_mm2(wider, outer=SQUARE) == pytest.approx(1000)


@pytest.mark.parametrize(
    ("point", "expected"), [((500, 500), True), ((1000, 500), True), ((0, 0), True), ((1000.01, 500), False)]
)
def test_a_place_on_the_edge_is_held(point, expected):
    assert outlines.holds(SQUARE, point=Point(*point)) is expected
