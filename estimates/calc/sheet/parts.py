"""The design sheet: the one source of a slab's design. Form, API and file all feed these dataclasses.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.answers import MAX_ANSWERS, Answer
from estimates.calc.sheet.durability import Durability
from estimates.calc.sheet.fabric import Fabric
from estimates.calc.sheet.falsework import Falsework
from estimates.calc.sheet.joints import ConstructionJoint, ExistingJoint
from estimates.calc.sheet.mix import (
    Mix,
)
from estimates.calc.sheet.placing import Placing
from estimates.calc.sheet.shape import (
    Beam,
    Flight,
    FurtherOutline,
    Opening,
    Outlet,
    Overhang,
    Panel,
    Sunshade,
    Upstand,
)
from estimates.calc.sheet.steel import BarMark, SpacingRule, SteelMethods
from estimates.calc.sheet.strict import STRICT
from estimates.calc.sheet.supports import Supports
from estimates.calc.sheet.works import (
    MAX_CONSUMABLES,
    Consumable,
    Crew,
    Curing,
    Plant,
    Supply,
    Waterproofing,
)


@dataclass(frozen=True, kw_only=True, config=STRICT)
class DrawingRef:
    """The engineer's drawing that the slab is built to; kept on everything derived from it."""

    number: types.DrawingNumber
    """Number of the drawing, as "RH-S-04"."""
    revision: types.Revision = ""
    """Letter or number of the revision; empty when the drawing shows none."""
    dated: types.Dated | None = None
    """Date of the revision, as 2026-03-12."""
    engineer: types.Person = ""
    """Name of the engineer who answers for it; empty when the drawing shows none."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class DesignSheet:
    """The design of one slab with the beams cast together with it, as one drawing revision shows it."""

    schema: Literal["pourtally-design/1"]
    """Format and version of this sheet."""
    drawing: DrawingRef
    """The drawing."""
    slab: types.Title
    """Name of the slab."""
    profile: types.ProfileId
    """Standards profile that the quantities follow."""
    outline: types.Outline
    """Corners of the concrete's edge in order [mm], either way round, the first not repeated at the end."""
    thickness_mm: types.Section
    """Thickness of the slab [mm]."""
    cover_mm: types.Cover
    """Cover of the slab's bars [mm]."""
    grade: types.Grade
    """Concrete grade, as "M20" (is), "C25/30" (en) or "4000 psi" (aci)."""
    steel_grade: types.SteelGrade
    """Steel grade, as "Fe500" (is), "B500B" (en) or "Grade 60" (aci)."""
    exposure: types.Exposure
    """Exposure of the concrete, in the classes of the profile."""
    mix: Mix
    """Nominal or designed mix."""
    curing: Curing
    """Curing."""
    durability: Durability | None = None
    """What the concrete has to withstand beside its exposure."""
    placing: Placing | None = None
    """What is planned for the day of casting."""
    openings: Annotated[tuple[Opening, ...], Field(max_length=types.MAX_OPENINGS)] = ()
    """Openings through the slab."""
    beams: Annotated[tuple[Beam, ...], Field(max_length=types.MAX_BEAMS)] = ()
    """Beams cast with the slab."""
    further_outlines: types.Several[FurtherOutline] = ()
    """Further pieces of the slab."""
    panels: types.Several[Panel] = ()
    """Parts of the slab with a thickness or a level of their own."""
    upstands: types.Several[Upstand] = ()
    """Kerbs and parapet feet cast with the slab."""
    overhangs: types.Several[Overhang] = ()
    """Parts of the slab that cantilever."""
    sunshades: types.Several[Sunshade] = ()
    """Plates that stand out from a beam or an edge."""
    flights: types.Several[Flight] = ()
    """Flights of stairs cast with the slab."""
    outlets: types.Several[Outlet] = ()
    """Drains that the slab falls to."""
    construction_joints: types.Joints[ConstructionJoint] = ()
    """Joints that divide the slab into pours."""
    existing_joints: types.Several[ExistingJoint] = ()
    """Faces cast against concrete that stands already."""
    falsework: Falsework | None = None
    """Props and planks by the formwork designer's drawing; left out: not known."""
    measurement: types.MethodName | None = None
    """Named rules of measurement for the bill; left out: the profile's own."""
    beam_cover_mm: types.Cover | None = None
    """Cover of the beams' bars; needed when there are beams [mm]."""
    bars: Annotated[tuple[BarMark, ...], Field(max_length=types.MAX_BARS)] = ()
    """Bar schedule."""
    spacing_rules: Annotated[tuple[SpacingRule, ...], Field(max_length=types.MAX_SPACING_RULES)] = ()
    """Bars given by spacing over a region."""
    fabrics: Annotated[tuple[Fabric, ...], Field(max_length=types.MAX_FABRICS)] = ()
    """Layers of welded fabric."""
    steel_methods: SteelMethods = Field(default_factory=SteelMethods)
    """Named methods of the bar schedule."""
    answers: Annotated[tuple[Answer, ...], Field(max_length=MAX_ANSWERS)] = ()
    """The engineer's answers to questions of the bar schedule."""
    supports: Supports | None = None
    """Chairs and cover blocks."""
    allowances: Annotated[Mapping[types.MaterialKind, types.AllowancePercent], types.SORTED] = Field(
        default_factory=dict
    )
    """Expected loss by kind of material, in place of the profile's [%]."""
    falls: types.Remark = ""
    """Falls to drains; made in the formwork, so that the thickness stays uniform."""
    remark: types.Remark = ""
    """Anything else that the drawing says."""
    supply: Supply | None = None
    """Where the concrete comes from; left out: mixed on site."""
    consumables: Annotated[tuple[Consumable, ...], Field(max_length=MAX_CONSUMABLES)] = ()
    """What is used up beside the main materials and is to be bought with them."""
    waterproofing: Waterproofing | None = None
    """Surface waterproofing."""
    plant: Plant | None = None
    """Machines on hire."""
    crew: Crew | None = None
    """People."""

    @property
    def outlines(self) -> tuple[tuple[types.Point, ...], ...]:
        """The outlines of all pieces of the slab, the first one first [mm]."""
        return (self.outline, *(piece.outline for piece in self.further_outlines))
