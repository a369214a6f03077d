"""A slab and all that is cast with it, as a stack of horizontal layers: exact areas, volumes and outlines.

Every part is a prism: a region in plan between two levels. The levels of all prisms cut the slab into layers;
a layer's region is the union of the prisms that pass through it, so that crossings and overlaps count once
by construction. All clipping is in whole micrometres; levels are upward from the slab's top.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Final, Protocol

from estimates.calc.geometry import rings
from estimates.calc.geometry.rings import PER_MM, PlanPoint, Region


class Kind(StrEnum):
    """What a prism is; where kinds overlap, the concrete counts to the first of this order."""

    SLAB = "slab"
    SIDE = "side"
    BEAM = "beam"
    UPSTAND = "upstand"


ORDER: Final = tuple(Kind)


class PanelShape(Protocol):
    """What the geometry needs to know of a panel."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def outline(self) -> Sequence[PlanPoint]:
        """Corners [mm]."""

    @property
    def thickness_mm(self) -> float:
        """Thickness [mm]."""

    @property
    def top_level_mm(self) -> float:
        """Level of its top [mm]."""

    @property
    def sides_mm(self) -> float | None:
        """Thickness of the walls outside its line [mm]."""


class BeamShape(Protocol):
    """What the geometry needs to know of a beam."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def width_mm(self) -> float:
        """Width [mm]."""

    @property
    def depth_mm(self) -> float:
        """Overall depth from its top [mm]."""

    @property
    def line(self) -> Sequence[PlanPoint]:
        """Centre line [mm]."""

    @property
    def top_level_mm(self) -> float:
        """Level of its top [mm]."""


class UpstandShape(Protocol):
    """What the geometry needs to know of an upstand."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def line(self) -> Sequence[PlanPoint]:
        """Centre line [mm]."""

    @property
    def closed(self) -> bool:
        """Whether the line returns to its first corner."""

    @property
    def width_mm(self) -> float:
        """Width [mm]."""

    @property
    def height_mm(self) -> float:
        """Height above its foot [mm]."""

    @property
    def foot_level_mm(self) -> float:
        """Level of its foot [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A slab in plan and section: corners, lines and levels in mm."""

    outlines: Sequence[Sequence[PlanPoint]]
    thickness_mm: float
    openings: Sequence[Sequence[PlanPoint]] = ()
    panels: Sequence[PanelShape] = ()
    beams: Sequence[BeamShape] = ()
    upstands: Sequence[UpstandShape] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Prism:
    """A region in plan between two levels [µm]; the slab's own name is empty, a panel's is its name."""

    kind: Kind
    name: str
    region: Region
    bottom: int
    top: int

    def spans(self, *, bottom: int, top: int) -> bool:
        """Whether it passes through a slice."""
        return self.bottom <= bottom and top <= self.top

    @property
    def area_mm2(self) -> float:
        """Its area in plan [mm²]."""
        return rings.area_mm2(self.region)

    @property
    def thickness_mm(self) -> float:
        """Its height [mm]."""
        return (self.top - self.bottom) / PER_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A slice of even footprint: its region, its prisms, and twice the area that each kind adds [µm²]."""

    top: int
    bottom: int
    region: Region
    prisms: tuple[Prism, ...]
    doubled: dict[Kind, int]

    @property
    def height_mm(self) -> float:
        """Height of the slice [mm]."""
        return (self.top - self.bottom) / PER_MM

    @property
    def top_mm(self) -> float:
        """Level of its top [mm]."""
        return self.top / PER_MM

    @property
    def bottom_mm(self) -> float:
        """Level of its bottom [mm]."""
        return self.bottom / PER_MM

    @property
    def area_mm2(self) -> float:
        """Area of concrete in it [mm²]."""
        return sum(self.doubled.values()) / 2 / PER_MM**2

    @property
    def perimeter_mm(self) -> float:
        """Length of its outlines, those of holes included [mm]."""
        return rings.perimeter_mm(self.region)

    def area_of(self, kind: Kind) -> float:
        """Area that a kind adds to those before it [mm²]."""
        return self.doubled.get(kind, 0) / 2 / PER_MM**2


@dataclass(frozen=True, kw_only=True)
class Solid:
    """The prisms of a slab and the layers that they make, from the top down."""

    footprint: Region
    prisms: tuple[Prism, ...]
    layers: tuple[Layer, ...] = field(repr=False)

    @cached_property
    def volume_mm3(self) -> float:
        """Volume of concrete, exact before this one rounding [mm³]."""
        return _volume((sum(layer.doubled.values()), layer) for layer in self.layers)

    @cached_property
    def area_mm2(self) -> float:
        """Area of the slab in plan, openings off [mm²]."""
        return rings.area_mm2(self.footprint)

    @property
    def pieces(self) -> tuple[Prism, ...]:
        """The slab and its panels."""
        return tuple(prism for prism in self.prisms if prism.kind == Kind.SLAB)

    def volume_of(self, kind: Kind) -> float:
        """Volume that a kind adds to those before it in `ORDER` [mm³]."""
        return _volume((layer.doubled.get(kind, 0), layer) for layer in self.layers)

    def layer_at(self, *, level: int) -> Layer | None:
        """The layer that holds a level strictly inside [µm], or None."""
        return next((layer for layer in self.layers if layer.bottom < level < layer.top), None)


def build(plan: Plan) -> Solid:
    """Cuts a slab with all that is cast with it into horizontal layers.

    Source: derived: a prism's volume is footprint × height, its sides are perimeter × height.

    Args:
        plan: the slab in plan and section [mm]; what lies outside the outlines is not cast, openings cut all.

    Returns:
        The solid.

    Raises:
        ValueError: a ring with fewer than three corners or no area, a line of no length, a place beyond 1 km.

    >>> house = build(Plan(outlines=[[(0, 0), (3000, 0), (3000, 2000), (0, 2000)]], thickness_mm=100))
    >>> house.volume_mm3 / 1e9
    0.6
    """
    edge = rings.union([rings.ring(outline) for outline in plan.outlines])
    holes = [rings.ring(opening) for opening in plan.openings]
    footprint = rings.difference(edge, holes)
    prisms = [
        *_slab_prisms(plan, footprint=footprint),
        *_side_prisms(plan, footprint=footprint),
        *_member_prisms(plan, footprint=footprint),
    ]
    return stack([prism for prism in prisms if prism.region], footprint=footprint)


def stack(prisms: Sequence[Prism], *, footprint: Region, levels: Iterable[int] = ()) -> Solid:
    """Stacks prisms into layers.

    Source: derived: every level at which a prism begins or ends parts two layers.

    Args:
        prisms: the parts.
        footprint: the slab in plan, openings off.
        levels: further levels that part layers [µm].

    Returns:
        The solid; a layer without concrete is left out.
    """
    ends = {level for prism in prisms for level in (prism.bottom, prism.top)}
    layers = []
    for top, bottom in pairwise(sorted({*ends, *levels}, reverse=True)):
        through = tuple(prism for prism in prisms if prism.spans(bottom=bottom, top=top))
        if through:
            layers.append(_layer(through, prisms=prisms, top=top, bottom=bottom, footprint=footprint))
    filled = tuple(layer for layer in layers if layer.region)
    return Solid(footprint=footprint, prisms=tuple(prisms), layers=filled)


def clipped(whole: Solid, *, to: Region) -> Solid:
    """The part of a solid that stands in a region of the plan.

    Source: derived: every prism clipped to the region.

    Args:
        whole: the solid.
        to: the region.

    Returns:
        The part.
    """
    parts = [
        Prism(
            kind=prism.kind,
            name=prism.name,
            region=rings.intersection(prism.region, to),
            bottom=prism.bottom,
            top=prism.top,
        )
        for prism in whole.prisms
    ]
    footprint = rings.intersection(whole.footprint, to)
    levels = {level for layer in whole.layers for level in (layer.top, layer.bottom)}
    return stack([part for part in parts if part.region], footprint=footprint, levels=levels)


def _slab_prisms(plan: Plan, *, footprint: Region) -> list[Prism]:
    panels = [rings.ring(panel.outline) for panel in plan.panels]
    base = Prism(
        kind=Kind.SLAB,
        name="",
        region=rings.difference(footprint, panels),
        bottom=-rings.on_grid(plan.thickness_mm),
        top=0,
    )
    return [
        base,
        *(
            Prism(
                kind=Kind.SLAB,
                name=panel.name,
                region=rings.intersection([corners], footprint),
                bottom=rings.on_grid(panel.top_level_mm - panel.thickness_mm),
                top=rings.on_grid(panel.top_level_mm),
            )
            for panel, corners in zip(plan.panels, panels, strict=True)
        ),
    ]


def _side_prisms(plan: Plan, *, footprint: Region) -> list[Prism]:
    """Walls round a sunken or raised panel, from the lower underside to the higher top."""
    found = []
    for panel in plan.panels:
        if panel.sides_mm is not None:
            inside = [rings.ring(panel.outline)]
            wall = rings.difference(rings.grown(inside, by_mm=panel.sides_mm), inside)
            found.append(
                Prism(
                    kind=Kind.SIDE,
                    name=panel.name,
                    region=rings.intersection(wall, footprint),
                    bottom=rings.on_grid(min(panel.top_level_mm - panel.thickness_mm, -plan.thickness_mm)),
                    top=rings.on_grid(max(panel.top_level_mm, 0.0)),
                )
            )
    return found


def _member_prisms(plan: Plan, *, footprint: Region) -> list[Prism]:
    beams = [
        Prism(
            kind=Kind.BEAM,
            name=beam.name,
            region=rings.intersection(rings.strip(beam.line, width_mm=beam.width_mm), footprint),
            bottom=rings.on_grid(beam.top_level_mm - beam.depth_mm),
            top=rings.on_grid(beam.top_level_mm),
        )
        for beam in plan.beams
    ]
    upstands = [
        Prism(
            kind=Kind.UPSTAND,
            name=upstand.name,
            region=rings.intersection(
                rings.strip(upstand.line, width_mm=upstand.width_mm, closed=upstand.closed), footprint
            ),
            bottom=rings.on_grid(upstand.foot_level_mm),
            top=rings.on_grid(upstand.foot_level_mm + upstand.height_mm),
        )
        for upstand in plan.upstands
    ]
    return [*beams, *upstands]


def _layer(
    through: tuple[Prism, ...], *, prisms: Sequence[Prism], top: int, bottom: int, footprint: Region
) -> Layer:
    region: Region = []
    doubled: dict[Kind, int] = {}
    before = 0
    for kind in ORDER:
        own = [prism for prism in through if prism.kind == kind]
        if own and region is not footprint:  # where all of the plan is slab, nothing else can add to it
            added = _slab_region(own, prisms=prisms, footprint=footprint) if kind == Kind.SLAB else []
            added = added or [corners for prism in own for corners in prism.region]
            region = added if kind == Kind.SLAB and added is footprint else rings.union(region, added)
            area = rings.doubled_area(region)
            doubled[kind] = area - before
            before = area
    return Layer(top=top, bottom=bottom, region=region, prisms=through, doubled=doubled)


def _slab_region(own: Sequence[Prism], *, prisms: Sequence[Prism], footprint: Region) -> Region:
    """Where the slab itself passes, only what does not pass is cut out, so that no seam is left between."""
    if not any(prism.name == "" for prism in own):
        return []
    passing = {id(prism) for prism in own}
    missing = [
        corners
        for prism in prisms
        if prism.kind == Kind.SLAB and id(prism) not in passing
        for corners in prism.region
    ]
    return rings.difference(footprint, missing) if missing else footprint


def _volume(slices: Iterable[tuple[int, Layer]]) -> float:
    total = sum(doubled * (layer.top - layer.bottom) for doubled, layer in slices)
    return float(Fraction(total, 2 * PER_MM**3))
