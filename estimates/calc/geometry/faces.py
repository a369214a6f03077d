"""The faces of a slab that a form must hold: vertical ones by kind, and those that look down.

A vertical face belongs to the part whose concrete lies just behind it. Edges are those on the slab's outline
and round its openings; a face between two levels of the slab itself is a step.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import PER_MM, Numbers, Region
from estimates.calc.geometry.solid import ORDER, Kind, Layer, Prism, Solid

_STEP_UM: Final = 50.0
_TOUCH_UM: Final = 3.0
_MOST_PAIRS: Final = 2_000_000


class FaceKind(StrEnum):
    """What a vertical face is."""

    EDGE = "edge"
    STEP = "step"
    SIDE = "sunken_side"
    BEAM = "beam_side"
    UPSTAND = "upstand_side"
    JOINT = "joint"


_OF_MEMBER: Final = {Kind.SIDE: FaceKind.SIDE, Kind.BEAM: FaceKind.BEAM, Kind.UPSTAND: FaceKind.UPSTAND}


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """Vertical faces of one kind between two levels; `name` is the panel's for an edge, else empty."""

    kind: FaceKind
    name: str
    length_mm: float
    top_mm: float
    bottom_mm: float

    @property
    def height_mm(self) -> float:
        """Its height [mm]."""
        return self.top_mm - self.bottom_mm

    @property
    def area_mm2(self) -> float:
        """Its area [mm²]."""
        return self.length_mm * self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Soffit:
    """Faces of one kind that look down, at whatever level [mm²]; `overhang` tells those of a cantilever."""

    kind: Kind
    overhang: bool
    area_mm2: float


def vertical(solid: Solid, *, whole: Solid | None = None) -> tuple[Face, ...]:
    """The vertical faces of a slab, or of one pour of it.

    Source: derived: the outlines of every layer, told apart by what lies on their two sides.

    Args:
        solid: the slab, or a part of it.
        whole: for a part, the slab it is a part of: faces inside that are joints.

    Returns:
        Faces from the top down; layers with the same faces are one.
    """
    found: list[Face] = []
    for layer in solid.layers:
        behind = layer if whole is None else whole.layer_at(level=(layer.top + layer.bottom) // 2)
        lengths = _lengths(layer, solid=solid, whole=behind.region if behind else layer.region)
        for (kind, name), length in sorted(lengths.items()):
            found = _joined(
                found,
                Face(kind=kind, name=name, length_mm=length, top_mm=layer.top_mm, bottom_mm=layer.bottom_mm),
            )
    return tuple(found)


def soffits(solid: Solid, *, overhangs: Region | None = None) -> tuple[Soffit, ...]:
    """The faces that look down, by the part that they close from below.

    Source: derived: what each layer has and the one below it has not.

    Args:
        solid: the slab, or a part of it.
        overhangs: where it cantilevers.

    Returns:
        One entry for each kind that has such faces.
    """
    areas: dict[tuple[Kind, bool], int] = defaultdict(int)
    below_of = {layer.top: layer for layer in solid.layers}
    for layer in solid.layers:
        below = below_of.get(layer.bottom)
        bare = rings.difference(layer.region, below.region) if below else layer.region
        for kind, doubled in _by_owner(bare, layer=layer).items():
            areas[kind, False] += doubled
        if overhangs:
            for kind, doubled in _by_owner(rings.intersection(bare, overhangs), layer=layer).items():
                areas[kind, True] += doubled
                areas[kind, False] -= doubled
    return tuple(
        Soffit(kind=kind, overhang=overhang, area_mm2=doubled / 2 / PER_MM**2)
        for (kind, overhang), doubled in sorted(areas.items())
        if doubled
    )


def _by_owner(bare: Region, *, layer: Layer) -> dict[Kind, int]:
    """Splits a downward face among the kinds whose prisms end there; each place counts to the first kind."""
    if not bare:
        return {}
    ending = [prism for prism in layer.prisms if prism.bottom == layer.bottom]
    # A speck where a rounded corner pokes out below nothing that ends counts to what passes there.
    kinds = [kind for kind in ORDER if any(prism.kind == kind for prism in ending or layer.prisms[:1])]
    if len(kinds) == 1:
        return {kinds[0]: rings.doubled_area(bare)}
    found: dict[Kind, int] = {}
    owned: Region = []
    before = 0
    for kind in kinds[:-1]:
        owned += [corners for prism in ending if prism.kind == kind for corners in prism.region]
        area = rings.doubled_area(rings.intersection(bare, rings.union(owned)))
        found[kind], before = area - before, area
    found[kinds[-1]] = rings.doubled_area(bare) - before
    return found


def _joined(found: list[Face], face: Face) -> list[Face]:
    """Adds a face; one that carries on the same face above it makes it longer downward."""
    for index, above in enumerate(found):
        same = (above.kind, above.name, above.bottom_mm) == (face.kind, face.name, face.top_mm)
        if same and abs(above.length_mm - face.length_mm) < 2 * _TOUCH_UM / PER_MM:
            grown = Face(
                kind=above.kind,
                name=above.name,
                length_mm=above.length_mm,
                top_mm=above.top_mm,
                bottom_mm=face.bottom_mm,
            )
            return [*found[:index], grown, *found[index + 1 :]]
    return [*found, face]


def _lengths(layer: Layer, *, solid: Solid, whole: Region) -> dict[tuple[FaceKind, str], float]:
    kinds = {kind for kind, doubled in layer.doubled.items() if doubled}
    alone = whole is layer.region and len(kinds) == 1 and _square(layer.region)
    if alone and kinds != {Kind.SLAB}:
        return {(_OF_MEMBER[kinds.pop()], ""): layer.perimeter_mm}
    if alone and len(solid.pieces) == 1:
        return {(FaceKind.EDGE, solid.pieces[0].name): layer.perimeter_mm}
    return _told_apart(layer, footprint=solid.footprint, whole=whole)


def _square(region: Region) -> bool:
    """Whether all edges lie along the axes, where rounding leaves no seams between parts that touch."""
    rows = rings.edges([region])
    return bool(((rows[:, 0] == rows[:, 2]) | (rows[:, 1] == rows[:, 3])).all())


def _told_apart(layer: Layer, *, footprint: Region, whole: Region) -> dict[tuple[FaceKind, str], float]:
    """Cuts the outlines wherever another edge meets them and asks of each piece what lies on either side."""
    prisms = sorted(layer.prisms, key=lambda prism: ORDER.index(prism.kind))
    sources = rings.edges([*(prism.region for prism in prisms), footprint, whole])
    starts, ends = _pieces(rings.edges([layer.region]), sources=sources)
    lengths = np.hypot(*(ends - starts).T)
    kept = lengths > 0
    starts, ends, lengths = starts[kept], ends[kept], lengths[kept]
    middles, along = (starts + ends) / 2, (ends - starts) / lengths[:, None]
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1) * _STEP_UM
    sense = _senses(layer.region, left=middles + inward, right=middles - inward)
    facing = sense != 0
    inward = inward[facing] * sense[facing, None]
    inner, outer = middles[facing] + inward, middles[facing] - inward
    buried, in_plan = rings.contains(whole, outer), rings.contains(footprint, outer)
    walls = [corners for prism in prisms if prism.kind == Kind.SIDE for corners in prism.region]
    walled = rings.contains(rings.union(walls), inner)
    found: dict[tuple[FaceKind, str], float] = defaultdict(float)
    for index, (owner, length) in enumerate(
        zip(_owners(prisms, places=inner), (sense * lengths)[facing], strict=True)
    ):
        owned = _Behind(buried=bool(buried[index]), in_plan=bool(in_plan[index]), walled=bool(walled[index]))
        found[_key(prisms[owner], behind=owned)] += float(length) / PER_MM
    return {key: length for key, length in found.items() if length > _TOUCH_UM / PER_MM}


