"""Random slabs with panels, sides, bent beams and upstands against a count of cells, as drawn and turned."""

import math
import random

import pytest

from estimates.calc.geometry import faces, pours, solid
from estimates.calc.geometry.faces import FaceKind
from estimates.calc.geometry.solid import Kind
from estimates.calc.sheet.joints import ConstructionJoint
from estimates.calc.sheet.shape import Circle, Opening
from tests.properties import voxels

SEEDS, MORE_SEEDS = range(25), range(1_000)
# Turned, two beams of seed 190 touch along a slanting edge and leave a spike along a true face.
SPIKED = 190
# Turned, a beam or a wall of these only touches the joint: clipped to a pour, nothing of it is left.
TOUCHING = (694, 886)
TURN = 0.618


def of_kinds(made):
    """Volume of each kind; where kinds overlap, the concrete counts to the first."""
    found, taken = {}, False
    for kind, cells in zip(Kind, made.cells, strict=True):
        found[kind] = voxels.volume_mm3(cells & ~taken)
        taken = cells | taken
    return found


def total(items):
    return math.fsum(item.area_mm2 for item in items)


@pytest.mark.parametrize("turn", [0.0, TURN], ids=["as drawn", "turned"])
def test_volumes_and_faces_match_the_count_of_cells(full_size, turn):
    for seed in MORE_SEEDS if full_size else (*SEEDS, SPIKED):
        made = voxels.slab(seed, turn=turn)
        found = solid.build(made.plan)
        whole = made.cells.any(axis=0)
        # A turned corner is rounded to 0.001 mm: some ten metres of edge move by that much, up to 1 m high.
        near = {"rel": 1e-9, "abs": 1e-3 if turn == 0 else 20}
        close = {"rel": 1e-9, "abs": 1e-3 if turn == 0 else 10_000}
        assert found.volume_mm3 == pytest.approx(voxels.volume_mm3(whole), **close), seed
        volumes = {kind: found.volume_of(kind) for kind in Kind}
        assert volumes == pytest.approx(of_kinds(made), **close), seed
        seen = faces.vertical(found)
        assert total(seen) == pytest.approx(voxels.upright_mm2(whole), **near), seed
        assert total(faces.soffits(found)) == pytest.approx(voxels.downward_mm2(whole), **near), seed
        edges = [face for face in seen if face.kind == FaceKind.EDGE]
        assert total(edges) == pytest.approx(voxels.edge_mm2(made), **near), seed


@pytest.mark.parametrize("turn", [0.0, TURN], ids=["as drawn", "turned"])
def test_pours_along_a_joint_match_the_count_of_cells(full_size, turn):
    for seed in MORE_SEEDS if full_size else (*SEEDS, *TOUCHING):
        made = voxels.slab(seed, turn=turn)
        at = random.Random(seed).randrange(3, 17)  # noqa: S311 - a test repeats its slabs by their seed
        line = tuple(voxels.turned((at * 100.0, y), turn) for y in (0.0, 500.0))
        joint = ConstructionJoint(name="J", line=line)
        near, close = ({"rel": 1e-9, "abs": of_turned if turn else 1e-3} for of_turned in (20, 10_000))
        parts = pours.divide(solid.build(made.plan), joints=[joint], beams=[])
        whole = made.cells.any(axis=0)
        left = whole.copy()
        left[at + 5 :] = False
        right = whole & ~left
        expected = [voxels.volume_mm3(side) for side in (left, right) if side.any()]
        assert [part.solid.volume_mm3 for part in parts] == pytest.approx(expected, **close), seed
        if len(parts) == 2:
            cut = voxels.upright_mm2(left, beside=right)
            assert parts[0].stop_end_mm2 == pytest.approx(cut, **near), seed
            own = voxels.upright_mm2(left) + voxels.downward_mm2(left)
            assert parts[0].form_mm2 == pytest.approx(own, **near), seed
            own = voxels.upright_mm2(right) - cut + voxels.downward_mm2(right)
            assert parts[1].form_mm2 == pytest.approx(own, **near), seed


def test_round_opening_takes_the_circles_area():
    neck = Opening(name="neck", circle=Circle(centre=(2000, 1500), diameter_mm=1200))
    room = [(0, 0), (4000, 0), (4000, 3000), (0, 3000)]
    plain, holed = (
        solid.build(solid.Plan(outlines=[room], thickness_mm=100, openings=holes))
        for holes in ([], [neck.corners])
    )
    # π · 1.2² / 4 = 1.130973 m².
    assert plain.area_mm2 - holed.area_mm2 == pytest.approx(math.pi * 600**2, rel=1e-7)
