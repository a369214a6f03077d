"""The reinforcement: rows of the bar schedule, bars at a spacing, named methods.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
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


@dataclass(frozen=True, kw_only=True, config=STRICT)
class BarMark:
    """One row of the bar schedule."""

    mark: types.Name
    """Mark on the drawing, as "S1"."""
    member: types.Member
    """Where the bars go, in the schedule's words, as "beam B2"."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    shape: types.Shape
    """A word: straight A, l A, B, u or chair A, B, C, stirrup A, B, cranked B, D, legs A, C; or a code."""
    dimensions: Annotated[Mapping[types.Dimension, types.Length], types.SORTED]
    """Dimensions by letter, out to out as schedules print them; a crank's rise between centre lines [mm]."""
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
    bundle: Annotated[Literal[2, 3, 4], BeforeValidator(types.refuse_lookalike)] | None = None
    """Bars tied in contact to a bundle of so many; the numbers count bars, not bundles."""
    ends: Literal["up", "down"] | None = None
    """Which way bent ends point."""
    remark: types.Remark = ""
    """The schedule's remark."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Cranked:
    """Every second bar of a spacing rule, cranked near its ends: bent up over the supports."""

    mark: types.Name
    """Mark of the cranked bars, as "S1c"; the straight ones keep the rule's."""
    rise_mm: types.Length
    """Height of a crank between centre lines [mm]."""
    cranks: Annotated[Literal[1, 2], BeforeValidator(types.refuse_lookalike)] | None = None
    """Cranked at one end or at both; left out: at both."""
    angle_deg: Annotated[Literal[30, 45, 60], BeforeValidator(types.refuse_lookalike)] | None = None
    """Slope of a crank [°]; left out: 45."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class SpacingRule:
    """Straight bars at a spacing over a region of the slab; every second one may be cranked."""

    mark: types.Name
    """Mark that the bars get, as "S1"."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    direction: Literal["x", "y", "both"]
    """Axis that the bars run along, or both."""
    spacing_mm: types.Length
    """Centre to centre [mm]."""
    layer: Literal["bottom", "top"]
    """Face of the slab."""
    region: types.Outline | None = None
    """Corners of the region [mm]; left out: the whole slab."""
    end_cover_mm: types.Cover | None = None
    """Cover at bar ends and beside the outer bars; left out: the slab's cover [mm]."""
    angle_deg: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-180, le=180)] | None = None
    """How far the bars are turned from that axis, counterclockwise [°]."""
    number: types.Count | None = None
    """Bars across the region as the drawing prints it; it wins over the spacing."""
    first_bar: types.FirstBar | None = None
    """Where the first bar lies: all spread evenly from cover to cover, at the cover, or half a spacing in."""
    shorter_mm: types.Length | None = None
    """How much every second bar is shorter than its neighbours, at each end [mm]."""
    every_second: Cranked | None = None
    """Every second bar, where the drawing bends alternate bars up."""
    use: types.BarUse | None = None
    """Main bars or distribution bars; left out: not said."""
    remark: types.Remark = ""
    """What the drawing says beside it."""

    @property
    def marks(self) -> tuple[str, ...]:
        """Marks of its bars: the rule's own, and that of the cranked ones."""
        return (self.mark,) if self.every_second is None else (self.mark, self.every_second.mark)


@dataclass(frozen=True, kw_only=True, config=STRICT)
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
    """How a cutting length is rounded; left out: as the catalogue of the shape says."""
    hook: types.HookMethod | None = None
    """What a hooked or bent end adds to a straight bar."""
    wire: types.WireMethod | None = None
    """How binding wire is reckoned: by mass of steel, by size of bar, or by area of slab."""
    catalogue: types.ShapeCatalogue | None = None
    """Edition in which the shape codes are read: the same number means another shape in another one."""
