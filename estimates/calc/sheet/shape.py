"""The slab in plan and section: what the concrete is shaped like.

Lengths are in millimetres throughout; levels are measured upward from the top of the slab, which is 0.
Unknown fields are refused everywhere.
"""

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Circle:
    """A round shape, worked out as a regular polygon of the same area."""

    centre: types.PlanPoint
    """Its middle [mm]."""
    diameter_mm: types.Length
    """Diameter as the drawing gives it [mm]."""
    sides: types.CircleSides = 64
    """Sides of the polygon that stands for it."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Opening:
    """A hole through the slab, given by its corners or as a circle."""

    name: types.Title
    """What it is for, as "stair"."""
    outline: types.OpeningOutline | None = None
    """Corners in order [mm], either way round, the first not repeated at the end; left out for a circle."""
    circle: Circle | None = None
    """The circle, in place of corners."""

    @property
    def corners(self) -> tuple[types.Point, ...]:
        """The corners, those of the polygon that stands for a circle included [mm]."""
        if self.circle is not None:
            return types.round_corners(
                self.circle.centre, diameter_mm=self.circle.diameter_mm, sides=self.circle.sides
            )
        return self.outline or ()


@dataclass(frozen=True, kw_only=True, config=STRICT)
class FurtherOutline:
    """Another piece of the slab beside the first outline, of the same thickness and level."""

    name: types.Member
    """Name of the piece."""
    outline: types.Outline
    """Corners in order [mm], either way round, the first not repeated at the end."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Panel:
    """A part of the slab with a thickness or a level of its own: thickened, sunken or raised."""

    name: types.Member
    """Name on the drawing, as "wet room"."""
    outline: types.Outline
    """Corners in order [mm]; where sides are given, the clear inside between them."""
    thickness_mm: types.Section
    """Thickness of the panel [mm]."""
    top_level_mm: types.Level = 0
    """Level of its top: below 0 sunken, above 0 raised [mm]."""
    sides_mm: types.Section | None = None
    """Thickness of the walls that join the panel to the slab; they stand outside its line [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Beam:
    """A beam cast with the slab, on a straight or bent centre line."""

    name: types.Name
    """Name on the drawing, as "B1"."""
    width_mm: types.Section
    """Width [mm]."""
    depth_mm: types.Section
    """Overall depth, the slab's thickness included [mm]."""
    start: types.PlanPoint
    """One end of the centre line [mm]."""
    end: types.PlanPoint
    """The other end of the centre line [mm]."""
    via: types.BendPoints = ()
    """Bends of the centre line between start and end, in order [mm]."""
    top_level_mm: types.Level = 0
    """Level of its top: 0 flush with the slab's top, above 0 an upstand beam [mm]."""

    @property
    def line(self) -> tuple[types.Point, ...]:
        """The whole centre line [mm]."""
        return (self.start, *self.via, self.end)


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Upstand:
    """A kerb or parapet foot cast with the slab."""

    name: types.Member
    """Name on the drawing."""
    line: types.PlanLine
    """Centre line in plan, corner by corner [mm]."""
    closed: bool = Field(default=False, strict=True)
    """Whether the line returns to its first corner."""
    width_mm: types.Section
    """Width [mm]."""
    height_mm: types.Section
    """Height above its foot [mm]."""
    foot_level_mm: types.Level = 0
    """Level of the concrete that it stands on [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Overhang:
    """A part of the slab that cantilevers; it changes no volume, its soffit is measured by itself."""

    name: types.Member
    """Name on the drawing."""
    outline: types.Outline
    """Corners in order [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Sunshade:
    """A plate that stands out from a beam's face or the slab's edge, of even or tapering thickness."""

    name: types.Member
    """Name on the drawing."""
    start: types.PlanPoint
    """One end of its root, on the face of the concrete [mm]."""
    end: types.PlanPoint
    """The other end; the plate lies to the right of the way from start to end [mm]."""
    projection_mm: types.Section
    """How far it stands out [mm]."""
    thickness_mm: types.Section
    """Thickness at the root [mm]."""
    tip_thickness_mm: types.Section | None = None
    """Thickness at the tip; left out: as at the root [mm]."""
    top_level_mm: types.Level = 0
    """Level of its top, which is flat [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Landing:
    """A landing cast with a flight, outside of the slab's outline or in its stair opening."""

    length_mm: types.Length
    """Length in plan [mm]."""
    width_mm: types.Length
    """Width in plan [mm]."""
    thickness_mm: types.Section
    """Thickness [mm]."""
    formed_edge_mm: types.FreeLength = 0
    """Length of its edges that need a form [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Flight:
    """A straight flight of a stair on a waist slab."""

    name: types.Member
    """Name on the drawing."""
    width_mm: types.Length
    """Width of the flight [mm]."""
    waist_mm: types.Section
    """Thickness of the waist, square to the slope [mm]."""
    going_mm: types.Section
    """Going of a step [mm]."""
    riser_mm: types.Section
    """Rise of a step [mm]."""
    steps: types.Count
    """Steps of the flight, each a going with its riser; the last riser against a landing is the landing's."""
    open_sides: types.OpenSides = 2
    """Sides that need a form: 0 between walls, 1, or 2."""
    landings: types.Landings[Landing] = ()
    """Landings cast with it."""
    start: types.PlanPoint | None = None
    """Middle of its foot in plan, for the drawing [mm]."""
    towards: types.PlanPoint | None = None
    """A place in plan that it climbs towards, for the drawing [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Outlet:
    """A drain that the slab falls to; the fall is made in the formwork, the thickness stays uniform."""

    name: types.Member
    """Name on the drawing."""
    at: types.PlanPoint
    """Its place in plan [mm]."""
    fall_one_in: types.FallRatio
    """Run to one of fall, as 100 for 1:100 [1]."""
