"""Geometry of a plan: where the paper puts a place, and which part of a beam's edge is to be seen."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from estimates.calc.drawing.parts import Place, written
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Beam
from estimates.calc.sheet.types import Point

Edge = tuple[Place, Place]

_TOUCH_MM = 1.0
"""Two lines nearer than this coincide on a drawing [mm]."""


@dataclass(frozen=True, kw_only=True)
class Paper:
    """How the slab lies on the paper: `scale` units a millimetre, its top left corner at (left, top)."""

    scale: float
    left: float
    top: float
    low_x: float
    high_x: float
    low_y: float
    high_y: float
    feet: bool = False

    def written(self, length_mm: float) -> str:
        """Writes a length as the drawing does: millimetres, or feet and inches."""
        return written(length_mm, feet=self.feet)

    def x(self, mm: float) -> float:
        """Gives the paper's x of an x of the plan."""
        return self.left + (mm - self.low_x) * self.scale

    def y(self, mm: float) -> float:
        """Gives the paper's y of a y of the plan; the plan's y goes up, the paper's down."""
        return self.top + (self.high_y - mm) * self.scale

    def place(self, point: Place) -> Place:
        """Gives the place of a point of the plan."""
        return self.x(point[0]), self.y(point[1])

    def places(self, points: tuple[Place, ...]) -> tuple[Place, ...]:
        """Gives the places of an outline of the plan."""
        return tuple(self.place(point) for point in points)


def straightened(design: DesignSheet) -> DesignSheet:
    """A design whose bent beams are drawn leg by leg, the longest leg of a beam first.

    Source: derived: at a bend both legs reach to its outer corner.

    Args:
        design: the design sheet [mm].

    Returns:
        The design for the drawing; the same where no beam is bent.
    """
    if not any(beam.via for beam in design.beams):
        return design
    legs = [leg for beam in design.beams for leg in (_legs(beam) if beam.via else [beam])]
    return replace(design, beams=tuple(legs))


def _legs(beam: Beam) -> list[Beam]:
    found = []
    places = list(pairwise(beam.line))
    for number, (start, end) in enumerate(places):
        length = math.dist(start, end)
        over = beam.width_mm / 2 / length
        before, behind = (over if number else 0.0), (over if number + 1 < len(places) else 0.0)
        run = (end.x - start.x, end.y - start.y)
        found.append(
            replace(
                beam,
                start=Point(start.x - run[0] * before, start.y - run[1] * before),
                end=Point(end.x + run[0] * behind, end.y + run[1] * behind),
                via=(),
            )
        )
    return sorted(found, key=lambda leg: -math.dist(leg.start, leg.end))


def beam_corners(beam: Beam) -> tuple[Place, Place, Place, Place]:
    """Gives the four corners of a beam in plan.

    Source: derived: centre line moved sideways by half the width.

    Args:
        beam: the beam [mm].

    Returns:
        Corners in order: start and end of the right edge, end and start of the left edge [mm].

    Raises:
        ValueError: the centre line has no length.
    """
    run_x, run_y = beam.end[0] - beam.start[0], beam.end[1] - beam.start[1]
    length = math.hypot(run_x, run_y)
    if length == 0:
        raise ValueError(f"beam {beam.name} has a centre line of 0 mm; give it two different ends")
    side_x, side_y = run_y / length * beam.width_mm / 2, -run_x / length * beam.width_mm / 2
    return (
        (beam.start[0] + side_x, beam.start[1] + side_y),
        (beam.end[0] + side_x, beam.end[1] + side_y),
        (beam.end[0] - side_x, beam.end[1] - side_y),
        (beam.start[0] - side_x, beam.start[1] - side_y),
    )


def inside_part(start: Place, *, end: Place, corners: tuple[Place, ...]) -> tuple[float, float] | None:
    """Finds the part of a line strictly inside a convex outline.

    Source: derived: the line is cut by each edge's half-plane in turn (Cyrus and Beck, 1978).

    Args:
        start: first end of the line [mm].
        end: second end [mm].
        corners: convex outline, counter-clockwise [mm].

    Returns:
        Shares of the line at which it enters and leaves, or None when it stays outside.

    Example:
        >>> inside_part((0, 5), end=(40, 5), corners=((10, 0), (20, 0), (20, 10), (10, 10)))
        (0.25, 0.5)
    """
    enter, leave = 0.0, 1.0
    for (ax, ay), (bx, by) in edges(corners):
        edge = math.hypot(bx - ax, by - ay)
        nx, ny = (ay - by) / edge, (bx - ax) / edge
        at_start = (start[0] - ax) * nx + (start[1] - ay) * ny
        at_end = (end[0] - ax) * nx + (end[1] - ay) * ny
        if max(at_start, at_end) < _TOUCH_MM:
            return None
        if at_start == at_end:
            continue
        crossing = at_start / (at_start - at_end)
        if at_end > at_start:
            enter = max(enter, crossing)
        else:
            leave = min(leave, crossing)
    return (enter, leave) if enter < leave else None


