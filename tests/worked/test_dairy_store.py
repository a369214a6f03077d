"""The floor over the dairy store (drawing DS-112) worked out by hand: panels, a sunk room, a joint."""

import math
from importlib.resources import files

import pytest

from estimates.calc import bill, pours
from estimates.calc.reading import reader as sheet
from estimates.standards import load

# Openings: duct 0.8 × 0.7 in the south, tank neck of 1.2 in the panel "store".
DUCT, NECK = 0.8 * 0.7, math.pi * 1.2**2 / 4
# L-shaped: 12.4 × 4.2 in the south, 7.6 × 5.7 in the north, which is all panel "store", 150 thick.
SOUTH, STORE, ROOM = 12.4 * 4.2, 7.6 * 5.7 - NECK, 2.4 * 2.1
# The sides stand outside the wet room's clear 2.4 × 2.1: 2.65 × 2.35 over all, from −125 down to −425.
WALLS = 2.65 * 2.35 - ROOM
# Beams in plan. South: 1A, 1B of 12.4; 2A, 2B, 2C of 3.8 between them. North: 1C of 7.6; 2A, 2B of 5.5.
SOUTH_BEAMS = 0.2 * (2 * 12.4 + 3 * 3.8)
NORTH_BEAMS = 0.2 * (7.6 + 2 * 5.5)
# 1B and 2B alone reach from −400 to −450: 12.4 and 9.9 long, crossing once.
DEEP_BEAMS = 0.2 * (12.4 + 9.9) - 0.04

BY_HAND = {
    "concrete.slab": (SOUTH - ROOM - DUCT) * 0.125,
    "concrete.panels": ROOM * 0.125 + STORE * 0.15,
    "concrete.sides": WALLS * 0.3,
    # South beams begin under 125, north ones under the panel's 150.
    "concrete.beams": SOUTH_BEAMS * 0.025 + (SOUTH_BEAMS + NORTH_BEAMS) * 0.25 + DEEP_BEAMS * 0.05,
    "formwork.beam_soffit": SOUTH_BEAMS + NORTH_BEAMS,
    "formwork.side_soffit": WALLS,
    # Inside 9.0 by 300; outside 10.0 from −125 to −425.
    "formwork.sunken_side": 9.0 * 0.3 + 10.0 * 0.3,
    # Joint at the north face of 1B: slab of 7.6 by 150 and the ends of 2A and 2B below it, to 400 and 450.
    "formwork.stop_end": 7.6 * 0.15 + 0.2 * 0.25 + 0.2 * 0.3,
    "joint.face.1": 7.6 * 0.15,
    "joint.bonding.1": 7.6 * 0.15 * 0.4,
}


@pytest.fixture(scope="module")
def design():
    text = files("estimates").joinpath("examples/floor-over-dairy-store.json").read_text(encoding="utf-8")
    return sheet.read(text)


@pytest.fixture(scope="module")
def takeoff(design):
    return bill.compute(design, profile=load.profile(design.profile))


@pytest.mark.parametrize(("key", "expected"), BY_HAND.items())
def test_line_by_hand(takeoff, key, expected):
    assert takeoff.line(key).net == pytest.approx(expected, rel=1e-6)


def test_edges_leave_out_the_face_on_the_old_slab(takeoff):
    # South 12.4 + 4.2 + 4.8 + 4.2, duct 3.0, all by 125; north 5.7 + 5.7, neck of 64 sides, by 150.
    neck = 64 * 2 * 0.6 * math.sqrt((2 * math.pi / 64) / math.sin(2 * math.pi / 64)) * math.sin(math.pi / 64)
    expected = (12.4 + 4.2 + 4.8 + 4.2 + 3.0) * 0.125 + (5.7 + 5.7 + neck) * 0.15
    assert takeoff.line("formwork.edge").net == pytest.approx(expected, rel=1e-6)


def test_beam_on_the_joint_is_cast_whole_with_the_south(design, takeoff):
    # The joint is drawn from west to east, so the pour on its left, the north, is named first.
    north, south = pours.of_sheet(design)
    # North of 1B: the panel, the beams below it, and 2B where it is deeper.
    expected = STORE * 0.15 + NORTH_BEAMS * 0.25 + 0.2 * 5.7 * 0.05
    assert north.concrete_m3 == pytest.approx(expected, rel=1e-6)
    assert north.concrete_m3 + south.concrete_m3 == pytest.approx(takeoff.concrete_m3)
    assert north.concrete_hundredths + south.concrete_hundredths == pours.WHOLE_HUNDREDTHS
    total = takeoff.line("formwork.total").net
    assert north.formwork_m2 + south.formwork_m2 == pytest.approx(total)
