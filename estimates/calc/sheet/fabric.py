"""Welded fabric of the slab: sheets of wires at a spacing. Lengths are in millimetres."""

from typing import Literal

from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Fabric:
    """One layer of welded fabric over the slab or a region of it."""

    mark: types.Name
    """Mark of the layer, as "F1"."""
    fabric: types.Name
    """Designation in the profile's table, as "A252"."""
    along: Literal["x", "y"]
    """Axis that the long side of the sheets runs along."""
    layer: Literal["bottom", "top"]
    """Face of the slab."""
    region: types.Outline | None = None
    """Corners of the region [mm]; left out: the whole slab."""
    sheets: types.Count | None = None
    """Number of sheets as the schedule prints it; it wins over the count by laps."""
    lap_mm: types.Length | None = None
    """Lap at sides and ends as the drawing gives it [mm]; left out: by the rule."""
    lap: types.FabricLap | None = None
    """Named rule of the laps; left out: the profile's."""
    count: types.FabricCount | None = None
    """How sheets are counted, in rows or by area; left out: the profile's way."""
    remark: types.Remark = ""
    """What the drawing says beside it."""
