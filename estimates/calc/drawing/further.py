"""What a slab has beside outline, openings and beams, in plan: panels, upstands, joints, stairs, outlets.

Source: ISO 128-2 for the kinds of line; levels and joints lettered by common practice of framing plans.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from estimates.calc.drawing.parts import FINE_LETTER, LETTER, Lettering, Line, Place, Stroke
from estimates.calc.drawing.plan import Paper
from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import PER_MM, Region
from estimates.calc.sheet.joints import ConstructionJoint, ExistingJoint
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Flight, Outlet, Panel, Sunshade, Upstand

_OUTLET_MM = 100.0
_CORNERS = 16
_JOINT_OVERRUN = 30.0
"""Of a joint's line past the place where it is lettered [unit]."""


def lines(design: DesignSheet, *, paper: Paper) -> Iterator[Line]:
    """Draws the further shapes.

    Source: ISO 128-2; a step is a visible edge, what lies below the slab is dashed.

    Args:
        design: the design sheet [mm].
        paper: how the slab lies on the paper.

    Yields:
        Lines.
    """
    for panel in design.panels:
        yield from _panel(panel, paper=paper)
    for upstand in design.upstands:
        region = rings.strip(upstand.line, width_mm=upstand.width_mm, closed=upstand.closed)
        yield from _outlines(region, stroke=Stroke.OUTLINE, paper=paper)
    for shade in design.sunshades:
        yield Line(stroke=Stroke.OUTLINE, places=paper.places(sunshade_corners(shade)), closed=True)
    for flight in design.flights:
        yield from _flight(flight, paper=paper)
    for outlet in design.outlets:
        yield Line(stroke=Stroke.OUTLINE, places=paper.places(_circle(outlet)), closed=True)
    for joint in design.construction_joints:
        yield Line(stroke=Stroke.JOINT, places=paper.places(joint.line), anchor=f"joint-{joint.name}")
    for face in design.existing_joints:
        yield Line(stroke=Stroke.OLD, places=paper.places(face.line))


def lettering(design: DesignSheet, *, paper: Paper, fine: bool) -> Iterator[Lettering]:
    """Letters the further shapes: panels with their levels, joints, upstands, stairs and outlets.

    Source: common practice: levels from the slab's top with their sign.

    Args:
        design: the design sheet [mm].
        paper: how the slab lies on the paper.
        fine: small lettering for a wide screen and paper; otherwise large, of the panels and joints alone.

    Yields:
        Lettering.
    """
    letter = FINE_LETTER if fine else LETTER
    for panel in design.panels:
        middle = _middle(panel.outline)
        yield _words(
            _panel_words(panel, fine=fine, paper=paper), at=paper.place(middle), fine=fine, down=0.35 * letter
        )
    for joint in design.construction_joints:
        yield _words(joint.name, at=_joint_end(joint, paper=paper), fine=fine)
    if fine:
        for at, words in _small(design, paper=paper):
            yield _words(words, at=paper.place(at), fine=True, down=1.2 * letter)


def reach(design: DesignSheet) -> tuple[Place, ...]:
    """Places that the drawing must hold: the corners of all outlines and of what stands outside of them.

    Source: derived.

    Args:
        design: the design sheet [mm].

    Returns:
        The places [mm].
    """
    outside = [corner for shade in design.sunshades for corner in sunshade_corners(shade)]
    return (*(corner for outline in design.outlines for corner in outline), *outside)


def sunshade_corners(shade: Sunshade) -> tuple[Place, ...]:
    """Corners of a sunshade in plan: it lies to the right of the way from start to end.

    Source: derived.

    Args:
        shade: the sunshade [mm].

    Returns:
        Four corners [mm].

    Raises:
        ValueError: its root has no length.
    """
    (x1, y1), (x2, y2) = shade.start, shade.end
    length = math.dist(shade.start, shade.end)
    if length == 0:
        raise ValueError(f"sunshade {shade.name} has no length")
    out_x, out_y = (y2 - y1) / length * shade.projection_mm, -(x2 - x1) / length * shade.projection_mm
    return (x1, y1), (x2, y2), (x2 + out_x, y2 + out_y), (x1 + out_x, y1 + out_y)


