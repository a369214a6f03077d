"""A bent bar as what it is: straights and arcs along its centre line.

This knows nothing of the catalogues' formulas: it checks them, and it draws the figures of the shapes.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

Place = tuple[float, float]

_STEP_DEG: Final = 15.0
_FLAT: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of a polyline, with the radius to which its line is rounded there."""

    place: Place
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Arc:
    """A round between two straights: tangent points, centre, radius, angle turned, left positive [rad]."""

    start: Place
    end: Place
    centre: Place
    radius: float
    turn: float

    @property
    def length(self) -> float:
        """Length along the arc."""
        return self.radius * abs(self.turn)

    def places(self) -> Iterator[Place]:
        """Places along the arc, its ends among them, no more than 15° apart."""
        steps = max(1, math.ceil(math.degrees(abs(self.turn)) / _STEP_DEG - _FLAT))
        first = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        for number in range(steps + 1):
            angle = first + self.turn * number / steps
            yield (
                self.centre[0] + self.radius * math.cos(angle),
                self.centre[1] + self.radius * math.sin(angle),
            )


@dataclass(frozen=True, slots=True)
class Rounded:
    """A polyline with rounded corners: its two ends, and the arcs between."""

    start: Place
    arcs: tuple[Arc, ...]
    end: Place

    @property
    def length(self) -> float:
        """Length of all straights and arcs."""
        joints = [self.start, *(place for arc in self.arcs for place in (arc.start, arc.end)), self.end]
        straights = sum(math.dist(joints[at], joints[at + 1]) for at in range(0, len(joints), 2))
        return straights + sum(arc.length for arc in self.arcs)

    @property
    def places(self) -> tuple[Place, ...]:
        """The line as a polyline fine enough to be drawn."""
        return (self.start, *(place for arc in self.arcs for place in arc.places()), self.end)


def rounded(corners: Sequence[Corner]) -> Rounded:
    """Rounds the corners of a polyline.

    Source: derived: a round of radius ρ at a turn of θ touches the straights at ρ tan(θ/2) from the corner.

    Args:
        corners: its places in order with their radii, in any unit.

    Returns:
        Straights and arcs, in the same unit.

    Raises:
        ValueError: fewer than two places.

    >>> line = rounded([Corner((0, 100)), Corner((0, 0), 20), Corner((100, 0))])
    >>> round(line.length, 3) == round(160 + 20 * math.pi / 2, 3)
    True
    """
    if len(corners) < 2:
        message = f"{len(corners)} places make no line; give at least two"
        raise ValueError(message)
    arcs = [
        _arc(before.place, at=corner, after=after.place)
        for (before, corner), (_, after) in pairwise(pairwise(corners))
    ]
    return Rounded(corners[0].place, tuple(arcs), corners[-1].place)


def right_angled(
    sides: Sequence[float], *, turns: Sequence[int], size_mm: float, radius_mm: float
) -> Rounded:
    """The centre line of a bar whose bends are all right angles, from its outside dimensions.

    Source: derived: each side is shorter by half the bar at each bent end; the centre line bends by the
    inside radius and half the bar.

    Args:
        sides: outside dimensions in order [mm].
        turns: 1 for a bend to the left, -1 for one to the right, one fewer than the sides.
        size_mm: diameter of the bar [mm].
        radius_mm: inside radius of the bends [mm].

    Returns:
        The centre line [mm].

    >>> round(right_angled([3000, 400], turns=[1], size_mm=12, radius_mm=24).length, 1)
    3375.1
    """
    place, heading = (0.0, 0.0), 0
    corners = [Corner(place)]
    for number, side in enumerate(sides):
        bent = (number > 0) + (number < len(sides) - 1)
        run = side - bent * size_mm / 2
        along = ((1, 0), (0, 1), (-1, 0), (0, -1))[heading % 4]
        place = (place[0] + along[0] * run, place[1] + along[1] * run)
        corners.append(Corner(place, radius_mm + size_mm / 2))
        heading += turns[number] if number < len(turns) else 0
    return rounded(corners)


def _arc(before: Place, *, at: Corner, after: Place) -> Arc:
    """The round at a corner; one without radius where the line goes straight on or keeps its corner."""
    (x, y), radius = at.place, at.radius
    come, go = math.dist(before, at.place), math.dist(at.place, after)
    sharp = Arc(at.place, at.place, at.place, 0.0, 0.0)
    if not (radius and come and go):
        return sharp
    ux, uy = (x - before[0]) / come, (y - before[1]) / come
    vx, vy = (after[0] - x) / go, (after[1] - y) / go
    turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
    if abs(turn) < _FLAT:
        return sharp
    back = radius * math.tan(abs(turn) / 2)
    side = math.copysign(radius, turn)
    start = (x - ux * back, y - uy * back)
    centre = (start[0] - uy * side, start[1] + ux * side)
    return Arc(start, (x + vx * back, y + vy * back), centre, radius, turn)
