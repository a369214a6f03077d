"""What the concrete has to withstand, beside its first exposure class.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

MAX_FURTHER = 3

FireMinutes = Annotated[Literal[30, 60, 90, 120, 180, 240], BeforeValidator(types.refuse_lookalike)]
"""Minutes of fire that the slab is to withstand [min]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Durability:
    """Further exposure classes, and what cover, air and thickness depend on."""

    further: Annotated[tuple[types.Exposure, ...], Field(max_length=MAX_FURTHER)] = ()
    """Exposure classes beside the sheet's first one, as XF1 beside XC4, or W1 beside F1."""
    values: Literal["recommended", "british"] | None = None
    """Set of national values of profile en; left out: the recommended ones."""
    structural_class: Literal["S1", "S2", "S3", "S4", "S5", "S6"] | None = None
    """Structural class of profile en; left out: S4, for 50 years."""
    deviation_mm: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=50)] | None = None
    """Deviation of cover that profile en adds to the minimum; left out: the profile's [mm]."""
    surroundings: Literal["sheltered", "weather", "blinding", "earth"] | None = None
    """Sheltered, in weather, cast on blinding or cast against earth."""
    fire_minutes: FireMinutes | None = None
    """Minutes of fire that the slab is to withstand [min]."""
    air_percent: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=15)] | None = None
    """Air in the fresh concrete, as the engineer specifies it [%]."""
