"""Closed outlines in whole micrometres: clipped exactly, measured, and asked what lies inside.

A region is a list of rings: outer ones counter-clockwise, holes clockwise, so that areas of holes subtract
while their perimeters add.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
import pyclipper
from numpy.typing import NDArray

PlanPoint = tuple[float, float]
Ring = list[tuple[int, int]]
Region = list[Ring]
Numbers = NDArray[np.float64]
Truths = NDArray[np.bool_]

PER_MM: Final = 1_000
REACH_MM: Final = 1_000_000
_MITRE_LIMIT: Final = 12.0
_MOST_PAIRS: Final = 1_000_000


def ring(points: Sequence[PlanPoint]) -> Ring:
    """Puts corners on the grid, counter-clockwise, so that a union never takes a ring for a hole.

    Source: derived: whole micrometres.

    Args:
        points: corners in order [mm], either way round.

    Returns:
        The ring [µm].

    Raises:
        ValueError: corners that enclose no area, or a place beyond 1 km.

    >>> ring([(0, 0), (0, 1), (1, 1)])
    [(1000, 1000), (0, 1000), (0, 0)]
    """
    found = [(on_grid(x), on_grid(y)) for x, y in points]
    if any(abs(x) > REACH_MM * PER_MM or abs(y) > REACH_MM * PER_MM for x, y in found):
        message = f"a corner lies beyond {REACH_MM} mm from the origin of the drawing"
        raise ValueError(message)
    doubled = doubled_area([found])
    if doubled == 0:
        message = f"the outline {[tuple(point) for point in points]} encloses no area"
        raise ValueError(message)
    return found if doubled > 0 else found[::-1]


def on_grid(length_mm: float) -> int:
    """A length or a level on the grid.

    Source: derived: whole micrometres.

    Args:
        length_mm: the length [mm].

    Returns:
        The same in µm.

    >>> on_grid(0.1)
    100
    """
    return round(length_mm * PER_MM)


def doubled_area(region: Region) -> int:
    """Twice the area by the shoelace rule, exact in whole numbers.

    Source: derived: shoelace rule.

    Args:
        region: rings [µm].

    Returns:
        Twice the area, holes off [µm²].

    >>> doubled_area([[(0, 0), (4, 0), (4, 3), (0, 3)]])
    24
    """
    return sum(
        x1 * y2 - x2 * y1
        for corners in region
        for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True)
    )


def area_mm2(region: Region) -> float:
    """The area of a region.

    Source: derived: shoelace rule.

    Args:
        region: rings [µm].

    Returns:
        The area, holes off [mm²].

    >>> area_mm2([ring([(0, 0), (4, 0), (4, 3), (0, 3)])])
    12.0
    """
    return doubled_area(region) / 2 / PER_MM**2


def perimeter_mm(region: Region) -> float:
    """Length of all rings of a region.

    Source: derived.

    Args:
        region: rings [µm].

    Returns:
        The length, holes added [mm].

    >>> perimeter_mm([ring([(0, 0), (4, 0), (4, 3), (0, 3)])])
    14.0
    """
    lengths = (
        math.dist(here, there)
        for corners in region
        for here, there in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    return math.fsum(lengths) / PER_MM


def union(*regions: Region) -> Region:
    """What lies in any of the regions.

    Source: derived: polygon clipping in whole numbers.

    Args:
        regions: rings [µm].

    Returns:
        The union, without crossings.
    """
    rings = [corners for region in regions for corners in region]
    return _clip(pyclipper.CT_UNION, subjects=rings, clips=()) if rings else []


def intersection(one: Region, other: Region) -> Region:
    """What lies in both regions.

    Source: derived: polygon clipping in whole numbers.

    Args:
        one: rings [µm].
        other: rings [µm].

    Returns:
        The shared region.
    """
    return _clip(pyclipper.CT_INTERSECTION, subjects=one, clips=other) if one and other else []


def difference(one: Region, other: Region) -> Region:
    """What lies in the first region and not in the second.

    Source: derived: polygon clipping in whole numbers.

    Args:
        one: rings [µm].
        other: rings [µm].

    Returns:
        What is left of `one`.
    """
    return _clip(pyclipper.CT_DIFFERENCE, subjects=one, clips=other) if one else []


def grown(region: Region, *, by_mm: float) -> Region:
    """A region with its edges moved outward, corners kept sharp.

    Source: derived: parallel offset with mitred corners.

    Args:
        region: rings [µm].
        by_mm: how far; below 0 inward [mm].

    Returns:
        The region.

    >>> area_mm2(grown([ring([(0, 0), (4, 0), (4, 3), (0, 3)])], by_mm=1))
    30.0
    """
    offset = pyclipper.PyclipperOffset(_MITRE_LIMIT)
    offset.AddPaths(region, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return _whole(offset.Execute(on_grid(by_mm)))


def strip(line: Sequence[PlanPoint], *, width_mm: float, closed: bool = False) -> Region:
    """The region of a given width about a line, cut square at its ends, mitred at its bends.

    Source: derived: half the width to each side.

    Args:
        line: corners of the centre line [mm].
        width_mm: the width [mm].
        closed: whether the line returns to its first corner.

    Returns:
        The region.

    Raises:
        ValueError: a line of no length.

    >>> area_mm2(strip([(0, 0), (1000, 0), (1000, 1000)], width_mm=200))
    400000.0
    """
    if len(line) == 2:
        return [ring(strip_corners(line[0], end=line[1], width_mm=width_mm))]
    path = [(on_grid(x), on_grid(y)) for x, y in line]
    if all(place == path[0] for place in path):
        message = f"the line through {tuple(line[0])} has no length"
        raise ValueError(message)
    offset = pyclipper.PyclipperOffset(_MITRE_LIMIT)
    ends = pyclipper.ET_CLOSEDLINE if closed else pyclipper.ET_OPENBUTT
    offset.AddPath(path, pyclipper.JT_MITER, ends)
    return _whole(offset.Execute(width_mm * PER_MM / 2))


def strip_corners(start: PlanPoint, *, end: PlanPoint, width_mm: float) -> list[PlanPoint]:
    """Corners of a straight strip: its width about the centre line, cut square at both ends.

    Source: derived: half the width to each side of the centre line.

    Args:
        start: one end [mm].
        end: the other end [mm].
        width_mm: the width [mm].

    Returns:
        Four corners, counter-clockwise [mm].

    Raises:
        ValueError: a centre line of no length.

    >>> strip_corners((0, 0), end=(10, 0), width_mm=4)
    [(0.0, -2.0), (10.0, -2.0), (10.0, 2.0), (0.0, 2.0)]
    """
    (x1, y1), (x2, y2) = start, end
    length = math.hypot(x2 - x1, y2 - y1)
    if length == 0:
        message = f"beam centre line from {tuple(start)} to {tuple(end)} has no length"
        raise ValueError(message)
    dx = -(y2 - y1) / length * width_mm / 2
    dy = (x2 - x1) / length * width_mm / 2
    return [(x1 - dx, y1 - dy), (x2 - dx, y2 - dy), (x2 + dx, y2 + dy), (x1 + dx, y1 + dy)]


def length_mm(line: Sequence[PlanPoint]) -> float:
    """Length of a line in plan.

    Source: derived.

    Args:
        line: corners [mm].

    Returns:
        The length [mm].

    >>> length_mm([(0, 0), (3, 4), (3, 5)])
    6.0
    """
    return math.fsum(math.dist(here, there) for here, there in pairwise(line))


def edges(regions: Iterable[Region]) -> Numbers:
    """The edges of regions as rows of numbers.

    Source: derived.

    Args:
        regions: rings [µm].

    Returns:
        Shape (n, 4): x and y of each edge's start and end, the region to the left [µm].
    """
    rows = [
        (*here, *there)
        for region in regions
        for corners in region
        for here, there in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    return np.array(rows, dtype=np.float64).reshape(-1, 4)


def contains(region: Region, places: Numbers) -> Truths:
    """Which places lie inside a region.

    Source: derived: a ray to the right crosses the rings an odd number of times.

    Args:
        region: rings [µm].
        places: shape (n, 2) [µm].

    Returns:
        Shape (n,).

    >>> contains([[(0, 0), (4, 0), (4, 3), (0, 3)]], np.array([[1.0, 1.0], [5.0, 1.0]])).tolist()
    [True, False]
    """
    rows = edges([region])
    x1, y1, x2, y2 = rows[rows[:, 1] != rows[:, 3]].T
    slope = (x2 - x1) / (y2 - y1)
    batch = max(1, _MOST_PAIRS // max(1, len(x1)))
    found = [
        _crossings(places[first : first + batch], x1=x1, y1=y1, y2=y2, slope=slope)
        for first in range(0, len(places), batch)
    ]
    return np.concatenate(found) if found else np.zeros(0, dtype=np.bool_)


def _crossings(places: Numbers, *, x1: Numbers, y1: Numbers, y2: Numbers, slope: Numbers) -> Truths:
    x, y = places[:, :1], places[:, 1:]
    crossed = ((y1 > y) != (y2 > y)) & (x < x1 + (y - y1) * slope)
    return np.asarray(crossed.sum(axis=1) % 2 == 1)


def length_within(line: Sequence[PlanPoint], region: Region) -> float:
    """How much of a line lies inside a region.

    Source: derived: clipping of open paths.

    Args:
        line: corners [mm].
        region: rings [µm].

    Returns:
        The length [mm].

    >>> length_within([(-1, 1), (9, 1)], [ring([(0, 0), (4, 0), (4, 3), (0, 3)])])
    4.0
    """
    if not region:
        return 0.0
    clipper = pyclipper.Pyclipper()
    clipper.AddPath([(on_grid(x), on_grid(y)) for x, y in line], pyclipper.PT_SUBJECT, False)  # noqa: FBT003 - open, by the library's signature
    clipper.AddPaths(region, pyclipper.PT_CLIP, True)  # noqa: FBT003 - the same
    tree = clipper.Execute2(pyclipper.CT_INTERSECTION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    parts = pyclipper.OpenPathsFromPolyTree(tree)
    return math.fsum(math.dist(a, b) for part in parts for a, b in pairwise(part)) / PER_MM


def _clip(kind: int, *, subjects: Sequence[Ring], clips: Sequence[Ring]) -> Region:
    """Boundaries of the result by the non-zero rule: outer rings counter-clockwise, holes clockwise."""
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(subjects, pyclipper.PT_SUBJECT, True)  # noqa: FBT003 - pyclipper takes no keyword for "closed"
    if clips:
        clipper.AddPaths(clips, pyclipper.PT_CLIP, True)  # noqa: FBT003 - the same
    found = _whole(clipper.Execute(kind, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO))
    if not found or (len(found) == 1 and len(found[0]) <= 4):
        return found
    # Rings may be left apart along a shared edge, and a hole may come out the wrong way round where edges
    # slant: by even and odd the parts become one, and the hole a hole again.
    tidy = pyclipper.Pyclipper()
    tidy.AddPaths(found, pyclipper.PT_SUBJECT, True)  # noqa: FBT003 - the same
    return _whole(tidy.Execute(pyclipper.CT_UNION, pyclipper.PFT_EVENODD, pyclipper.PFT_EVENODD))


def _whole(found: Iterable[Iterable[tuple[int, int]]]) -> Region:
    return [[(int(x), int(y)) for x, y in corners] for corners in found]
