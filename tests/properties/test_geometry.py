"""The layers of random slabs against shapely, against points thrown at random, and when the plan is moved."""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from estimates.calc.geometry import rings, solid
from estimates.calc.geometry.solid import Plan
from tests.estimates.calc.test_geometry import measured
from tests.properties import random_slabs
from tests.worked import drawn

SEEDS = range(60)
MORE_SEEDS = range(3_000)
SEED_OF_POINTS = 20_260_301


def stacked(slab):
    return solid.build(
        Plan(
            outlines=[slab.outline],
            thickness_mm=slab.thickness_mm,
            openings=slab.openings,
            beams=slab.beams,
        )
    )


def footprints(slab):
    """Footprint and height of each layer by shapely; beams as strips about their lines."""
    plan = shapely.Polygon(slab.outline) - shapely.union_all(
        [shapely.Polygon(ring) for ring in slab.openings]
    )
    yield plan, slab.thickness_mm
    top = slab.thickness_mm
    for depth in sorted({beam.depth_mm for beam in slab.beams if beam.depth_mm > slab.thickness_mm}):
        strips = [
            shapely.LineString([beam.start, beam.end]).buffer(beam.width_mm / 2, cap_style="flat")
            for beam in slab.beams
            if beam.depth_mm >= depth
        ]
        yield shapely.union_all(strips) & plan, depth - top
        top = depth


def told_apart(layers):
    """Layers with those of the same footprint taken together: a beam within the slab parts two."""
    found = []
    for layer in layers:
        same = found and abs(found[-1].area_mm2 - layer.area_mm2) < 1
        height = layer.height_mm + (found.pop().height if same else 0)
        found.append(Slice(layer.area_mm2, layer.perimeter_mm, height))
    return found


@dataclass(frozen=True)
class Slice:
    area_mm2: float
    perimeter_mm: float
    height: float


def test_layers_match_shapely(full_size):
    for seed in MORE_SEEDS if full_size else SEEDS:
        slab = random_slabs.slab(seed)
        layers = told_apart(stacked(slab).layers)
        expected = []
        for plan, height in footprints(slab):
            if expected and abs(expected[-1][0].area - plan.area) < 1:
                expected[-1] = (plan, expected[-1][1] + height)
            elif not plan.is_empty:
                expected.append((plan, height))
        assert len(layers) == len(expected), seed
        for layer, (plan, height) in zip(layers, expected, strict=True):
            # Corners are rounded to 0.001 mm: an edge may move by that much, and a sharp corner, where edges
            # meet at a fraction of a degree, by some hundred times more.
            around = plan.length
            assert layer.height == pytest.approx(height, abs=0.002), seed
            assert layer.area_mm2 == pytest.approx(plan.area, rel=1e-9, abs=0.002 * around + 1e-3), seed
            assert layer.perimeter_mm == pytest.approx(around, rel=1e-6, abs=0.5), seed


def _inside(ring, x, y):
    """Even-odd rule: a ray to the right crosses the ring an odd number of times."""
    odd = np.zeros(x.shape, dtype=bool)
    for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True):
        with np.errstate(divide="ignore", invalid="ignore"):
            at = x1 + (y - y1) / (y2 - y1) * (x2 - x1)
        odd ^= ((y1 > y) != (y2 > y)) & (x < at)
    return odd


