"""What is planned for the day of casting, as far as the casting checks look at it.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

Temperature = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-40, le=60)]
"""A temperature of air or fresh concrete [°C]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Placing:
    """How the concrete is placed, and in what weather."""

    beams_apart: bool = Field(default=False, strict=True)
    """Whether the beams are cast before the slab, in a pour of their own."""
    beams_joint: types.Remark = ""
    """What the engineer says on the joint between beams and slab, with name and date."""
    free_fall_mm: types.Length | None = None
    """Height from which the concrete is dropped [mm]."""
    minutes: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=600)] | None = None
    """Time from adding the water until the concrete lies in its place [min]."""
    air_c: Temperature | None = None
    """Air at its hottest, or at its coldest in winter, on the day [°C]."""
    concrete_c: Temperature | None = None
    """Fresh concrete when it is placed [°C]."""
    weather_measures: types.Remark = ""
    """What is done about heat or frost: shade, cooled water, night work, insulation."""
    rain: bool = Field(default=False, strict=True)
    """Whether rain may fall on the day."""
    rain_measures: types.Remark = ""
    """What is done about rain: sheets for the whole slab, a shelter, a stop-end."""
