"""Polygons asked, level by level, what lies inside along a line: whole micrometres, even-odd."""

from collections.abc import Iterable, Sequence

Corner = tuple[int, int]
Run = tuple[int, int]
Ring = Sequence[Corner]
Edge = tuple[Corner, Corner]


class Sweep:
    """Edges of polygons, taken up and let go at rising levels."""

    __slots__ = ("_active", "_waiting", "changes")

    def __init__(self, rings: Iterable[Ring]) -> None:
        """Sorts the edges by their lower ends; `changes` are all levels at which edges begin or end."""
        edges = []
        for ring in rings:
            before = ring[-1]
            for corner in ring:
                if before[1] != corner[1]:
                    edges.append((before, corner) if before[1] < corner[1] else (corner, before))
                before = corner
        self._waiting = sorted(edges, key=lambda edge: -edge[0][1])
        self._active: list[Edge] = []
        self.changes = {edge[0][1] for edge in edges} | {edge[1][1] for edge in edges}

    def edges(self, level: int) -> tuple[Edge, ...]:
        """The edges that cross the line at `level`; never below an earlier level."""
        while self._waiting and self._waiting[-1][0][1] <= level:
            self._active.append(self._waiting.pop())
        self._active = [edge for edge in self._active if edge[1][1] > level]
        return tuple(self._active)


def upright(edges: Iterable[Edge]) -> bool:
    """Whether what lies between edges is the same at all levels that they cross.

    Source: derived: all of them are upright.

    Args:
        edges: edges that cross the same levels.

    Returns:
        Whether it is.

    >>> upright([((0, 0), (0, 9)), ((5, 0), (6, 9))])
    False
    """
    return all(low[0] == high[0] for low, high in edges)


def runs(edges: Sequence[Edge], level: int) -> list[Run]:
    """What lies inside along the line at a level, even-odd.

    Source: derived: where edges cross the line.

    Args:
        edges: all edges that cross it.
        level: the level.

    Returns:
        The runs, left to right.

    >>> runs([((0, 0), (0, 9)), ((5, 0), (6, 9))], 3)
    [(0, 5)]
    """
    crossings = sorted([x0 + (x1 - x0) * (level - y0) // (y1 - y0) for (x0, y0), (x1, y1) in edges])
    return [(start, end) for start, end in zip(crossings[::2], crossings[1::2], strict=True) if end > start]


def common(some: Sequence[Run], others: Sequence[Run]) -> list[Run]:
    """What lies in both of two lists of runs.

    Source: derived.

    Args:
        some: runs, left to right, none touching another.
        others: the same.

    Returns:
        The common runs, left to right.

    >>> common([(0, 10), (20, 30)], [(5, 25)])
    [(5, 10), (20, 25)]
    """
    found = [(max(start, left), min(end, right)) for start, end in some for left, right in others]
    return [(start, end) for start, end in found if end > start]


def without(some: Sequence[Run], others: Sequence[Run]) -> list[Run]:
    """What lies in the first of two lists of runs and not in the second.

    Source: derived.

    Args:
        some: runs, left to right, none touching another.
        others: the same.

    Returns:
        What is left, left to right.

    >>> without([(0, 10), (20, 30)], [(5, 25)])
    [(0, 5), (25, 30)]
    """
    left = list(some)
    for cut_start, cut_end in others:
        pieces = []
        for start, end in left:
            if cut_end <= start or end <= cut_start:
                pieces.append((start, end))
                continue
            if start < cut_start:
                pieces.append((start, cut_start))
            if cut_end < end:
                pieces.append((cut_end, end))
        left = pieces
    return left
