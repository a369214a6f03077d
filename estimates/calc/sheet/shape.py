"""The slab and its beams in plan and section: what the concrete is shaped like.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Opening:
    """A hole through the slab."""

    name: types.Title
    """What it is for, as "stair"."""
    outline: types.OpeningOutline
    """Corners in order [mm], either way round, the first not repeated at the end."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
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
