"""Bars at a spacing over the slab's plan: where they run, and what edges and openings leave of them.

Places are put on a grid of 0.001 mm. The plan is turned so that the bars run along its first axis.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal

import pyclipper

from estimates.calc import sweep
from estimates.calc.sheet.types import Point
from estimates.calc.sweep import Corner, Edge, Run, Sweep

Direction = Literal["x", "y"]
Lines = Literal["all", "other", "second"]
Grid = tuple[Corner, ...]
Edges = tuple[Edge, ...]

_GRID_PER_MM: Final = 1_000
_LENGTH_STEP: Final = 10  # lengths are told apart to 0.01 mm
_NOISE: Final = 2  # a bar exactly one cover off an opening is not too close
_MITRE: Final = 4.0


@dataclass(frozen=True, slots=True)
class Piece:
    """Bars of one length [mm]."""

    length_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class Plan:
    """The concrete in plan [mm]: the slab's outline, its openings by name, the region of the bars."""

    outline: Sequence[Point]
    openings: Sequence[tuple[str, Sequence[Point]]]
    region: Sequence[Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How bars are laid: along an axis, turned counterclockwise by `angle_deg`, `end_cover_mm` inside edges.

    With `count` so many lines are spread evenly from edge to edge; with `step_mm` they follow each other at
    that distance, the first `first_mm` inside the region, or at the cover where that lies further in. Every
    second line is `shorter_mm` short of the others at each end; with `parted` its bars are also told apart.
    """

    direction: Direction
    end_cover_mm: float
    angle_deg: float = 0
    count: int = 0
    step_mm: float = 0
    first_mm: float = 0
    shorter_mm: float = 0
    parted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What lies in the region: pieces, longest first; lines; bars that each opening cuts, or passes closely.

    `second` are the pieces of every second line, where the course tells them apart; they are among `pieces`.

    `rows` are the bars themselves: levels that look alike, with the runs along each of them, on the grid of
    the turned plan; `segments` puts them back into the plan.
    """

    pieces: tuple[Piece, ...]
    lines: int
    cut_by: Mapping[str, int]
    beside: Mapping[str, int]
    rows: tuple[tuple[Sequence[int], Sequence[Run]], ...]
    course: Course
    second: tuple[Piece, ...] = ()


def extent_mm(region: Sequence[Point], *, direction: Direction, angle_deg: float = 0) -> float:
    """How far a region reaches across its bars.

    Source: derived: the length over which a schedule counts bars.

    Args:
        region: corners [mm], shape (n, 2).
        direction: axis that the bars run along.
        angle_deg: how far they are turned from it, counterclockwise [°].

    Returns:
        The extent across the bars [mm].

    >>> extent_mm([Point(0, 0), Point(9200, 0), Point(9200, 7400), Point(0, 7400)], direction="x")
    7400
    """
    if angle_deg:
        turn = _Turn(direction, angle_deg)
        across: list[float] = [level / _GRID_PER_MM for _, level in turn.into(_grid(tuple(region)))]
    else:
        across = [point.y if direction == "x" else point.x for point in region]
    return max(across) - min(across)


def lay(plan: Plan, course: Course) -> Laid:
    """Lays bars over the region and ends them where the concrete ends.

    Source: derived: a bar lies one cover inside every concrete edge, and the outer bars too, or on the
    region's edge where that lies further in. An opening cuts the bars that meet it, one cover off; bars that
    only come closer to it than the cover stay whole, since they are moved aside.

    Args:
        plan: the concrete and the region [mm].
        course: how the bars are laid.

    Returns:
        The bars; those under 1 mm left out.

    >>> slab = [Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000)]
    >>> lay(Plan(slab, (), slab), Course(direction="x", end_cover_mm=20, count=21)).pieces
    (Piece(length_mm=3960.0, count=21),)
    """
    turn = _Turn(course.direction, course.angle_deg)
    cover = round(course.end_cover_mm * _GRID_PER_MM)
    holes = tuple((name, _grid(tuple(corners))) for name, corners in plan.openings)
    field = _field(_grid(tuple(plan.outline)), holes, _grid(tuple(plan.region)), turn=turn, cover=cover)
    if field is None:
        return Laid(pieces=(), lines=0, cut_by={}, beside={}, rows=(), course=course)
    levels = _levels(field, course=course)
    shorter = round(course.shorter_mm * _GRID_PER_MM)
    rows = list(field.rows(levels))
    found: dict[int, int] = {}
    seconds: dict[int, int] = {}
    cut_by, beside = dict.fromkeys((name for name, _ in holes), 0), dict.fromkeys((n for n, _ in holes), 0)
    for first, alike, row in rows:
        for name in row.cut:
            cut_by[name] += len(alike)
        for name in row.close:
            beside[name] += len(alike)
        for off, number, second in _parity(first, number=len(alike), shorter=shorter, parted=course.parted):
            for start, end in row.bars:
                length = (end - start - 2 * off + _LENGTH_STEP // 2) // _LENGTH_STEP
                found[length] = found.get(length, 0) + number
                if second:
                    seconds[length] = seconds.get(length, 0) + number
    return Laid(
        pieces=_pieces(found),
        lines=len(levels),
        cut_by={name: number for name, number in cut_by.items() if number},
        beside={name: number for name, number in beside.items() if number},
        rows=tuple((alike, row.bars) for _, alike, row in rows),
        course=course,
        second=_pieces(seconds) if course.parted else (),
    )


def _pieces(found: Mapping[int, int]) -> tuple[Piece, ...]:
    lengths = sorted(((length, n) for length, n in found.items() if length >= _LEAST and n), reverse=True)
    return tuple(Piece(length * _LENGTH_STEP / _GRID_PER_MM, number) for length, number in lengths)


def segments(laid: Laid, *, lines: Lines = "all") -> Iterator[tuple[Point, Point]]:
    """The bars as lines in plan, from the first to the last.

    Source: derived: the runs turned back.

    Args:
        laid: bars as `lay` gives them.
        lines: which of them: all, the first and every other one, or every second one.

    Returns:
        Both ends of each bar [mm].

    >>> slab = [Point(0, 0), Point(4000, 0), Point(4000, 3000), Point(0, 3000)]
    >>> next(segments(lay(Plan(slab, (), slab), Course(direction="y", end_cover_mm=20, count=21))))
    (Point(x=20.0, y=20.0), Point(x=20.0, y=2980.0))
    """
    turn = _Turn(laid.course.direction, laid.course.angle_deg)
    shorter = round(laid.course.shorter_mm * _GRID_PER_MM)
    number = 0
    for levels, runs in laid.rows:
        for level in levels:
            second, number = number % 2, number + 1
            if lines != "all" and second != (lines == "second"):
                continue
            off = shorter * second
            for start, end in runs:
                if end - start - 2 * off >= _GRID_PER_MM:
                    yield turn.out((start + off, level)), turn.out((end - off, level))


_LEAST: Final = _GRID_PER_MM // _LENGTH_STEP


@dataclass(frozen=True)
class _Turn:
    """Turns the plan so that the bars run along the first axis, and back."""

    direction: Direction
    angle_deg: float

    @property
    def swapped(self) -> bool:
        return self.direction == "y"

    @property
    def plain(self) -> bool:
        return not self.angle_deg

    @property
    def cos(self) -> float:
        return math.cos(math.radians(self.angle_deg))

    @property
    def sin(self) -> float:
        return math.sin(math.radians(self.angle_deg))

    def into(self, ring: Sequence[Corner]) -> list[Corner]:
        if not self.plain:
            cos, sin = self.cos, self.sin
            ring = [(round(x * cos + y * sin), round(y * cos - x * sin)) for x, y in ring]
        return [(y, x) for x, y in ring] if self.swapped else list(ring)

    def out(self, corner: Corner) -> Point:
        x, y = (corner[1], corner[0]) if self.swapped else corner
        if not self.plain:
            cos, sin = self.cos, self.sin
            return Point((x * cos - y * sin) / _GRID_PER_MM, (x * sin + y * cos) / _GRID_PER_MM)
        return Point(x / _GRID_PER_MM, y / _GRID_PER_MM)


@dataclass(frozen=True, slots=True)
class _Row:
    """Bars along a level, the openings that cut them, those that they pass within the cover."""

    bars: Sequence[Run]
    cut: Sequence[str]
    close: Sequence[str]


class _Band:
    """All levels between two corners of the plan: the same edges cross each of them."""

    def __init__(self, until: int, *, edge: Edges, within: Edges, holes: Sequence[tuple[str, Edges, Edges]]):
        self.until = until
        self._edge, self._within, self._holes = edge, within, holes
        crossing = [edge, within, *(edges for _, *both in holes for edges in both)]
        self.upright = all(sweep.upright(edges) for edges in crossing)
        self._row: _Row | None = None

    def row(self, level: int) -> _Row:
        """What lies along a level; worked out once where all edges are upright."""
        if self._row is not None:
            return self._row
        whole = bars = sweep.common(sweep.runs(self._edge, level), sweep.runs(self._within, level))
        cut, close = [], []
        for name, hole, grown in self._holes:
            open_here, near = sweep.runs(hole, level), sweep.runs(grown, level)
            if open_here:
                bars = sweep.without(bars, near)
                if sweep.common(open_here, whole):
                    cut.append(name)
            elif near and sweep.common(near, whole):
                close.append(name)
        row = _Row(bars, cut, close)
        if self.upright:
            self._row = row
        return row


@dataclass(frozen=True, slots=True)
class _Field:
    """Where bars may lie: `starts` are the lower ends of the bands, low and high their outer levels."""

    starts: Sequence[int]
    bands: Sequence[_Band]
    low: int
    high: int
    region_low: int

    def rows(self, levels: Sequence[int]) -> Iterator[tuple[int, Sequence[int], _Row]]:
        """Rows from the lowest level up, levels that look alike together."""
        index = 0
        while index < len(levels):
            band = self.bands[bisect_right(self.starts, levels[index]) - 1]
            until = bisect_left(levels, band.until, lo=index) if band.upright else index + 1
            yield index, levels[index:until], band.row(levels[index])
            index = until


@lru_cache(maxsize=64)
def _field(
    outline: Grid, holes: tuple[tuple[str, Grid], ...], region: Grid, *, turn: _Turn, cover: int
) -> _Field | None:
    """The bands of a plan; None where no bar has its cover."""
    inside = [turn.into(ring) for ring in _moved(outline, -cover)]
    places = [y for ring in inside for _, y in ring]
    turned = turn.into(region)
    low, high = min(y for _, y in turned), max(y for _, y in turned)
    if not places or min(high, max(places)) <= max(low, min(places)):
        return None
    edge, within = Sweep(inside), Sweep([turned])
    sweeps = [
        (
            name,
            Sweep([turn.into(grid)]),
            Sweep([turn.into(ring) for ring in _moved(grid, max(0, cover - _NOISE))]),
        )
        for name, grid in holes
    ]
    changes = set().union(edge.changes, within.changes, *(one.changes for _, *both in sweeps for one in both))
    starts = sorted(changes)
    bands = [
        _Band(
            until,
            edge=edge.edges(start),
            within=within.edges(start),
            holes=[(name, hole.edges(start), grown.edges(start)) for name, hole, grown in sweeps],
        )
        for start, until in pairwise(starts)
    ]
    return _Field(starts, bands, max(low, min(places)), min(high, max(places)), low)


def _parity(first: int, *, number: int, shorter: int, parted: bool) -> list[tuple[int, int, bool]]:
    """How many of `number` lines from `first` on are short by 0, and how many second ones by `shorter`."""
    if not shorter and not parted:
        return [(0, number, False)]
    odd = (number + first % 2) // 2
    return [(0, number - odd, False), (shorter, odd, True)]


def _levels(field: _Field, *, course: Course) -> list[int]:
    """The levels of the lines, from low to high, where the concrete holds bars with their cover."""
    low, high = field.low, field.high
    if course.count == 1:
        return [(low + high) // 2]
    if course.count:
        last = course.count - 1
        return [*[low + (high - low) * index // last for index in range(last)], high - 1]
    step = course.step_mm * _GRID_PER_MM
    first = max(low, field.region_low + round(course.first_mm * _GRID_PER_MM))
    return [first + round(step * index) for index in range(math.floor((high - 1 - first) / step) + 1)]


@lru_cache(maxsize=256)
def _grid(points: Sequence[Point]) -> Grid:
    return tuple((round(point[0] * _GRID_PER_MM), round(point[1] * _GRID_PER_MM)) for point in points)


@lru_cache(maxsize=256)
def _moved(ring: Grid, by: int) -> tuple[Grid, ...]:
    """A polygon with its edges moved out by a distance, or in by a negative one: none, one or several."""
    if not by:
        return (ring,)
    offset = pyclipper.PyclipperOffset(_MITRE)
    offset.AddPath(ring, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return tuple(tuple((x, y) for x, y in path) for path in offset.Execute(by))
