"""What is dimensioned: the slab and its beams below and to the left, openings on their nearer sides."""

from __future__ import annotations

from dataclasses import dataclass, replace

from estimates.calc.drawing import dimensions
from estimates.calc.drawing.dimensions import ROW, Row, Side, Span
from estimates.calc.drawing.parts import EDGE_AIR
from estimates.calc.drawing.plan import Paper
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.shape import Beam, Opening
from estimates.calc.sheet.types import Point

Chain = tuple[Row, tuple[Span, ...]]

_MOST_OPENINGS = 6
"""More openings than this are listed beside the drawing, not dimensioned on it."""


@dataclass(frozen=True, kw_only=True)
class OpeningSpans:
    """How one opening is set out along one axis: its row (0 nearest the slab), and its stations [mm]."""

    side: Side
    row: int
    stations: tuple[float, ...]
    nearest: float
    """The opening's own side towards the row, where extension lines start [mm]."""

    def clear_of(self, other: OpeningSpans) -> bool:
        """Says whether both could share a row."""
        return self.stations[-1] <= other.stations[0] or other.stations[-1] <= self.stations[0]


def opening_spans(design: DesignSheet) -> tuple[OpeningSpans, ...]:
    """Sets out each opening from the nearer edge of the slab along both axes, on the side it lies nearer to.

    Source: common practice.

    Args:
        design: the design sheet [mm].

    Returns:
        Two entries an opening; none when there are too many openings to be read on a plan.
    """
    if len(design.openings) > _MOST_OPENINGS:
        return ()
    found: list[OpeningSpans] = []
    for opening in design.openings:
        found.append(_set_out(opening, design=design, before=found, axis=0))
        found.append(_set_out(opening, design=design, before=found, axis=1))
    return tuple(found)


def row_count(openings: tuple[OpeningSpans, ...], *, side: Side) -> int:
    """Counts the dimension lines of openings on one side.

    Source: derived.

    Args:
        openings: from `opening_spans`.
        side: of the slab.

    Returns:
        Number of dimension lines [1].

    Example:
        >>> row_count((), side="above")
        0
    """
    return max((spans.row + 1 for spans in openings if spans.side == side), default=0)


def chains(design: DesignSheet, *, openings: tuple[OpeningSpans, ...], paper: Paper) -> list[Chain]:
    """Gives every dimension chain of the plan.

    Source: common practice: steps in the row next to the slab, the whole in the row outside it.

    Args:
        design: the design sheet [mm].
        openings: from `opening_spans`.
        paper: how the slab lies on the paper.

    Returns:
        Rows with their spans.
    """
    found = [
        *_slab_chains(design, axis=0, inner_rows=row_count(openings, side="below"), paper=paper),
        *_slab_chains(design, axis=1, inner_rows=row_count(openings, side="left"), paper=paper),
    ]
    return found + [_opening_chain(spans, paper=paper) for spans in openings]


def _slab_chains(design: DesignSheet, *, axis: int, inner_rows: int, paper: Paper) -> list[Chain]:
    edges = {point[axis] for outline in design.outlines for point in outline}
    stations = edges | _inner_centre_lines(design.beams, axis=axis, edges=edges)
    turn = paper.y if axis else paper.x
    across = paper.x(paper.low_x) if axis else paper.y(paper.low_y)
    outward = -1 if axis else 1
    steps = dimensions.spans({mm: turn(mm) for mm in stations}, feet=paper.feet)
    whole = dimensions.spans({mm: turn(mm) for mm in (min(edges), max(edges))}, feet=paper.feet)
    rows = [steps, whole] if len(steps) > 1 else [steps]
    return [
        (
            Row(
                side="left" if axis else "below", edge=across, at=across + outward * (EDGE_AIR + number * ROW)
            ),
            chain,
        )
        for number, chain in enumerate(rows, start=inner_rows + 1)
    ]


def _inner_centre_lines(beams: tuple[Beam, ...], *, axis: int, edges: set[float]) -> set[float]:
    """Gives centre lines that cross the axis; a beam along the slab's edge is set out by the edge itself."""
    return {
        beam.start[axis]
        for beam in beams
        if beam.start[axis] == beam.end[axis]
        and all(abs(beam.start[axis] - edge) > beam.width_mm for edge in edges)
    }


def _set_out(opening: Opening, *, design: DesignSheet, before: list[OpeningSpans], axis: int) -> OpeningSpans:
    (edge_low, edge_high), (low, high) = (
        _reach(_corners(design), axis=axis),
        _span(opening, axis=axis),
    )
    edge = edge_low if low - edge_low <= edge_high - high else edge_high
    side, nearest = _nearer_side(opening, design=design, axis=axis)
    wanted = OpeningSpans(side=side, row=0, stations=tuple(sorted({edge, low, high})), nearest=nearest)
    same_side = [spans for spans in before if spans.side == side]
    while any(spans.row == wanted.row and not wanted.clear_of(spans) for spans in same_side):
        wanted = replace(wanted, row=wanted.row + 1)
    return wanted


def _nearer_side(opening: Opening, *, design: DesignSheet, axis: int) -> tuple[Side, float]:
    """Gives the side on which dimensions along the axis stand, and the opening's own side towards it [mm]."""
    across = 1 - axis
    (edge_low, edge_high), (low, high) = (
        _reach(_corners(design), axis=across),
        _span(opening, axis=across),
    )
    if low - edge_low < edge_high - high:
        return ("below" if axis == 0 else "left"), low
    return ("above" if axis == 0 else "right"), high


def _opening_chain(spans: OpeningSpans, *, paper: Paper) -> Chain:
    level = spans.side in {"above", "below"}
    slab_edge = {
        "above": paper.y(paper.high_y),
        "below": paper.y(paper.low_y),
        "left": paper.x(paper.low_x),
        "right": paper.x(paper.high_x),
    }[spans.side]
    outward = 1 if spans.side in {"below", "right"} else -1
    edge = paper.y(spans.nearest) if level else paper.x(spans.nearest)
    at = slab_edge + outward * (EDGE_AIR + (spans.row + 1) * ROW)
    turn = paper.x if level else paper.y
    row = Row(side=spans.side, edge=edge, at=at, fine=True)
    return row, dimensions.spans({mm: turn(mm) for mm in spans.stations}, feet=paper.feet)


def _span(opening: Opening, *, axis: int) -> tuple[float, float]:
    """How far an opening reaches along an axis; a circle by its own diameter, not by its polygon."""
    if opening.circle is not None:
        middle, half = opening.circle.centre[axis], opening.circle.diameter_mm / 2
        return middle - half, middle + half
    return _reach(opening.corners, axis=axis)


def _corners(design: DesignSheet) -> tuple[Point, ...]:
    return tuple(corner for outline in design.outlines for corner in outline)


def _reach(outline: tuple[Point, ...], *, axis: int) -> tuple[float, float]:
    along = [point[axis] for point in outline]
    return min(along), max(along)