def _panel(panel: Panel, *, paper: Paper) -> Iterator[Line]:
    """A step in the top is a visible edge; a panel thickened from below is dashed."""
    stroke = Stroke.OUTLINE if panel.top_level_mm else Stroke.HIDDEN
    yield Line(stroke=stroke, places=paper.places(panel.outline), closed=True, anchor=f"panel-{panel.name}")
    if panel.sides_mm is not None:
        walls = rings.grown([rings.ring(panel.outline)], by_mm=panel.sides_mm)
        yield from _outlines(walls, stroke=Stroke.HIDDEN, paper=paper)


def _outlines(region: Region, *, stroke: Stroke, paper: Paper) -> Iterator[Line]:
    for corners in region:
        places = paper.places(tuple((x / PER_MM, y / PER_MM) for x, y in corners))
        yield Line(stroke=stroke, places=places, closed=True)


def _flight(flight: Flight, *, paper: Paper) -> Iterator[Line]:
    """The edge of every step, the outline and an arrow that climbs; nothing when its place is not drawn."""
    if flight.start is None or flight.towards is None:
        return
    length = math.dist(flight.start, flight.towards)
    along = ((flight.towards.x - flight.start.x) / length, (flight.towards.y - flight.start.y) / length)
    half = flight.width_mm / 2

    def at(run: float, across: float) -> Place:
        x, y = flight.start or (0.0, 0.0)
        return x + along[0] * run - along[1] * across, y + along[1] * run + along[0] * across

    end = flight.going_mm * flight.steps
    yield Line(
        stroke=Stroke.OUTLINE,
        places=paper.places((at(0, -half), at(end, -half), at(end, half), at(0, half))),
        closed=True,
    )
    for step in range(1, flight.steps):
        run = step * flight.going_mm
        yield Line(stroke=Stroke.THIN, places=paper.places((at(run, -half), at(run, half))))
    head = flight.going_mm * 0.8
    arrow = (at(0, 0), at(end, 0), at(end - head, head / 2), at(end, 0), at(end - head, -head / 2))
    yield Line(stroke=Stroke.THIN, places=paper.places(arrow))


def _small(design: DesignSheet, *, paper: Paper) -> Iterator[tuple[Place, str]]:
    written = paper.written
    for upstand in design.upstands:
        yield _half_way(upstand), f"{upstand.name} {written(upstand.width_mm)}×{written(upstand.height_mm)}"
    for shade in design.sunshades:
        yield _middle(sunshade_corners(shade)), f"{shade.name} {written(shade.thickness_mm)}"
    for outlet in design.outlets:
        yield (outlet.at.x, outlet.at.y - _OUTLET_MM), f"{outlet.name} 1:{outlet.fall_one_in:.4g}"
    for face in design.existing_joints:
        yield _middle(face.line), face.name
    for flight in design.flights:
        if flight.start is not None:
            yield (flight.start.x, flight.start.y), flight.name


def _half_way(upstand: Upstand) -> Place:
    longest = max(pairwise(upstand.line), key=lambda leg: math.dist(*leg))
    return _middle(longest)


def _middle(corners: tuple[Place, ...]) -> Place:
    """The middle of the box round some corners."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _joint_end(joint: ConstructionJoint | ExistingJoint, *, paper: Paper) -> Place:
    """Beside the last part of its line, a little before the end."""
    (x1, y1), (x2, y2) = paper.place(joint.line[-2]), paper.place(joint.line[-1])
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    back = min(3 * _JOINT_OVERRUN, length / 2)
    across = 0.4 * _JOINT_OVERRUN
    return (
        x2 - (x2 - x1) / length * back + (y2 - y1) / length * across,
        y2 - (y2 - y1) / length * back - abs(x2 - x1) / length * across,
    )


def _panel_words(panel: Panel, *, fine: bool, paper: Paper) -> str:
    if not fine:
        return panel.name
    level = ""
    if panel.top_level_mm:
        sign = "+" if panel.top_level_mm > 0 else "−"
        level = f" {sign}{paper.written(abs(panel.top_level_mm))}"
    return f"{panel.name} {paper.written(panel.thickness_mm)}{level}"


def _words(words: str, *, at: Place, fine: bool, down: float = 0.0) -> Lettering:
    return Lettering(words=words, x=at[0], y=at[1] + down, role="panel", fine=fine, coarse=not fine)


def _circle(outlet: Outlet) -> tuple[Place, ...]:
    turns = (2 * math.pi * corner / _CORNERS for corner in range(_CORNERS))
    return tuple(
        (outlet.at.x + math.cos(turn) * _OUTLET_MM / 2, outlet.at.y + math.sin(turn) * _OUTLET_MM / 2)
        for turn in turns
    )