def outside_parts(start: Place, *, end: Place, shapes: tuple[tuple[Place, ...], ...]) -> list[Edge]:
    """Cuts away what lies inside any of the convex outlines.

    Source: derived.

    Args:
        start: first end of the line [mm].
        end: second end [mm].
        shapes: convex outlines, counter-clockwise [mm].

    Returns:
        The parts that remain, in order from start to end [mm].

    Example:
        >>> outside_parts((0, 5), end=(40, 5), shapes=(((10, 0), (20, 0), (20, 10), (10, 10)),))
        [((0.0, 5.0), (10.0, 5.0)), ((20.0, 5.0), (40.0, 5.0))]
    """
    cuts = sorted(cut for shape in shapes if (cut := inside_part(start, end=end, corners=shape)))
    parts, reached = [], 0.0
    for enter, leave in cuts:
        if enter > reached:
            parts.append((_along(start, end=end, share=reached), _along(start, end=end, share=enter)))
        reached = max(reached, leave)
    if reached < 1:
        parts.append((_along(start, end=end, share=reached), _along(start, end=end, share=1.0)))
    return parts


def edges(outline: tuple[Place, ...]) -> list[Edge]:
    """Gives the edges of an outline.

    Source: derived.

    Args:
        outline: corners in order [mm].

    Returns:
        Each corner with the next, the last with the first [mm].

    Example:
        >>> edges(((0, 0), (10, 0), (10, 10)))
        [((0, 0), (10, 0)), ((10, 0), (10, 10)), ((10, 10), (0, 0))]
    """
    return list(zip(outline, outline[1:] + outline[:1], strict=True))


def lies_on(part: Edge, *, edge: Edge) -> bool:
    """Says whether a line would be drawn over an edge.

    Source: derived: both ends within 1 mm of the edge.

    Args:
        part: the line [mm].
        edge: the edge [mm].

    Returns:
        True when the whole line lies on the edge.

    Example:
        >>> lies_on(((2, 0), (8, 0)), edge=((0, 0), (10, 0)))
        True
    """
    return all(_distance(place, edge=edge) <= _TOUCH_MM for place in part)


def seen_edges(beams: tuple[Beam, ...], *, outline: tuple[Place, ...]) -> list[Edge]:
    """Gives the beams' edges as a plan shows them: not through other beams, not over the slab's own edge.

    Source: derived: common practice of framing plans.

    Args:
        beams: beams below the slab [mm].
        outline: the slab's edge [mm].

    Returns:
        Lines, none drawn twice [mm].
    """
    shapes = [beam_corners(beam) for beam in beams]
    seen = []
    for index, corners in enumerate(shapes):
        others = (*shapes[:index], *shapes[index + 1 :])
        for number, (start, end) in enumerate(edges(corners)):
            # A side that two beams share is the first one's; where a beam ends on another, there is no edge.
            drawn = [outline, *(shapes[:index] if number % 2 == 0 else others)]
            along = [edge for shape in drawn for edge in edges(shape) if _in_line(edge, start=start, end=end)]
            seen += [
                part
                for part in outside_parts(start, end=end, shapes=others)
                if not any(lies_on(part, edge=edge) for edge in along)
            ]
    return seen


def _along(start: Place, *, end: Place, share: float) -> Place:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _in_line(edge: Edge, *, start: Place, end: Place) -> bool:
    """Says whether an edge lies on the endless line through two places."""
    run_x, run_y = end[0] - start[0], end[1] - start[1]
    reach = _TOUCH_MM * math.hypot(run_x, run_y)
    return all(abs(run_x * (y - start[1]) - run_y * (x - start[0])) <= reach for x, y in edge)


def _distance(place: Place, *, edge: Edge) -> float:
    (x, y), (end_x, end_y) = edge
    run_x, run_y = end_x - x, end_y - y
    share = ((place[0] - x) * run_x + (place[1] - y) * run_y) / (run_x**2 + run_y**2)
    return math.dist(place, _along((x, y), end=(end_x, end_y), share=min(1.0, max(0.0, share))))
