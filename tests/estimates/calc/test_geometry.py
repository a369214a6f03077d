"""Slabs small enough to measure by hand; random ones stand in tests/properties."""

import math

import pytest

from estimates.calc.geometry import faces
from estimates.calc.geometry.faces import FaceKind
from estimates.calc.geometry.solid import Kind
from tests.factories.solids import Rib, stacked

ROOM = [(0, 0), (4000, 0), (4000, 3000), (0, 3000)]


def measured(stack):
    """Volume [m³], edge, beam sides, beam soffit, slab soffit [m²]."""
    seen, below = faces.vertical(stack), faces.soffits(stack)
    sides = [math.fsum(f.area_mm2 for f in seen if f.kind == kind) for kind in (FaceKind.EDGE, FaceKind.BEAM)]
    soffits = [math.fsum(s.area_mm2 for s in below if s.kind == kind) for kind in (Kind.BEAM, Kind.SLAB)]
    return [stack.volume_mm3 / 1e9, *(face / 1e6 for face in (*sides, *soffits))]


def test_plain_slab():
    # 4 × 3 × 0.125; edge 14 × 0.125.
    assert measured(stacked(ROOM, thickness_mm=125)) == pytest.approx([1.5, 1.75, 0, 0, 12])


def test_outline_either_way_round_is_the_same():
    forward, backward = (stacked(ring, thickness_mm=125) for ring in (ROOM, ROOM[::-1]))
    assert forward == backward


def test_opening_leaves_the_volume_and_adds_its_edge():
    hole = [(1000, 1000), (2000, 1000), (2000, 1500), (1000, 1500)]
    # 12 − 0.5 = 11.5 m²; edge (14 + 3) × 0.1.
    assert measured(stacked(ROOM, thickness_mm=100, openings=[hole])) == pytest.approx(
        [1.15, 1.7, 0, 0, 11.5]
    )


def test_two_openings_that_overlap_count_once():
    holes = [[(x, 1000), (x + 1000, 1000), (x + 1000, 2000), (x, 2000)] for x in (1000, 1500)]
    # Together 1.5 × 1.0 m: 12 − 1.5; edge (14 + 5) × 0.1.
    expected = [1.05, 1.9, 0, 0, 10.5]
    assert measured(stacked(ROOM, thickness_mm=100, openings=holes)) == pytest.approx(expected)


def test_beam_across_the_room():
    # Rib 4.0 × 0.2 × 0.3 below the slab; its perimeter 8.4 m × 0.3; soffit 0.8; slab soffit 12 − 0.8.
    stack = stacked(ROOM, thickness_mm=100, beams=[Rib((0, 1500), (4000, 1500))])
    assert measured(stack) == pytest.approx([1.2 + 0.24, 1.4, 2.52, 0.8, 11.2])


def test_crossing_beams_count_their_crossing_once():
    ribs = [Rib((0, 1500), (4000, 1500)), Rib((2000, 0), (2000, 3000))]
    # Plan 0.8 + 0.6 − 0.04 = 1.36; outline of the cross: 8.4 + 6.4 − 4 × 0.2 − 4 × 0.0 = 2 × (4 + 3) = 14 m.
    stack = stacked(ROOM, thickness_mm=100, beams=ribs)
    assert measured(stack) == pytest.approx([1.2 + 1.36 * 0.3, 1.4, 14 * 0.3, 1.36, 12 - 1.36])


def test_deeper_beam_makes_a_second_layer_with_its_own_sides():
    ribs = [Rib((0, 1500), (4000, 1500), depth_mm=500), Rib((2000, 0), (2000, 3000), depth_mm=400)]
    # First 0.3 m: the cross of 1.36 m² and 14 m; last 0.1 m: only the deep beam, 0.8 m² and 8.4 m.
    stack = stacked(ROOM, thickness_mm=100, beams=ribs)
    assert measured(stack) == pytest.approx([1.2 + 1.36 * 0.3 + 0.08, 1.4, 4.2 + 0.84, 1.36, 10.64])


def test_beam_given_twice_counts_once():
    once, twice = ([Rib((0, 1500), (4000, 1500))] * number for number in (1, 2))
    assert measured(stacked(ROOM, thickness_mm=100, beams=once)) == measured(
        stacked(ROOM, thickness_mm=100, beams=twice)
    )


