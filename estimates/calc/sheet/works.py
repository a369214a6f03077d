"""The works beside concrete and steel: curing.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
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
