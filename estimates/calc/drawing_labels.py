"""Names on a plan: beside each beam and in each opening, clear of each other where there is room."""

from __future__ import annotations

import math
from itertools import pairwise

from estimates.calc import drawing_plan as plan
from estimates.calc.drawing_parts import LETTER, Box, Lettering, Place, room
from estimates.calc.drawing_plan import Paper
from estimates.calc.sheet_parts import Beam, DesignSheet, Opening

Spot = tuple[float, float, float]
"""Middle of a baseline and its turn [unit, unit, °]."""


def place(design: DesignSheet, *, paper: Paper) -> list[Lettering]:
    """Letters the openings and the beams.

    Source: common practice: name and section beside the beam, in its longest free span.

    Args:
        design: the design sheet [mm].
        paper: how the slab lies on the paper.

    Returns:
        Lettering: openings with room inside, beams, then openings named from beside.
    """
    taken = [_box(paper.places(plan.beam_corners(beam))) for beam in design.beams]
    taken += [_box(paper.places(opening.outline)) for opening in design.openings]
    labels = [label for opening in design.openings if (label := _inside_label(opening, paper=paper))]
    for beam in design.beams:
        label = _beam_label(beam, design=design, paper=paper, taken=taken)
        labels.append(label)
        taken.append(room(label.words, x=label.x, y=label.y, angle=label.angle))
    for opening in design.openings:
        if not _inside_label(opening, paper=paper):
            label = _beside_label(opening, paper=paper, taken=taken)
            labels.append(label)
            taken.append(room(label.words, x=label.x, y=label.y))
    return labels


def _inside_label(opening: Opening, *, paper: Paper) -> Lettering | None:
    box = _box(paper.places(opening.outline))
    own = room(opening.name, x=0, y=0)
    if own.right - own.left > box.right - box.left or box.bottom - box.top < LETTER * 1.2:
        return None
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2 + 0.35 * LETTER
    return Lettering(words=opening.name, x=x, y=y, role="opening")


def _beside_label(opening: Opening, *, paper: Paper, taken: list[Box]) -> Lettering:
    box = _box(paper.places(opening.outline))
    half = room(opening.name, x=0, y=0).right + 0.1 * LETTER
    level, middle = (box.top + box.bottom) / 2 + 0.35 * LETTER, (box.left + box.right) / 2
    under, over = box.bottom + 1.1 * LETTER, box.top - 0.3 * LETTER
    right, left = box.right + half, box.left - half
    spots = [(right, level), (left, level), (middle, under), (middle, over)]
    spots += [(right, under), (left, under), (right, over), (left, over)]
    x, y, _turn = _clearest([(x, y, 0.0) for x, y in spots], words=opening.name, taken=taken)
    return Lettering(words=opening.name, x=x, y=y, role="opening")


def _beam_label(beam: Beam, *, design: DesignSheet, paper: Paper, taken: list[Box]) -> Lettering:
    words = f"{beam.name} {_mm(beam.width_mm)}×{_mm(beam.depth_mm)}"
    (x1, y1), (x2, y2) = paper.place(beam.start), paper.place(beam.end)
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    # Lettering reads from below or from the right, never upside down.
    angle = angle - 180 if angle >= 90 else angle + 180 if angle < -90 else angle
    turn = math.radians(angle)
    above = beam.width_mm * paper.scale / 2 + 0.3 * LETTER
    below = beam.width_mm * paper.scale / 2 + 0.95 * LETTER
    candidates = []
    for share in _free_shares(beam, design=design):
        x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
        candidates += [
            (x + math.sin(turn) * above, y - math.cos(turn) * above, angle),
            (x - math.sin(turn) * below, y + math.cos(turn) * below, angle),
        ]
    frame = _box(paper.places(design.outline))
    inside = [spot for spot in candidates if _within(_room(words, spot=spot), frame=frame)]
    x, y, angle = _clearest(inside or candidates, words=words, taken=taken)
    return Lettering(words=words, x=x, y=y, angle=angle, role="beam")


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
    return [middle for _, middle in free]


def _clearest(candidates: list[Spot], *, words: str, taken: list[Box]) -> Spot:
    def clashes(spot: Spot) -> int:
        return sum(_room(words, spot=spot).meets(other) for other in taken)

    return min(candidates, key=clashes)


def _room(words: str, *, spot: Spot) -> Box:
    return room(words, x=spot[0], y=spot[1], angle=spot[2])


def _box(places: tuple[Place, ...]) -> Box:
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return Box(left=min(xs), top=min(ys), right=max(xs), bottom=max(ys))


def _within(box: Box, *, frame: Box) -> bool:
    level = frame.left <= box.left and box.right <= frame.right
    return level and frame.top <= box.top and box.bottom <= frame.bottom


def _mm(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