def _depth(slab, x, y):
    depth = np.full(x.shape, slab.thickness_mm)
    for beam in slab.beams:
        (x1, y1), (x2, y2) = beam.start, beam.end
        length = math.dist(beam.start, beam.end)
        along = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length
        across = abs((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) / length
        within = (along >= 0) & (along <= length) & (across <= beam.width_mm / 2)
        depth[within] = np.maximum(depth[within], beam.depth_mm)
    depth[~_inside(slab.outline, x, y)] = 0
    for opening in slab.openings:
        depth[_inside(opening, x, y)] = 0
    return depth


def test_volume_matches_points_thrown_at_random(full_size):
    points = 2_000_000 if full_size else 100_000
    thrown = np.random.default_rng(SEED_OF_POINTS)
    for seed in range(200 if full_size else 20):
        slab = random_slabs.slab(seed)
        x, y = thrown.uniform(-8_000, 8_000, (2, points))
        depth = _depth(slab, x, y)
        square = 16_000.0**2
        spread = depth.std() / math.sqrt(points) * square
        # Five standard errors: one false alarm in about two million slabs.
        assert stacked(slab).volume_mm3 == pytest.approx(depth.mean() * square, abs=5 * spread), seed


places = st.integers(0, 40).map(lambda step: step * 100)


@dataclass(frozen=True)
class Drawn:
    outline: list
    openings: list
    beams: list
    thickness_mm: float


@dataclass(frozen=True)
class Opening:
    outline: list


@st.composite
def plans_on_a_grid(draw):
    """Slabs that touch, coincide and overlap on purpose: everything lies on a grid of 100 mm."""
    beams = []
    for _ in range(draw(st.integers(0, 5))):
        ends, place = sorted(draw(st.lists(places, min_size=2, max_size=2, unique=True))), draw(places)
        line = [(end, place) for end in ends] if draw(st.booleans()) else [(place, end) for end in ends]
        depth = float(draw(st.sampled_from((100, 300, 400, 500))))
        beams.append(
            random_slabs.Rib(*line, width_mm=float(draw(st.sampled_from((200, 400)))), depth_mm=depth)
        )
    openings = []
    for _ in range(draw(st.integers(0, 3))):
        (x1, x2), (y1, y2) = (
            sorted(draw(st.lists(places, min_size=2, max_size=2, unique=True))) for _ in range(2)
        )
        openings.append(Opening([(x1, y1), (x2, y1), (x2, y2), (x1, y2)]))
    return Drawn([(0, 0), (4000, 0), (4000, 4000), (0, 4000)], openings, beams, thickness_mm=100.0)


@given(plan=plans_on_a_grid())
def test_faces_on_a_grid_match_the_count_of_cells(plan):
    rings = [opening.outline for opening in plan.openings]
    stack = solid.build(Plan(outlines=[plan.outline], thickness_mm=100.0, openings=rings, beams=plan.beams))
    depth = drawn.depth_map(plan, cell_mm=100)
    # An opening's cells hold no concrete at all, so that they are neither slab nor beam soffit.
    found = drawn.counted(depth, cell_mm=100, thickness_mm=100.0)
    assert measured(stack) == pytest.approx(found, rel=1e-9, abs=1e-9)


@settings(deadline=None)
@given(seed=st.integers(0, 10_000), dx=st.integers(-5_000, 5_000), dy=st.integers(-5_000, 5_000))
def test_moving_and_turning_the_plan_changes_nothing(seed, dx, dy):
    slab = random_slabs.slab(seed)

    def turned(place):
        return (dx - place[1], dy + place[0])

    moved = random_slabs.Slab(
        outline=[turned(place) for place in slab.outline],
        openings=[[turned(place) for place in ring] for ring in slab.openings],
        beams=[replace(beam, start=turned(beam.start), end=turned(beam.end)) for beam in slab.beams],
        thickness_mm=slab.thickness_mm,
    )
    here, there = stacked(slab), stacked(moved)
    assert there.volume_mm3 == pytest.approx(here.volume_mm3, rel=1e-6)
    assert measured(there) == pytest.approx(measured(here), rel=1e-5, abs=1e-3)


@given(seed=st.integers(0, 10_000))
def test_one_more_beam_never_takes_concrete_away(seed):
    slab = random_slabs.slab(seed)
    more = replace(slab, beams=[*slab.beams, random_slabs.Rib((-5000, -4000), (5000, 4500), 300, 600)])
    assert stacked(more).volume_mm3 >= stacked(slab).volume_mm3 - 1e3
    assert stacked(more).area_mm2 == stacked(slab).area_mm2


def test_a_hole_that_its_ring_touches_stays_a_hole():
    # Two walls round panels and a beam, turned, whose clipped outline comes back to two of its corners.
    outer = [(1194979, -489224), (1139556, 208579), (541439, 161073), (596863, -536730)]
    inner = [(649043, 69305), (1147474, 108893), (1187061, -389538), (688631, -429126)]
    next_outer = [(688631, -429125), (593621, 767108), (95189, 727519), (190201, -468714)]
    next_inner = [(202793, 635751), (501852, 659504), (581027, -337357), (281969, -361110)]
    beam = [(1155391, 9207), (1123721, 407951), (-670628, 265434), (-638958, -133310)]
    found = rings.union([outer, inner, next_outer, next_inner], [beam])
    walls = [shapely.Polygon(outer) - shapely.Polygon(inner)]
    walls.append(shapely.Polygon(next_outer) - shapely.Polygon(next_inner))
    united = shapely.union_all([*walls, shapely.Polygon(beam)])
    assert rings.area_mm2(found) == pytest.approx(united.area / 1e6, abs=5)


@given(
    boxes=st.lists(
        st.tuples(*(st.lists(st.integers(0, 11), min_size=2, max_size=2, unique=True) for _ in range(2))),
        min_size=2,
        max_size=7,
    )
)
@example(boxes=[([0, 3], [0, 3]), ([0, 1], [0, 4]), ([2, 3], [3, 5])])
def test_outline_of_boxes_that_touch_is_that_of_one_shape(boxes):
    corners = [[(x1, y1), (x2, y1), (x2, y2), (x1, y2)] for (x1, x2), (y1, y2) in boxes]
    whole = shapely.union_all([shapely.Polygon(ring) for ring in corners])
    found = rings.union(*([rings.ring(ring)] for ring in corners))
    assert rings.perimeter_mm(found) == pytest.approx(whole.length)
    assert rings.area_mm2(found) == pytest.approx(whole.area)
