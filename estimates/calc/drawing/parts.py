"""What a drawing is made of: lines by their ISO 128 kind, lettering, and one area of concrete.

Paper units: the sheet is `WIDTH` units wide, x to the right, y down, whatever size it is shown at.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from estimates.calc import lengths

Place = tuple[float, float]

WIDTH = 1000.0
"""Width of the paper [unit]."""

LETTER = 42.0
"""Height of lettering on a narrow screen, for which room is kept [unit]."""

FINE_LETTER = 24.0
"""Height of lettering that only a wide screen and paper show [unit]."""


EDGE_AIR = 24.0
"""Kept free between the slab and what is written round it [unit]."""


class Stroke(StrEnum):
    """Kinds of line after ISO 128-2: number, look and use."""

    OUTLINE = "outline"
    """01.2 continuous wide: visible edges."""
    HIDDEN = "hidden"
    """02.1 dashed narrow: edges below the concrete."""
    CENTRE = "centre"
    """04.1 long-dashed dotted narrow: centre lines."""
    THIN = "thin"
    """01.1 continuous narrow: diagonals of openings."""
    DIMENSION = "dimension"
    """01.1 continuous narrow: dimension and extension lines."""
    BAR = "bar"
    """01.2 continuous wide: bars of the reinforcement."""
    JOINT = "joint"
    """05.1 long-dashed double-dotted narrow: construction joints."""
    OLD = "old"
    """02.2 dashed wide: faces of concrete that stands already."""
    TICK = "tick"
    """01.2 continuous wide: oblique strokes that end a dimension line."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """A polyline on the paper; `fine` ones are for a wide screen and paper, `anchor` names one to link to."""

    stroke: Stroke
    places: tuple[Place, ...]
    closed: bool = False
    fine: bool = False
    anchor: str = ""

    @property
    def path(self) -> str:
        """Writes the line as SVG path data."""
        return path((self.places,)) if self.closed else path((self.places,), closed=False)


@dataclass(frozen=True, kw_only=True)
class Lettering:
    """Words on the paper, centred on a place of their baseline and turned by `angle` degrees clockwise.

    `fine` ones are for a wide screen and paper, `coarse` ones for a narrow screen.
    """

    words: str
    x: float
    y: float
    angle: float = 0.0
    role: str = "label"
    fine: bool = False
    coarse: bool = False

    @property
    def transform(self) -> str:
        """Writes the place and the turn as an SVG transform; empty when the words lie level."""
        return f"rotate({_short(self.angle)} {_short(self.x)} {_short(self.y)})" if self.angle else ""

    @property
    def at_x(self) -> str:
        """Writes x for SVG."""
        return _short(self.x)

    @property
    def at_y(self) -> str:
        """Writes y for SVG."""
        return _short(self.y)


@dataclass(frozen=True, kw_only=True)
class Box:
    """A level rectangle that lettering must keep clear of, or would take."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Says whether the two rectangles share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A slab in plan, ready to be drawn."""

    height: float
    concrete: str
    lines: tuple[Line, ...]
    lettering: tuple[Lettering, ...]
    bars: tuple[Any, ...] = ()

    @property
    def view_box(self) -> str:
        """Writes the extent of the paper for SVG."""
        return f"0 0 {_short(WIDTH)} {_short(self.height)}"


def path(outlines: tuple[tuple[Place, ...], ...], *, closed: bool = True) -> str:
    """Writes outlines as the data of one SVG path.

    Source: SVG 2, clause 9.3 (path data).

    Args:
        outlines: places in order [unit].
        closed: whether each outline returns to its first place.

    Returns:
        Path data with coordinates to a tenth of a unit.

    Example:
        >>> path((((0, 0), (10, 0), (10, 5.25)),))
        'M0 0L10 0L10 5.2Z'
    """
    end = "Z" if closed else ""
    return "".join(
        "M" + "L".join(f"{_short(x)} {_short(y)}" for x, y in outline) + end for outline in outlines
    )


def room(words: str, *, x: float, y: float, angle: float = 0.0, letter: float = LETTER) -> Box:
    """Gives the level rectangle that words centred on a baseline take, with a little air.

    Source: derived: 0.6 of the height for each letter.

    Args:
        words: the lettering.
        x: middle of the baseline [unit].
        y: baseline [unit].
        angle: 0 for level words, otherwise they are taken as standing upright [°].
        letter: height of the lettering [unit].

    Returns:
        The rectangle [unit].

    Example:
        >>> room("B1", x=100, y=100).right
        125.2
    """
    half = len(words) * 0.3 * letter
    if angle:
        return Box(left=x - letter, top=y - half, right=x + 0.2 * letter, bottom=y + half)
    return Box(left=x - half, top=y - letter, right=x + half, bottom=y + 0.2 * letter)


def _short(value: float) -> str:
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def written(length_mm: float, *, feet: bool) -> str:
    """Writes a length as the drawings of a profile do.

    Source: ISO 129-1: millimetres without a unit; American drawings: feet and inches, here to an eighth.

    Args:
        length_mm: the length [mm].
        feet: whether the drawing is in feet and inches.

    Returns:
        Whole millimetres, or to a tenth when it is not whole; or feet and inches.

    >>> written(9200, feet=False), written(152.4, feet=False), written(7315.2, feet=True)
    ('9200', '152.4', "24'")
    """
    return lengths.nearest(length_mm) if feet else f"{length_mm:.1f}".removesuffix(".0")