def test_part_of_a_beam_outside_the_slab_is_not_cast():
    # Centre line on the slab's edge: only half the width lies within, and the line runs 1 m past both ends.
    stack = stacked(ROOM, thickness_mm=100, beams=[Rib((-1000, 0), (5000, 0))])
    assert measured(stack) == pytest.approx([1.2 + 4 * 0.1 * 0.3, 1.4, 8.2 * 0.3, 0.4, 11.6])


def test_opening_through_a_beam_cuts_it_and_forms_its_faces():
    hole = [(1500, 1000), (2500, 1000), (2500, 2000), (1500, 2000)]
    # The beam of 4.0 m loses its middle metre: two ribs of 1.5 × 0.2, each with 3.4 m around it.
    stack = stacked(ROOM, thickness_mm=100, openings=[hole], beams=[Rib((0, 1500), (4000, 1500))])
    assert measured(stack) == pytest.approx([1.1 + 0.6 * 0.3, 1.8, 6.8 * 0.3, 0.6, 11 - 0.6])


def test_beam_no_deeper_than_the_slab_adds_nothing():
    hidden = stacked(ROOM, thickness_mm=100, beams=[Rib((0, 1500), (4000, 1500), depth_mm=100)])
    assert measured(hidden) == measured(stacked(ROOM, thickness_mm=100))


def test_slanting_beam():
    # 5 m along the 3-4-5 triangle, well inside: 5 × 0.2 in plan, 10.4 m around.
    field = [(-9000, -9000), (9000, -9000), (9000, 9000), (-9000, 9000)]
    stack = stacked(field, thickness_mm=100, beams=[Rib((0, 0), (3000, 4000))])
    assert measured(stack)[3] == pytest.approx(1.0, rel=1e-6)
    assert measured(stack)[2] == pytest.approx(10.4 * 0.3, rel=1e-6)


def test_round_slab_of_many_corners_tends_to_pi():
    corners = [(5000 * math.cos(a), 5000 * math.sin(a)) for a in (2 * math.pi * n / 480 for n in range(480))]
    # Regular polygon of n corners: n/2 · r² · sin(2π/n).
    expected = 480 / 2 * 25 * math.sin(2 * math.pi / 480)
    assert stacked(corners, thickness_mm=100).area_mm2 / 1e6 == pytest.approx(expected, rel=1e-7)


def test_opening_that_splits_the_slab_leaves_two_panels():
    slot = [(1800, 0), (2200, 0), (2200, 3000), (1800, 3000)]
    # Two panels of 1.8 × 3.0, each 9.6 m around.
    assert measured(stacked(ROOM, thickness_mm=100, openings=[slot])) == pytest.approx(
        [1.08, 1.92, 0, 0, 10.8]
    )


def test_beam_wholly_in_an_opening_leaves_a_stack_without_ribs():
    hole = [(500, 500), (3500, 500), (3500, 2500), (500, 2500)]
    stack = stacked(ROOM, thickness_mm=100, openings=[hole], beams=[Rib((1000, 1500), (3000, 1500))])
    assert measured(stack) == pytest.approx([0.6, 2.4, 0, 0, 6])


def test_opening_as_large_as_the_slab_leaves_nothing():
    stack = stacked(ROOM, thickness_mm=100, openings=[ROOM], beams=[Rib((0, 1500), (4000, 1500))])
    assert measured(stack) == [0, 0, 0, 0, 0]


def test_whole_micrometres_keep_a_third_of_a_millimetre():
    third = [(0, 0), (1000.333, 0), (1000.333, 1000), (0, 1000)]
    assert stacked(third, thickness_mm=100).area_mm2 == pytest.approx(1_000_333, abs=1e-6)


def test_largest_coordinates_are_still_exact():
    reach = 200_000
    square = [(-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach)]
    assert stacked(square, thickness_mm=100).area_mm2 == 400_000.0**2


@pytest.mark.parametrize(
    ("outline", "message"),
    [
        ([(0, 0), (1000, 0), (2000, 0)], "encloses no area"),
        ([(0, 0), (1e9, 0), (0, 1e9)], "beyond"),
    ],
)
def test_outline_that_cannot_be_measured_is_refused(outline, message):
    with pytest.raises(ValueError, match=message):
        stacked(outline, thickness_mm=100)


def test_beam_of_no_length_is_refused():
    with pytest.raises(ValueError, match="has no length"):
        stacked(ROOM, thickness_mm=100, beams=[Rib((1000, 1000), (1000, 1000))])
