"""The figure of a bar shape: its centre line with rounded bends, and the letters of its dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.drawing.parts import Lettering, Line, Place, Stroke
from estimates.calc.steel import centreline
from estimates.calc.steel.centreline import Corner
from estimates.standards.catalogues import Leg, Shape

LETTER_UNITS: Final = 15.0
"""Height of the letters [unit]."""

Places = tuple[Place, ...]
Dimension = tuple[list[Places], Place]
"""The thin lines of a dimension, and the place of its letter."""

_BEND: Final = 9.0
_ARC_STEP_DEG: Final = 12.0
_ARC_STEPS: Final = 12
_OFF: Final = 11.0
_MARGIN: Final = 14.0
_TICK: Final = 3.0
_LEVEL: Final = 1e-6


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A shape ready to be drawn: paper units, x to the right, y down; `bar` is its centre line."""

    left: float
    top: float
    width: float
    height: float
    bar: Line
    lines: tuple[Line, ...]
    letters: tuple[Lettering, ...]

    @property
    def view_box(self) -> str:
        """Writes the extent of the figure for SVG."""
        return " ".join(
            f"{value:.1f}".removesuffix(".0") for value in (self.left, self.top, self.width, self.height)
        )


def figure(shape: Shape) -> Figure | None:
    """Draws the figure of a shape.

    Source: derived: the legs of the shape in its catalogue, not to scale; common practice: one thick
    line, the letters beside its parts.

    Args:
        shape: the shape.

    Returns:
        The figure; None for a shape that has none, as "99", whose figure stands in the schedule itself.

    >>> from estimates.standards import catalogues
    >>> drawn = figure(catalogues.load("bs8666-2005").shapes["21"])
    >>> [letter.words for letter in drawn.letters]
    ['A', 'B', 'C']
    """
    if not shape.legs:
        return None
    walk = _Walk(shape)
    bar = centreline.rounded(walk.corners).places
    middle = _middle(bar)
    lines, letters = [], list(_leg_letters(walk, middle=middle))
    for span in shape.spans:
        drawn, letter = _SPANS[span.kind](walk, span.start, span.end, middle)
        lines += [Line(stroke=Stroke.DIMENSION, places=_flipped(places)) for places in drawn]
        letters.append(_lettering(span.letter, at=letter))
    seen = _flipped((*bar, *walk.joints))
    seen += tuple(place for line in lines for place in line.places)
    seen += tuple(
        (letter.x + dx, letter.y + dy) for letter in letters for dx in (-6, 6) for dy in (-LETTER_UNITS, 3)
    )
    left, right = min(x for x, _ in seen) - _MARGIN, max(x for x, _ in seen) + _MARGIN
    top, low = min(y for _, y in seen) - _MARGIN / 2, max(y for _, y in seen) + _MARGIN / 2
    return Figure(
        left=left,
        top=top,
        width=right - left,
        height=low - top,
        bar=Line(stroke=Stroke.OUTLINE, places=_flipped(bar)),
        lines=tuple(lines),
        letters=tuple(letters),
    )


