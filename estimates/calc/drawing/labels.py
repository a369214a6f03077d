"""Names on a plan: beside each beam and in each opening, clear of each other where there is room."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from estimates.calc.drawing import plan
from estimates.calc.drawing.parts import FINE_LETTER, LETTER, Box, Lettering, Place, room
from estimates.calc.drawing.plan import Paper
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Beam, Opening

_MOST_SPANS = 4
"""Spans of one beam that are tried for its name."""

Spot = tuple[float, float, float]
"""Middle of a baseline and its turn [unit, unit, °]."""


def place(design: DesignSheet, *, paper: Paper, fine: bool) -> list[Lettering]:
    """Letters the openings and the beams.

    Source: common practice: name and section beside the beam, in its longest free span.

    Args:
        design: the design sheet [mm].
        paper: how the slab lies on the paper.
        fine: small lettering with the beams' sections, for a wide screen and paper; otherwise large
            lettering with their names alone.

    Returns:
        Lettering: openings with room inside, beams, then openings named from beside.
    """
    letter = FINE_LETTER if fine else LETTER
    frame = _box(paper.places(tuple(corner for outline in design.outlines for corner in outline)))

    def within(spots: list[Spot], *, words: str) -> list[Spot]:
        """Keeps to the slab where there is a place for it."""
        return [s for s in spots if _within(_room(words, spot=s, letter=letter), frame=frame)] or spots

    taken = [_box(paper.places(plan.beam_corners(beam))) for beam in design.beams]
    taken += [_box(paper.places(opening.corners)) for opening in design.openings]
    inside = {opening.name: _inside_spot(opening, paper=paper, letter=letter) for opening in design.openings}
    placed = [_Name(words=name, spot=spot, role="opening") for name, spot in inside.items() if spot]
    for beam in _longest_legs(design.beams):
        words = (
            f"{beam.name} {paper.written(beam.width_mm)}×{paper.written(beam.depth_mm)}"
            if fine
            else beam.name
        )
        spots = _beam_spots(beam, design=design, paper=paper, letter=letter)
        spot = _clearest(within(spots, words=words), words=words, taken=taken, letter=letter)
        placed.append(_Name(words=words, spot=spot, role="beam"))
        taken.append(_room(words, spot=spot, letter=letter))
    for opening in design.openings:
        if not inside[opening.name]:
            spots = _beside_spots(opening, paper=paper, letter=letter)
            spots = within(spots, words=opening.name)
            spot = _clearest(spots, words=opening.name, taken=taken, letter=letter)
            placed.append(_Name(words=opening.name, spot=spot, role="opening"))
            taken.append(_room(opening.name, spot=spot, letter=letter))
    return [name.lettering(fine=fine) for name in placed]


@dataclass(frozen=True, kw_only=True)
class _Name:
    words: str
    spot: Spot
    role: str

    def lettering(self, *, fine: bool) -> Lettering:
        x, y, angle = self.spot
        return Lettering(words=self.words, x=x, y=y, angle=angle, role=self.role, fine=fine, coarse=not fine)


def _longest_legs(beams: tuple[Beam, ...]) -> list[Beam]:
    """Gives each beam once; of a bent one the first leg, which is its longest."""
    found: dict[str, Beam] = {}
    for beam in beams:
        found.setdefault(beam.name, beam)
    return list(found.values())


def _inside_spot(opening: Opening, *, paper: Paper, letter: float) -> Spot | None:
    box = _box(paper.places(opening.corners))
    own = room(opening.name, x=0, y=0, letter=letter)
    if own.right - own.left > box.right - box.left or box.bottom - box.top < letter * 1.2:
        return None
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2 + 0.35 * letter, 0.0


def _beside_spots(opening: Opening, *, paper: Paper, letter: float) -> list[Spot]:
    box = _box(paper.places(opening.corners))
    half = room(opening.name, x=0, y=0, letter=letter).right + 0.1 * letter
    level, middle = (box.top + box.bottom) / 2 + 0.35 * letter, (box.left + box.right) / 2
    under, over = box.bottom + 1.1 * letter, box.top - 0.3 * letter
    right, left = box.right + half, box.left - half
    spots = [(right, level), (left, level), (middle, under), (middle, over)]
    spots += [(right, under), (left, under), (right, over), (left, over), (right, under + letter)]
    return [(x, y, 0.0) for x, y in spots]


def _beam_spots(beam: Beam, *, design: DesignSheet, paper: Paper, letter: float) -> list[Spot]:
    """Gives places along both sides of the beam, in its longest free span first."""
    (x1, y1), (x2, y2) = paper.place(beam.start), paper.place(beam.end)
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    # Lettering reads from below or from the right, never upside down.
    angle = angle - 180 if angle >= 90 else angle + 180 if angle < -90 else angle
    turn = math.radians(angle)
    above = beam.width_mm * paper.scale / 2 + 0.35 * letter
    below = beam.width_mm * paper.scale / 2 + 1.15 * letter
    spots: list[Spot] = []
    for share in _free_shares(beam, design=design):
        x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
        spots += [
            (x + math.sin(turn) * above, y - math.cos(turn) * above, angle),
            (x - math.sin(turn) * below, y + math.cos(turn) * below, angle),
        ]
    return spots


def _free_shares(beam: Beam, *, design: DesignSheet) -> list[float]:
    """Gives middles of a beam's spans between the beams that cross it, the longest span first."""
    cuts = [0.0, 1.0]
    for other in design.beams:
        crossing = plan.inside_part(beam.start, end=beam.end, corners=plan.beam_corners(other))
        if other.name != beam.name and crossing:
            cuts.append(sum(crossing) / 2)
    free = sorted(
        ((b - a, (a + b) / 2) for a, b in pairwise(sorted(cuts))), key=lambda item: -round(item[0], 3)
    )
    return [middle for _, middle in free[:_MOST_SPANS]]


def _clearest(spots: list[Spot], *, words: str, taken: list[Box], letter: float) -> Spot:
    def clashes(spot: Spot) -> int:
        return sum(_room(words, spot=spot, letter=letter).meets(other) for other in taken)

    return min(spots, key=clashes)


def _room(words: str, *, spot: Spot, letter: float) -> Box:
    return room(words, x=spot[0], y=spot[1], angle=spot[2], letter=letter)


def _box(places: tuple[Place, ...]) -> Box:
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return Box(left=min(xs), top=min(ys), right=max(xs), bottom=max(ys))


def _within(box: Box, *, frame: Box) -> bool:
    level = frame.left <= box.left and box.right <= frame.right
    return level and frame.top <= box.top and box.bottom <= frame.bottom
