"""A drawing as facts: rings, lines and words by layer, in the drawing's own unit."""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.intake import limits
from estimates.calc.intake.found import Fact

Place = tuple[float, float]
Corner = tuple[float, float, float]
"""A corner with the bulge of the edge that leaves it: the tangent of a quarter of its arc, else 0."""

CHORD_ERROR_MM: Final = 1.0
"""Furthest that a straight edge lies from the arc in whose place it stands [mm]; stated wherever it acts."""

_SAME: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """An outline; an open one has its ends `gap` apart, in the drawing's unit."""

    id: str
    layer: str
    corners: tuple[Corner, ...]
    closed: bool
    gap: float = 0.0

    @property
    def curved(self) -> bool:
        """Whether an edge of it is an arc."""
        return any(bulge for _x, _y, bulge in self.corners)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A single line or arc: a beam's centre line, or a piece of an outline that is not drawn as one."""

    id: str
    layer: str
    start: Place
    end: Place
    bulge: float = 0.0

    @property
    def middle(self) -> Place:
        """Half-way along."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2

    @property
    def length(self) -> float:
        """Its length in the drawing's unit."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A text of the drawing and where it begins; `order` is its place in the file."""

    id: str
    layer: str
    text: str
    at: Place
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A layer with what is drawn on it."""

    name: str
    rings: int
    lines: int
    words: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A drawing in plan; `unit` is what the file states, empty when it states none."""

    kind: str
    unit: str
    layers: tuple[Layer, ...]
    rings: tuple[Ring, ...]
    segments: tuple[Segment, ...]
    words: tuple[Words, ...]
    titles: tuple[Fact, ...]
    notes: tuple[Fact, ...]
    not_read: tuple[Fact, ...]
    order: Mapping[str, int]
    thickness_mm: float | None = None

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Least and greatest x and y of all rings and lines; zeros when nothing is drawn."""
        places = [
            *((x, y) for ring in self.rings for x, y, _bulge in ring.corners),
            *(place for line in self.segments for place in (line.start, line.end)),
        ]
        if not places:
            return 0.0, 0.0, 0.0, 0.0
        xs, ys = [x for x, _y in places], [y for _x, y in places]
        return min(xs), min(ys), max(xs), max(ys)


def rings_on(plan: Plan, *, layers: Collection[str]) -> list[Ring]:
    """Gives the outlines on some layers: those drawn as one, and those that single lines and arcs join to.

    Source: derived: lines whose ends meet are one outline.

    Args:
        plan: the drawing.
        layers: names of layers.

    Returns:
        The outlines, in the drawing's unit; a joined one is named by its first line.

    >>> empty = Plan(kind="dxf", unit="mm", layers=(), rings=(), segments=(), words=(), titles=(), notes=(),
    ...              not_read=(), order={})
    >>> rings_on(empty, layers=["S-SLAB-EDGE"])
    []
    """
    found = [ring for ring in plan.rings if ring.layer in layers]
    for layer in layers:
        pieces = [line for line in plan.segments if line.layer == layer][: limits.RING_POINTS]
        ids = {_piece(line): line.id for line in reversed(pieces)}
        for chain, gap in joined([_piece(line) for line in pieces]):
            if len(chain) > 2 or (gap == 0.0 and len(chain) == 2):
                first = next((ids[key] for key in (chain[:2], reversed_piece(chain[:2])) if key in ids), "s0")
                found.append(Ring(id=f"c{first}", layer=layer, corners=chain, closed=gap == 0.0, gap=gap))
    return found


def _piece(line: Segment) -> tuple[Corner, ...]:
    return (*line.start, line.bulge), (*line.end, 0.0)


def circle_of(ring: Ring) -> tuple[Place, float] | None:
    """Gives the middle and the diameter of an outline that is a whole circle.

    Source: derived: two half-circles, each of bulge 1, on one diameter.

    Args:
        ring: a closed outline.

    Returns:
        Middle and diameter in the drawing's unit; None for any other outline.

    >>> circle_of(Ring(id="r1", layer="O", corners=((0, 0, 1.0), (4, 0, 1.0)), closed=True))
    ((2.0, 0.0), 4.0)
    """
    if len(ring.corners) != 2 or any(abs(abs(bulge) - 1) > _SAME for _x, _y, bulge in ring.corners):
        return None
    (x, y, _first), (end_x, end_y, _second) = ring.corners
    return ((x + end_x) / 2, (y + end_y) / 2), math.dist((x, y), (end_x, end_y))


def straightened(corners: Sequence[Corner], *, mm: float) -> list[Place]:
    """Gives an outline's corners in mm, arcs as chords.

    Source: derived: a chord over the angle a of a circle of radius r lies r (1 - cos(a / 2)) from its arc.

    Args:
        corners: corners with bulges, in the drawing's unit.
        mm: millimetres in that unit.

    Returns:
        Corners [mm], no chord further from its arc than `CHORD_ERROR_MM`.

    >>> [len(straightened([(0, 0, 1.0), (2 * r, 0, 1.0)], mm=1)) for r in (10, 600)]
    [8, 56]
    """
    found: list[Place] = []
    for at, (x, y, bulge) in enumerate(corners):
        next_x, next_y, _ = corners[(at + 1) % len(corners)]
        start, end = (x * mm, y * mm), (next_x * mm, next_y * mm)
        found.append(start)
        if bulge and math.dist(start, end) > _SAME:
            found += _arc(start, end=end, bulge=bulge)
    return found


def _arc(start: Place, *, end: Place, bulge: float) -> list[Place]:
    """The corners between the two ends of an arc."""
    chord = math.dist(start, end)
    angle = 4 * math.atan(bulge)
    radius = chord / (2 * abs(math.sin(angle / 2)))
    widest = 2 * math.acos(max(1 - CHORD_ERROR_MM / radius, 0.0))
    pieces = max(math.ceil(abs(angle) / widest - 1e-9), 2)
    off = chord / 2 / math.tan(angle / 2)
    middle_x, middle_y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    centre_x = middle_x - (end[1] - start[1]) / chord * off
    centre_y = middle_y + (end[0] - start[0]) / chord * off
    first = math.atan2(start[1] - centre_y, start[0] - centre_x)
    return [
        (
            round(centre_x + radius * math.cos(first + angle * step / pieces), 3),
            round(centre_y + radius * math.sin(first + angle * step / pieces), 3),
        )
        for step in range(1, pieces)
    ]


def joined(pieces: Iterable[tuple[Corner, ...]]) -> list[tuple[tuple[Corner, ...], float]]:
    """Joins single lines and arcs whose ends meet into chains.

    Source: derived: ends meet when they are the same place to one millionth of the drawing's unit.

    Args:
        pieces: pairs of corners, the bulge of the edge on the first.

    Returns:
        Chains with the distance of their ends, 0 for a closed one, whose last corner is left out.

    >>> sides = [((0, 0, 0), (4, 0, 0)), ((4, 3, 0), (4, 0, 0)), ((4, 3, 0), (0, 0, 0))]
    >>> [(len(chain), gap) for chain, gap in joined(sides)]
    [(3, 0.0)]
    """
    left = list(pieces)
    chains = []
    while left:
        chain = list(left.pop(0))
        while (found := _next(chain, left=left)) is not None:
            at, piece, before = found
            left.pop(at)
            chain = [*piece[:-1], *chain] if before else [*chain[:-1], *piece]
        gap = math.dist(chain[0][:2], chain[-1][:2])
        if gap <= _SAME and len(chain) > 2:
            chains.append((tuple(chain[:-1]), 0.0))
        else:
            chains.append((tuple(chain), gap))
    return chains


def _next(
    chain: Sequence[Corner], *, left: Sequence[tuple[Corner, ...]]
) -> tuple[int, tuple[Corner, ...], bool] | None:
    """A piece that goes on from the chain's end, or comes before its start, turned as it is needed."""
    first, last = chain[0][:2], chain[-1][:2]
    if len(chain) > 2 and math.dist(first, last) <= _SAME:
        return None
    for at, piece in enumerate(left):
        for turned in (piece, reversed_piece(piece)):
            if math.dist(turned[0][:2], last) <= _SAME:
                return at, turned, False
            if math.dist(turned[-1][:2], first) <= _SAME:
                return at, turned, True
    return None


def reversed_piece(piece: Sequence[Corner]) -> tuple[Corner, ...]:
    """Turns a chain round: an arc that bulged left then bulges right.

    Source: derived.

    Args:
        piece: the chain's corners.

    Returns:
        The same chain from its end.

    >>> reversed_piece([(0, 0, 1.0), (2, 0, 0.0)])
    ((2, 0, -1.0), (0, 0, 0.0))
    """
    bulges = [-bulge for _x, _y, bulge in piece[:-1]]
    places = [(x, y) for x, y, _bulge in reversed(piece)]
    return tuple((x, y, bulge) for (x, y), bulge in zip(places, [*reversed(bulges), 0.0], strict=True))
