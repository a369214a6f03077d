"""Bars laid over any slab: against shapely, whatever outline, holes, region, angle and way of laying."""

import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from estimates.calc import spacing
from estimates.calc.sheet.types import Point
from estimates.calc.spacing import Course, Plan

COVER = 30


def star(centre, radii):
    """A polygon round a point with a corner at each radius; concave where radii differ."""
    turns = [2 * math.pi * index / len(radii) for index in range(len(radii))]
    return [
        Point(round(centre[0] + radius * math.cos(turn), 3), round(centre[1] + radius * math.sin(turn), 3))
        for turn, radius in zip(turns, radii, strict=True)
    ]


outlines = st.lists(st.floats(2_500, 9_000), min_size=5, max_size=12).map(lambda radii: star((0, 0), radii))
round_holes = st.tuples(st.floats(-2_500, 2_500), st.floats(-2_500, 2_500), st.floats(120, 700)).map(
    lambda hole: star(hole[:2], [hole[2]] * 24)
)
regions = st.one_of(
    st.none(),
    st.lists(st.floats(800, 9_500), min_size=3, max_size=6).map(lambda radii: star((300, -200), radii)),
)
courses = st.fixed_dictionaries(
    {
        "direction": st.sampled_from(["x", "y"]),
        "angle_deg": st.one_of(st.just(0), st.floats(-179, 179)),
        "shorter_mm": st.one_of(st.just(0), st.floats(1, 900)),
    }
)
ways = st.one_of(
    st.integers(1, 60).map(lambda count: {"count": count}),
    st.tuples(st.floats(90, 600), st.floats(0, 300)).map(lambda way: {"step_mm": way[0], "first_mm": way[1]}),
)


@pytest.fixture
def examples(full_size):
    return 2_000 if full_size else 100


@pytest.mark.long
def test_bars_fill_the_concrete_and_nothing_else(examples):
    """Each bar lies in the region, a cover off edge and holes, and is as long as it can be."""

    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )
    @given(outlines, st.lists(round_holes, max_size=3), regions, courses, ways)
    def run(outline, holes, region, course, way):
        assume(Polygon(outline).is_valid)
        plan = Plan(outline, [(f"hole {n}", hole) for n, hole in enumerate(holes)], region or outline)
        laid = spacing.lay(plan, Course(end_cover_mm=COVER, **course, **way))
        check(laid, plan=plan, shorter=course["shorter_mm"])

    run()


def check(laid, *, plan, shorter):
    concrete = Polygon([tuple(point) for point in plan.outline])
    cuts = [Polygon([tuple(point) for point in hole]) for _, hole in plan.openings]
    region = Polygon([tuple(point) for point in plan.region])
    inside = concrete.buffer(-COVER, join_style="mitre", mitre_limit=4)
    bars = [LineString(ends) for ends in spacing.segments(laid)]
    assert len(bars) == sum(piece.count for piece in laid.pieces)
    total = sum(piece.length_mm * piece.count for piece in laid.pieces)
    assert sum(bar.length for bar in bars) == pytest.approx(total, abs=0.01 * len(bars) + 0.01)
    for bar in bars:
        assert region.buffer(0.02).contains(bar)
        assert inside.buffer(0.05).contains(bar)
        assert all(bar.distance(hole) > COVER - 0.05 for hole in cuts if on_one_line(bar, hole=hole))
        if not shorter:
            assert stopped(bar, inside=inside, region=region, cuts=cuts)


def on_one_line(bar, *, hole):
    """Whether the bar, drawn on for ever, goes through the hole."""
    (x0, y0), (x1, y1) = bar.coords
    far = ((x1 - x0) / bar.length * 1e5, (y1 - y0) / bar.length * 1e5)
    return LineString([(x0 - far[0], y0 - far[1]), (x1 + far[0], y1 + far[1])]).crosses(hole.buffer(-0.02))


def stopped(bar, *, inside, region, cuts):
    """Whether the bar cannot go on for 2 mm at its ends, for an edge, the region's end or a hole's cover."""
    (x0, y0), (x1, y1) = bar.coords
    along = ((x1 - x0) / bar.length * 2, (y1 - y0) / bar.length * 2)
    beyond = [
        LineString([(x0, y0), (x0 - along[0], y0 - along[1])]),
        LineString([(x1, y1), (x1 + along[0], y1 + along[1])]),
    ]
    near = [hole.buffer(COVER, join_style="mitre", mitre_limit=4) for hole in cuts]
    return all(
        not inside.buffer(-0.02).contains(step)
        or not region.buffer(-0.02).contains(step)
        or any(step.intersects(hole.buffer(0.05)) for hole in near)
        for step in beyond
    )
