"""Dimension chains as a draughtsman sets them: extension lines, oblique strokes, figures above the line.

Source: ISO 129-1 for the elements (figures readable from below or from the right, oblique strokes allowed as
terminators); distances between rows are common practice, about 10 mm from the outline and 8 mm between rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from estimates.calc.drawing.parts import FINE_LETTER, LETTER, Lettering, Line, Place, Stroke, written

GAP = 12.0
"""Between the outline and the start of an extension line [unit]."""

OVERRUN = 10.0
"""Of an extension line past the dimension line [unit]."""

ROW = 62.0
"""Between dimension lines [unit]."""

TICK = 9.0
"""Half the width of an oblique stroke [unit]."""

Side = Literal["below", "left", "above", "right"]


@dataclass(frozen=True, kw_only=True)
class Span:
    """One figure of a chain: from and to on the paper along the chain [unit], the true length [mm]."""

    start: float
    end: float
    length_mm: float
    feet: bool = False

    @property
    def figure(self) -> str:
        """Writes the length as the drawing does."""
        return written(self.length_mm, feet=self.feet)

    def fits(self, letter: float) -> bool:
        """Says whether the figure, in letters of this height, has room between its extension lines."""
        return len(self.figure) * 0.6 * letter <= self.end - self.start


@dataclass(frozen=True, kw_only=True)
class Row:
    """A dimension line: `edge` is where its extension lines start, `at` where it lies, across the chain."""

    side: Side
    edge: float
    at: float
    fine: bool = False

    @property
    def level(self) -> bool:
        """Says whether the chain runs across the paper, not up it."""
        return self.side in {"below", "above"}

    @property
    def letter(self) -> float:
        """Gives the height of its figures; fine rows are left out where lettering has to be large [unit]."""
        return FINE_LETTER if self.fine else LETTER

    @property
    def outward(self) -> float:
        """Direction away from the slab, across the chain: +1 down or right, -1 up or left."""
        return 1.0 if self.side in {"below", "right"} else -1.0

    def place(self, along: float, *, across: float) -> Place:
        """Gives a place from its distance along and across the chain."""
        return (along, across) if self.level else (across, along)


def spans(stations: dict[float, float], *, feet: bool = False) -> tuple[Span, ...]:
    """Joins neighbouring stations.

    Source: derived.

    Args:
        stations: place on the paper [unit] by place in plan [mm].
        feet: whether the figures are feet and inches.

    Returns:
        One span between each two neighbours in the order of the paper.

    Example:
        >>> [span.figure for span in spans({0: 100, 4600: 400, 9200: 700})]
        ['4600', '4600']
    """
    ordered = sorted(stations.items(), key=lambda item: item[1])
    return tuple(
        Span(
            start=at,
            end=next_at,
            length_mm=abs(next_mm - mm),
            feet=feet,
        )
        for (mm, at), (next_mm, next_at) in pairwise(ordered)
    )


def draw(row: Row, *, chain: tuple[Span, ...]) -> tuple[list[Line], list[Lettering]]:
    """Draws one chain.

    Source: ISO 129-1 (elements of dimensioning); spacing by common practice.

    Args:
        row: where the chain lies [unit].
        chain: its spans [unit].

    Returns:
        Lines and figures.
    """
    ends = ((chain[0].start, row.at), (chain[-1].end, row.at))
    lines = [_line(row, Stroke.DIMENSION, *ends), *_tails(row, chain=chain)]
    for along in sorted({span.start for span in chain} | {span.end for span in chain}):
        lines += [
            _line(
                row,
                Stroke.DIMENSION,
                (along, row.edge + row.outward * GAP),
                (along, row.at + row.outward * OVERRUN),
            ),
            _tick(row, along=along),
        ]
    return lines, _figures(row, chain=chain)


def _line(row: Row, stroke: Stroke, *ends: tuple[float, float]) -> Line:
    places = tuple(row.place(along, across=across) for along, across in ends)
    return Line(stroke=stroke, places=places, fine=row.fine)


def _tick(row: Row, *, along: float) -> Line:
    # An oblique stroke rises to the right whichever way the dimension runs.
    x, y = row.place(along, across=row.at)
    places = ((x - TICK, y + TICK), (x + TICK, y - TICK))
    return Line(stroke=Stroke.TICK, places=places, fine=row.fine)


def _figures(row: Row, *, chain: tuple[Span, ...]) -> list[Lettering]:
    """Sets each figure above its line; one without room goes past the chain's end, or below the line."""
    letter = row.letter
    written = []
    for span in chain:
        middle, across = (span.start + span.end) / 2, row.at - 0.2 * LETTER
        if not span.fits(letter):
            half = len(span.figure) * 0.3 * letter + 1.5 * TICK
            if span == chain[-1]:
                middle = span.end + half
            elif span == chain[0]:
                middle = span.start - half
            else:
                across = row.at + letter
        x, y = row.place(middle, across=across)
        angle = 0.0 if row.level else -90.0
        written.append(Lettering(words=span.figure, x=x, y=y, angle=angle, role="dimension", fine=row.fine))
    return written


def _tails(row: Row, *, chain: tuple[Span, ...]) -> list[Line]:
    """Carries the dimension line under figures that stand past the chain's ends."""
    lines = []
    for span, start, outward in ((chain[-1], chain[-1].end, 1), (chain[0], chain[0].start, -1)):
        if not span.fits(row.letter) and not (outward < 0 and len(chain) == 1):
            length = len(span.figure) * 0.6 * row.letter + 1.5 * TICK
            lines.append(_line(row, Stroke.DIMENSION, (start, row.at), (start + outward * length, row.at)))
    return lines
