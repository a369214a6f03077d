"""The design sheet: the one source of a slab's design. Form, API and file all feed these dataclasses.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from collections.abc import Mapping
from typing import Annotated, Final, Literal, NamedTuple

from pydantic import BeforeValidator, ConfigDict, Field
from pydantic.dataclasses import dataclass

from estimates.calc import sheet_types as types

_UNITS: Final = frozenset({"mm", "kg", "m3", "l", "ml", "deg"})


def _title(name: str, _field: object) -> str:
    """A field's name as a label: "dose_ml_per_bag" reads "Dose per bag"; its description has the unit."""
    words = " ".join(word for word in name.split("_") if word not in _UNITS)
    return words[:1].upper() + words[1:]


_STRICT = ConfigDict(
    extra="forbid", use_attribute_docstrings=True, allow_inf_nan=False, field_title_generator=_title
)


@dataclass(frozen=True, kw_only=True, config=_STRICT)
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


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class Opening:
    """A hole through the slab."""

    name: types.Title
    """What it is for, as "stair"."""
    outline: types.OpeningOutline
    """Corners in order [mm], either way round, the first not repeated at the end."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class Beam:
    """A beam cast with the slab, its top flush with the slab's top."""

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


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class Admixture:
    """An admixture dosed by volume per bag of cement."""

    material: types.AdmixtureMaterial
    """What it is: "waterproofer" (integral compound) or "plasticiser"."""
    dose_ml_per_bag: Annotated[float, Field(strict=True, gt=0, le=5_000)]
    """Dose per bag of cement [ml]."""
    bag_kg: Annotated[float, Field(strict=True, gt=0, le=100)] = 50.0
    """Mass of the bag that the dose is stated for [kg]."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class DesignedAdmixture:
    """An admixture dosed by mass per cubic metre of concrete."""

    material: types.AdmixtureMaterial
    """What it is: "waterproofer" (integral compound) or "plasticiser"."""
    dose_kg_m3: Annotated[float, Field(strict=True, gt=0, le=50)]
    """Mass per cubic metre of concrete [kg/m³]."""
    density_kg_l: Annotated[float, Field(strict=True, ge=0.5, le=3)]
    """Mass of one litre, from the maker's sheet [kg/L]."""


class MixParts(NamedTuple):
    """Parts of a nominal mix by loose volume; [cement, sand, stone] in JSON."""

    cement: types.Part
    sand: types.Part
    stone: types.Part


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class NominalVolumeMix:
    """A nominal mix by loose volume, as 1:1.5:3."""

    kind: Literal["nominal_volume"]
    """Always "nominal_volume"."""
    parts: Annotated[MixParts, BeforeValidator(types.refuse_mapping)]
    """Parts by loose volume: [cement, sand, stone]."""
    water_cement: types.WaterCement
    """Free water to cement, by mass [1]."""
    stone_split: Annotated[Mapping[types.StoneSize, types.Percent], types.SORTED]
    """Share of each nominal stone size [% of the stone], adding up to 100."""
    method: types.MethodName | None = None
    """Named method that turns parts into quantities; left out: the profile's own."""
    mixing: Literal["machine", "hand"] = "machine"
    """How the concrete is mixed on site."""
    admixtures: Annotated[tuple[Admixture, ...], Field(max_length=5)] = ()
    """Admixtures per bag of cement."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class DesignedMix:
    """The engineer's designed mix, per cubic metre, aggregates saturated and surface-dry."""

    kind: Literal["designed"]
    """Always "designed"."""
    cement_kg_m3: Annotated[float, Field(strict=True, ge=50, le=1_000)]
    """Cement [kg/m³ of concrete]."""
    water_kg_m3: Annotated[float, Field(strict=True, ge=50, le=500)]
    """Free water [kg/m³ of concrete]."""
    sand_kg_m3: types.MassPerVolume
    """Sand [kg/m³ of concrete]."""
    stone_kg_m3: Annotated[Mapping[types.StoneSize, types.MassPerVolume], types.SORTED]
    """Stone by nominal size [kg/m³ of concrete]."""
    sand_bulk_kg_m3: types.MassPerVolume
    """Bulk density at which sand is bought [kg/m³ loose]."""
    stone_bulk_kg_m3: Annotated[Mapping[types.StoneSize, types.MassPerVolume], types.SORTED]
    """Bulk density at which each stone size is bought [kg/m³ loose]."""
    admixtures: Annotated[tuple[DesignedAdmixture, ...], Field(max_length=5)] = ()
    """Admixtures per cubic metre."""


