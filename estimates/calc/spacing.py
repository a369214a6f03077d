"""Bars at a spacing over the slab's plan: where they run, and what openings leave of them.

Places are put on a grid of 0.001 mm. Bars are taken as running along x; for bars along y the plan is turned.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from estimates.calc.sheet.types import Point

Direction = Literal["x", "y"]

_GRID_PER_MM: Final = 1_000

_Corner = tuple[int, int]
_Run = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Piece:
    """Bars of one length [mm]."""

    length_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class Laid:
    """What lies in the region: pieces, longest first, and how many bars each opening cuts."""

    pieces: tuple[Piece, ...]
    cut_by: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Plan:
    """The concrete in plan [mm]: the slab's outline, its openings by name, the region of the bars."""

    outline: Sequence[Point]
    openings: Sequence[tuple[str, Sequence[Point]]]
    region: Sequence[Point]


def extent_mm(region: Sequence[Point], *, direction: Direction) -> float:
    """How far a region reaches across its bars.

    Source: derived: the length over which a schedule counts bars.

    Args:
        region: corners [mm], shape (n, 2).
        direction: axis that the bars run along.

    Returns:
        The extent across the bars [mm].

    >>> extent_mm([Point(0, 0), Point(9200, 0), Point(9200, 7400), Point(0, 7400)], direction="x")
    7400
    """
    across = [point.y if direction == "x" else point.x for point in region]
    return max(across) - min(across)


def lay(plan: Plan, *, direction: Direction, count: int, end_cover_mm: float) -> Laid:
    """Spreads bars evenly over the region and ends them where the concrete ends.

    Source: derived: a bar ends one cover, measured along it, inside every concrete edge, an opening's too;
    the outer bars lie one cover inside the slab's edge, or on the region's edge where that lies further in.

    Args:
        plan: the concrete and the region [mm].
        direction: axis that the bars run along.
        count: bars across the region, at least 1.
        end_cover_mm: cover at every concrete edge [mm].

    Returns:
        Pieces by length, longest first, those under 1 mm left out; and bars cut, by opening.

    >>> slab = [Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000)]
    >>> lay(Plan(slab, (), slab), direction="x", count=21, end_cover_mm=20).pieces
    (Piece(length_mm=3960.0, count=21),)
    """
    turned = direction == "y"
    outline, region = _corners(plan.outline, turned=turned), _corners(plan.region, turned=turned)
    holes = {name: _corners(corners, turned=turned) for name, corners in plan.openings}
    cover = round(end_cover_mm * _GRID_PER_MM)
    edge, within = _Sweep([outline]), _Sweep([region])
    concrete = _Sweep([outline, *holes.values()])
    sweeps = {name: _Sweep([corners]) for name, corners in holes.items()}
    found: dict[int, int] = {}
    cut_by = dict.fromkeys(holes, 0)
    for level in _levels(outline, region=region, cover=cover, count=count):
        allowed = within.runs(level)
        bars = _common(_shorten(concrete.runs(level), cover=cover), allowed)
        uncut = _common(_shorten(edge.runs(level), cover=cover), allowed)
        for start, end in bars:
            found[end - start] = found.get(end - start, 0) + 1
        if bars != uncut:
            for name, sweep in sweeps.items():
                cut_by[name] += bool(_common(sweep.runs(level), uncut))
    lengths = sorted(
        ((length, number) for length, number in found.items() if length >= _GRID_PER_MM), reverse=True
    )
    return Laid(
        pieces=tuple(Piece(length / _GRID_PER_MM, number) for length, number in lengths),
        cut_by={name: number for name, number in cut_by.items() if number},
    )


class _Sweep:
    """Edges of polygons, asked at rising levels what lies inside (even-odd)."""

    def __init__(self, polygons: Iterable[Sequence[_Corner]]) -> None:
        edges = [
            (corners[index - 1], corners[index])
            if corners[index - 1][1] < corners[index][1]
            else (corners[index], corners[index - 1])
            for corners in polygons
            for index in range(len(corners))
            if corners[index - 1][1] != corners[index][1]
        ]
        self._waiting = sorted(edges, key=lambda edge: -edge[0][1])
        self._active: list[tuple[_Corner, _Corner]] = []

    def runs(self, level: int) -> list[_Run]:
        """What lies inside along the line at `level`, left to right; never below an earlier level."""
        while self._waiting and self._waiting[-1][0][1] <= level:
            self._active.append(self._waiting.pop())
        self._active = [edge for edge in self._active if edge[1][1] > level]
        crossings = sorted(x0 + (x1 - x0) * (level - y0) // (y1 - y0) for (x0, y0), (x1, y1) in self._active)
        return [
            (start, end) for start, end in zip(crossings[::2], crossings[1::2], strict=True) if end > start
        ]


def _corners(points: Sequence[Point], *, turned: bool) -> list[_Corner]:
    grid = [(round(point.x * _GRID_PER_MM), round(point.y * _GRID_PER_MM)) for point in points]
    return [(y, x) for x, y in grid] if turned else grid


def _levels(outline: Sequence[_Corner], *, region: Sequence[_Corner], cover: int, count: int) -> list[int]:
    low = max(min(y for _, y in region), min(y for _, y in outline) + cover)
    high = min(max(y for _, y in region) - 1, max(y for _, y in outline) - cover)
    if high < low:
        return []
    if count == 1:
        return [(low + high) // 2]
    return [low + (high - low) * index // (count - 1) for index in range(count)]


def _shorten(runs: Sequence[_Run], *, cover: int) -> list[_Run]:
    return [(start + cover, end - cover) for start, end in runs if end - start > 2 * cover]


def _common(some: Sequence[_Run], others: Sequence[_Run]) -> list[_Run]:
    found = [(max(start, left), min(end, right)) for start, end in some for left, right in others]
    return [(start, end) for start, end in found if end > start]