def _senses(region: Region, *, left: Numbers, right: Numbers) -> NDArray[np.int64]:
    """How each piece of an outline counts: 1 as a face, 0 with both sides alike, −1 with its sides swapped.

    Parts that touch along a slanting edge leave gaps and spikes thinner than 0.001 mm. Their two edges are no
    faces; where they lie along a true face, the outline runs out, back and out again, and adds to one face.
    """
    return rings.contains(region, left).astype(np.int64) - rings.contains(region, right).astype(np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Behind:
    """What lies about a face: another pour or the slab's plan before it, a panel's wall behind it."""

    buried: bool
    in_plan: bool
    walled: bool


def _key(owner: Prism, *, behind: _Behind) -> tuple[FaceKind, str]:
    if behind.buried:
        return FaceKind.JOINT, ""
    if owner.kind != Kind.SLAB:
        return _OF_MEMBER[owner.kind], ""
    if not behind.in_plan:
        return FaceKind.EDGE, owner.name
    return (FaceKind.SIDE if behind.walled else FaceKind.STEP), ""


def _owners(prisms: Sequence[Prism], *, places: Numbers) -> list[int]:
    """The first prism that holds each place; one that a rounded corner leaves to none goes to the last."""
    owner = np.full(len(places), len(prisms) - 1)
    for index in range(len(prisms) - 1, -1, -1):
        owner[rings.contains(prisms[index].region, places)] = index
    return [int(index) for index in owner]


def _pieces(outline: Numbers, *, sources: Numbers) -> tuple[Numbers, Numbers]:
    """Cuts each edge where another crosses it or ends on it."""
    starts, ends = [], []
    for edges in _batches(outline, most=max(1, _MOST_PAIRS // max(1, len(sources)))):
        run = edges[:, None, 2:] - edges[:, None, :2]
        share = _shares(edges, run=run, sources=sources)
        for row, cuts in enumerate(share):
            inner = np.unique(cuts[(cuts > 0) & (cuts < 1)])
            stations = np.concatenate([[0.0], inner, [1.0]])
            places = edges[row, :2] + stations[:, None] * (edges[row, 2:] - edges[row, :2])
            starts.append(places[:-1])
            ends.append(places[1:])
    return np.concatenate(starts), np.concatenate(ends)


def _batches(rows: Numbers, *, most: int) -> Iterator[Numbers]:
    for first in range(0, len(rows), most):
        yield rows[first : first + most]


def _shares(edges: Numbers, *, run: Numbers, sources: Numbers) -> Numbers:
    """Where along each edge the sources cross it or end on it, as shares of its length; nan where nowhere."""
    there = sources[None, :, 2:] - sources[None, :, :2]
    apart = sources[None, :, :2] - edges[:, None, :2]
    cross = run[..., 0] * there[..., 1] - run[..., 1] * there[..., 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (apart[..., 0] * there[..., 1] - apart[..., 1] * there[..., 0]) / cross
        other = (apart[..., 0] * run[..., 1] - apart[..., 1] * run[..., 0]) / cross
    share[~((other >= 0) & (other <= 1))] = np.nan
    square = (run**2).sum(axis=-1)
    along = (apart * run).sum(axis=-1) / square
    off = np.abs(apart[..., 0] * run[..., 1] - apart[..., 1] * run[..., 0]) / np.sqrt(square)
    along[off > _TOUCH_UM] = np.nan
    return np.concatenate([share, along], axis=1)