Mix = Annotated[NominalVolumeMix | DesignedMix, Field(discriminator="kind")]


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class CountRule:
    """How many bars a spacing gives over a length, when the schedule leaves the count open."""

    length_mm: types.Length
    """Length over which the bars are spread, measured across them [mm]."""
    spacing_mm: types.Length
    """Centre to centre [mm]."""
    method: types.CountMethod | None = None
    """Named counting rule; left out: the sheet's, then the profile's."""
    end_cover_mm: types.Cover | None = None
    """Cover at each end, for rules that take it off; left out: the slab's cover [mm]."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class BarMark:
    """One row of the bar schedule."""

    mark: types.Name
    """Mark on the drawing, as "S1"."""
    member: types.Member
    """Where the bars go, in the schedule's words, as "beam B2"."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    shape: types.Shape
    """straight (A), l (A, B), u (legs A, C, back B), stirrup (A by B), cranked (run B, rise D, legs A, C)."""
    dimensions: Annotated[Mapping[types.Dimension, types.Length], types.SORTED]
    """Dimensions by letter, out to out as schedules print them; a rise between centre lines [mm]."""
    per_member: types.Count | None = None
    """Bars in one member as the schedule prints it; it wins over the counting rule."""
    members: types.Count = 1
    """Number of members, as the schedule prints it."""
    count_rule: CountRule | None = None
    """Counting rule: decides when `per_member` is left out, stands beside it otherwise."""
    cranks: Annotated[Literal[1, 2], BeforeValidator(types.refuse_lookalike)] | None = None
    """Cranks in a cranked bar: one end or both; left out: both."""
    crank_angle_deg: Annotated[Literal[30, 45, 60], BeforeValidator(types.refuse_lookalike)] | None = None
    """Slope of a crank [°]; left out: 45."""
    ends: Literal["up", "down"] | None = None
    """Which way bent ends point."""
    remark: types.Remark = ""
    """The schedule's remark."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class SpacingRule:
    """Straight bars at a spacing over a region of the slab."""

    mark: types.Name
    """Mark that the bars get, as "S1"."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    direction: Literal["x", "y"]
    """Axis that the bars run along."""
    spacing_mm: types.Length
    """Centre to centre [mm]."""
    layer: Literal["bottom", "top"]
    """Face of the slab."""
    region: types.Outline | None = None
    """Corners of the region [mm]; left out: the whole slab."""
    end_cover_mm: types.Cover | None = None
    """Cover at bar ends and beside the outer bars; left out: the slab's cover [mm]."""
    remark: types.Remark = ""
    """What the drawing says beside it."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class SteelMethods:
    """Named methods of the bar schedule; one left out is the profile's own."""

    count: types.CountMethod | None = None
    """Bars in a length at a spacing."""
    bend: types.BendMethod | None = None
    """What a 90° bend takes off the sum of out-to-out dimensions."""
    stirrup: types.StirrupMethod | None = None
    """Whether a stirrup's dimensions are read as outside or inside ones."""
    crank: types.CrankMethod | None = None
    """What a crank adds to the run."""
    length_rounding: types.LengthRounding | None = None
    """How a cutting length is rounded."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class Curing:
    """How the slab is kept wet."""

    cement: Literal["opc", "blended", "unknown"]
    """Kind of cement; an unknown one counts as blended."""
    method: Literal["ponding", "wet_cover"]
    """Ponded water, or wet hessian or cloth."""
    hot_dry: bool = Field(default=False, strict=True)
    """Whether hot dry weather is expected."""
    days: Annotated[int, Field(strict=True, ge=1, le=60)] | None = None
    """Days stated by the engineer; left out: the profile's [day]."""


@dataclass(frozen=True, kw_only=True, config=_STRICT)
class DesignSheet:
    """The design of one slab with the beams cast together with it, as one drawing revision shows it."""

    schema: Literal["pourtally-design/1"]
    """Format and version of this sheet."""
    drawing: DrawingRef
    """The drawing."""
    slab: types.Title
    """Name of the slab."""
    profile: Literal["is"]
    """Standards profile that the quantities follow."""
    outline: types.Outline
    """Corners of the concrete's edge in order [mm], either way round, the first not repeated at the end."""
    thickness_mm: types.Section
    """Thickness of the slab [mm]."""
    cover_mm: types.Cover
    """Cover of the slab's bars [mm]."""
    grade: Annotated[str, Field(strict=True, pattern=r"^M[1-9][0-9]{0,2}$")]
    """Concrete grade, as "M20"."""
    steel_grade: Annotated[str, Field(strict=True, pattern=r"^Fe[1-9][0-9]{2}[DS]?$")]
    """Steel grade, as "Fe500"."""
    exposure: types.Exposure
    """Exposure of the concrete."""
    mix: Mix
    """Nominal or designed mix."""
    curing: Curing
    """Curing."""
    openings: Annotated[tuple[Opening, ...], Field(max_length=types.MAX_OPENINGS)] = ()
    """Openings through the slab."""
    beams: Annotated[tuple[Beam, ...], Field(max_length=types.MAX_BEAMS)] = ()
    """Beams cast with the slab."""
    beam_cover_mm: types.Cover | None = None
    """Cover of the beams' bars; needed when there are beams [mm]."""
    bars: Annotated[tuple[BarMark, ...], Field(max_length=types.MAX_BARS)] = ()
    """Bar schedule."""
    spacing_rules: Annotated[tuple[SpacingRule, ...], Field(max_length=types.MAX_SPACING_RULES)] = ()
    """Bars given by spacing over a region."""
    steel_methods: SteelMethods = Field(default_factory=SteelMethods)
    """Named methods of the bar schedule."""
    allowances: Annotated[Mapping[types.MaterialKind, types.AllowancePercent], types.SORTED] = Field(
        default_factory=dict
    )
    """Expected loss by kind of material, in place of the profile's [%]."""
    falls: types.Remark = ""
    """Falls to drains; made in the formwork, so that the thickness stays uniform."""
    remark: types.Remark = ""
    """Anything else that the drawing says."""