class _Walk:
    """A shape's legs walked one after the other: corners of its line, joints of its legs."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        place, heading = (0.0, 0.0), shape.heading or 0.0
        self.corners = [Corner(place)]
        self.joints = [place]
        self.middles: list[Place] = []
        for number, leg in enumerate(shape.legs):
            heading = heading if leg.arc else leg.angle
            places = (
                list(_arc(place, heading=heading, leg=leg))
                if leg.arc
                else [_ahead(place, heading, leg.drawn)]
            )
            self.middles.append(_half(place, along=places))
            place = places[-1]
            heading += leg.angle if leg.arc else 0
            bend = self._bend(number)
            self.corners += [Corner(step) for step in places[:-1]]
            self.corners.append(Corner(place, bend))
            self.joints.append(place)

    def _bend(self, number: int) -> float:
        """Radius at the end of a leg: none beside arcs, and never more than the shorter leg holds."""
        legs = self.shape.legs[number : number + 2]
        if len(legs) == 1 or any(leg.arc for leg in legs):
            return 0.0
        turn = abs(math.remainder(legs[1].angle - legs[0].angle, 360))
        most = 0.45 * min(leg.drawn for leg in legs) / max(0.1, math.tan(math.radians(min(turn, 170) / 2)))
        return min(self.shape.drawn_radius or _BEND, most)


def _arc(start: Place, *, heading: float, leg: Leg) -> Iterator[Place]:
    side = math.copysign(1, leg.angle)
    to_centre = math.radians(heading + 90 * side)
    centre = (start[0] + leg.drawn * math.cos(to_centre), start[1] + leg.drawn * math.sin(to_centre))
    steps = max(_ARC_STEPS, math.ceil(abs(leg.angle) / _ARC_STEP_DEG))
    first = to_centre + math.pi
    for number in range(1, steps + 1):
        angle = first + math.radians(leg.angle) * number / steps
        yield centre[0] + leg.drawn * math.cos(angle), centre[1] + leg.drawn * math.sin(angle)


def _ahead(start: Place, heading: float, length: float) -> Place:
    angle = math.radians(heading)
    return start[0] + length * math.cos(angle), start[1] + length * math.sin(angle)


def _half(start: Place, *, along: Sequence[Place]) -> Place:
    if len(along) == 1:
        return (start[0] + along[0][0]) / 2, (start[1] + along[0][1]) / 2
    return along[(len(along) - 1) // 2]


def _middle(places: Sequence[Place]) -> Place:
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _leg_letters(walk: _Walk, *, middle: Place) -> Iterator[Lettering]:
    """A letter beside each leg that has one, once each, on the side away from the middle of the figure."""
    done: set[str] = {span.letter for span in walk.shape.spans}
    for leg, place in zip(walk.shape.legs, walk.middles, strict=True):
        if not leg.letter or leg.letter in done:
            continue
        done.add(leg.letter)
        yield _lettering(leg.letter, at=_outwards(place, leg=leg, middle=middle))


def _outwards(place: Place, *, leg: Leg, middle: Place) -> Place:
    if leg.arc:
        away = math.atan2(place[1] - middle[1], place[0] - middle[0])
        return place[0] + _OFF * math.cos(away), place[1] + _OFF * math.sin(away)
    angle = math.radians(leg.angle)
    nx, ny = -math.sin(angle), math.cos(angle)
    outer = (place[0] - middle[0]) * nx + (place[1] - middle[1]) * ny
    side = 1 if outer > _LEVEL or (abs(outer) <= _LEVEL and ny >= 0) else -1
    side = -side if leg.inside else side
    return place[0] + nx * _OFF * side, place[1] + ny * _OFF * side


def _up(walk: _Walk, start: int, end: int, _middle: Place) -> Dimension:
    (x1, y1), (x2, y2) = walk.joints[start], walk.joints[end]
    x = max(x1, x2) + 10
    lines: list[Places] = [((x, y1), (x, y2)), *(((x - _TICK, y), (x + _TICK, y)) for y in (y1, y2))]
    return lines, (x + _OFF, (y1 + y2) / 2)


def _across(walk: _Walk, start: int, end: int, _middle: Place) -> Dimension:
    (x1, y1), (x2, y2) = walk.joints[start], walk.joints[end]
    y = min(place.place[1] for place in walk.corners) - 9 if abs(start - end) > 1 else min(y1, y2) - 9
    lines: list[Places] = [((x1, y), (x2, y)), *(((x, y - _TICK), (x, y + _TICK)) for x in (x1, x2))]
    return lines, ((x1 + x2) / 2, y - _OFF)


def _up_left(walk: _Walk, start: int, end: int, _middle: Place) -> Dimension:
    (x1, y1), (x2, y2) = walk.joints[start], walk.joints[end]
    x = min(x1, x2)
    return [((x, y1), (x, y2)), ((x - _TICK, y2), (x + _TICK, y2))], (x - _OFF, (y1 + y2) / 2)


def _over(walk: _Walk, start: int, end: int, _middle: Place) -> Dimension:
    (x1, y1), (x2, y2) = walk.joints[start], walk.joints[end]
    y = max(y1, y2) + 9
    lines: list[Places] = [((x1, y), (x2, y)), *(((x, y - _TICK), (x, y + _TICK)) for x in (x1, x2))]
    return lines, ((x1 + x2) / 2, y + _OFF)


def _corner(walk: _Walk, start: int, _end: int, middle: Place) -> Dimension:
    x, y = walk.joints[start]
    away = math.atan2(y - middle[1], x - middle[0])
    return [], (x + 1.3 * _OFF * math.cos(away), y + 1.3 * _OFF * math.sin(away))


def _rise(walk: _Walk, start: int, end: int, _middle: Place) -> Dimension:
    (x1, y1), (x2, y2) = walk.joints[start], walk.joints[end]
    top = walk.middles[start]
    foot = ((x1 + x2) / 2, (y1 + y2) / 2)
    return [(foot, top)], (top[0] + _OFF, (foot[1] + top[1]) / 2)


def _ring(walk: _Walk, _start: int, _end: int, middle: Place) -> Dimension:
    xs = [corner.place[0] for corner in walk.corners]
    return [((min(xs), middle[1]), (max(xs), middle[1]))], (middle[0], middle[1] + _OFF)


_SPANS: Final = {
    "up": _up,
    "up_left": _up_left,
    "across": _across,
    "over": _over,
    "corner": _corner,
    "rise": _rise,
    "ring": _ring,
}


def _lettering(words: str, *, at: Place) -> Lettering:
    """A letter whose middle is at a place of the figure, y up; its baseline lies a third of it lower."""
    return Lettering(words=words, x=at[0], y=-at[1] + LETTER_UNITS * 0.35, role="shape")


def _flipped(places: Sequence[Place]) -> tuple[Place, ...]:
    return tuple((x, -y) for x, y in places)
