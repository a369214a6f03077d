"""Outlines in plan: whether one crosses itself, and how much of one lies outside or inside another.

Corners are put on a grid of 0.001 mm, on which every test is exact.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Final

import pyclipper

from estimates.calc.sheet.types import Point

_Corner = tuple[int, int]
_Edge = tuple[_Corner, _Corner]

_GRID_PER_MM: Final = 1_000
_TOLERANCE_MM: Final = 0.01
_PAIRS_SHOWN: Final = 3


def faults_of(points: Sequence[Point]) -> list[tuple[str, str]]:
    """What makes the corners no outline: repeated corners, edges that touch or cross, no area.

    Source: derived: a simple polygon has no two edges in touch but neighbours at their shared corner.

    Args:
        points: corners in order [mm], shape (n, 2).

    Returns:
        Pairs of code and sentence; empty for a simple polygon.

    >>> faults_of([Point(0, 0), Point(4000, 0), Point(0, 3000), Point(4000, 3000)])[0][0]
    'crosses_itself'
    """
    corners = _on_grid(points)
    repeated = [index for index, corner in enumerate(corners) if corner == corners[index - 1]]
    if repeated:
        places = ", ".join(place(points[index]) for index in repeated[:_PAIRS_SHOWN])
        last = " (the last corner joins the first by itself)" if repeated[0] == 0 else ""
        return [("repeated_corner", f"repeats its corner {places}{last}; leave the second one out")]
    pairs = list(_clashing_edges(corners))
    if pairs:
        words = ", ".join(_edge_pair(points, first, second) for first, second in pairs[:_PAIRS_SHOWN])
        more = f" and {len(pairs) - _PAIRS_SHOWN} more" if len(pairs) > _PAIRS_SHOWN else ""
        return [
            (
                "crosses_itself",
                f"crosses or touches itself: {words}{more}; put the corners in order around it",
            )
        ]
    return []


def area_outside_mm2(inner: Sequence[Point], *, outer: Sequence[Point]) -> float:
    """Area of one outline that another does not cover; specks within the tolerance count as none.

    Source: derived: polygon difference; tolerance 0.01 mm along the outline of `inner`.

    Args:
        inner: corners [mm], shape (n, 2).
        outer: corners [mm], shape (m, 2).

    Returns:
        The area [mm²], never negative.

    >>> square = [Point(0, 0), Point(1000, 0), Point(1000, 1000), Point(0, 1000)]
    >>> area_outside_mm2(square, outer=[Point(0, 0), Point(800, 0), Point(800, 1000), Point(0, 1000)])
    200000.0
    """
    return _area_mm2(inner, other=outer, operation=pyclipper.CT_DIFFERENCE)


def area_shared_mm2(one: Sequence[Point], *, other: Sequence[Point]) -> float:
    """Area that two outlines both cover; specks within the tolerance count as none.

    Source: derived: polygon intersection; tolerance 0.01 mm along the outline of `one`.

    Args:
        one: corners [mm], shape (n, 2).
        other: corners [mm], shape (m, 2).

    Returns:
        The area [mm²], never negative.

    >>> square = [Point(0, 0), Point(1000, 0), Point(1000, 1000), Point(0, 1000)]
    >>> area_shared_mm2(square, other=[Point(900, 0), Point(2000, 0), Point(2000, 1000), Point(900, 1000)])
    100000.0
    """
    return _area_mm2(one, other=other, operation=pyclipper.CT_INTERSECTION)


def holding(region: Sequence[Point] | None, *, pieces: Sequence[tuple[Point, ...]]) -> tuple[Point, ...]:
    """The piece of a slab in which a region lies.

    Source: derived: the piece with which it shares most.

    Args:
        region: corners [mm]; None for the whole slab.
        pieces: outlines of the slab's pieces [mm], at least one.

    Returns:
        The outline; the first one without a region.

    >>> one = (Point(0, 0), Point(9, 0), Point(9, 9))
    >>> holding(None, pieces=[one]) == one
    True
    """
    if region is None or len(pieces) == 1:
        return pieces[0]
    return max(pieces, key=lambda piece: area_shared_mm2(region, other=piece))


def holds(outline: Sequence[Point], *, point: Point) -> bool:
    """Whether a place lies inside an outline or on its edge.

    Source: derived: point in polygon, exact on the grid.

    Args:
        outline: corners [mm], shape (n, 2).
        point: the place [mm].

    Returns:
        True inside and on the edge.

    >>> holds([Point(0, 0), Point(1000, 0), Point(1000, 1000), Point(0, 1000)], point=Point(1000, 500))
    True
    """
    return bool(pyclipper.PointInPolygon(_on_grid([point])[0], _on_grid(outline)))


def place(point: Point) -> str:
    """A corner as it stands in a message.

    Source: derived: coordinates as drawings print them.

    Args:
        point: a place in plan [mm].

    Returns:
        Its text.

    >>> place(Point(0.0, 3700.5))
    '(0, 3700.5)'
    """
    return f"({point.x:.10g}, {point.y:.10g})"


def _on_grid(points: Sequence[Point]) -> list[_Corner]:
    return [(round(point.x * _GRID_PER_MM), round(point.y * _GRID_PER_MM)) for point in points]


def _area_mm2(one: Sequence[Point], *, other: Sequence[Point], operation: int) -> float:
    clipper = pyclipper.Pyclipper()
    clipper.AddPath(_on_grid(one), pyclipper.PT_SUBJECT, True)  # noqa: FBT003 - closed, by the library's signature
    clipper.AddPath(_on_grid(other), pyclipper.PT_CLIP, True)  # noqa: FBT003 - the same
    found = clipper.Execute(operation, pyclipper.PFT_EVENODD, pyclipper.PFT_EVENODD)
    area = abs(sum(pyclipper.Area(path) for path in found)) / _GRID_PER_MM**2
    around = sum(math.dist(one[index - 1], one[index]) for index in range(len(one)))
    return area if area > around * _TOLERANCE_MM else 0.0


def _edge_pair(points: Sequence[Point], first: int, second: int) -> str:
    def edge(index: int) -> str:
        return f"{place(points[index])} to {place(points[(index + 1) % len(points)])}"

    return f"edge {edge(first)} meets edge {edge(second)}"


def _clashing_edges(corners: Sequence[_Corner]) -> Iterator[tuple[int, int]]:
    count = len(corners)
    edges = [(corners[index], corners[(index + 1) % count]) for index in range(count)]
    order = sorted(range(count), key=lambda index: min(edges[index][0][0], edges[index][1][0]))
    for rank, first in enumerate(order):
        right = max(edges[first][0][0], edges[first][1][0])
        for second in order[rank + 1 :]:
            if min(edges[second][0][0], edges[second][1][0]) > right:
                break
            low, high = sorted((first, second))
            if _clash(edges[low], edges[high], after=high == low + 1, around=high - low == count - 1):
                yield low, high


def _clash(first: _Edge, second: _Edge, *, after: bool, around: bool) -> bool:
    """Neighbours may share their corner, after `first` or around the start, but not fold onto each other."""
    if after:
        return _folds(first[0], first[1], second[1])
    if around:
        return _folds(second[0], second[1], first[1])
    return _meet(first, second)


def _folds(before: _Corner, corner: _Corner, behind: _Corner) -> bool:
    """Whether the way turns back on itself at `corner`."""
    along = (before[0] - corner[0]) * (behind[0] - corner[0]) + (before[1] - corner[1]) * (
        behind[1] - corner[1]
    )
    return _side(before, corner, behind) == 0 and along > 0


def _side(start: _Corner, end: _Corner, corner: _Corner) -> int:
    cross = (end[0] - start[0]) * (corner[1] - start[1]) - (end[1] - start[1]) * (corner[0] - start[0])
    return (cross > 0) - (cross < 0)


def _meet(first: _Edge, second: _Edge) -> bool:
    if _side(*first, second[0]) != _side(*first, second[1]) and _side(*second, first[0]) != _side(
        *second, first[1]
    ):
        return True
    return any(
        _side(*edge, corner) == 0 and _in_box(edge, corner)
        for edge, ends in ((first, second), (second, first))
        for corner in ends
    )


def _in_box(edge: _Edge, corner: _Corner) -> bool:
    (left, bottom), (right, top) = edge
    return min(left, right) <= corner[0] <= max(left, right) and min(bottom, top) <= corner[1] <= max(
        bottom, top
    )
