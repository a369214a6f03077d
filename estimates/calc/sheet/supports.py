"""What holds the bars in their place: chairs under the top bars, cover blocks below and beside.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

MAX_CHAIRS = 20

PerArea = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=25)]
"""How many to the square metre [1/m²]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Chairs:
    """Bent bars that stand on the bottom bars and carry the top ones."""

    mark: types.Name
    """Mark that they get, as "CH1"."""
    size_mm: types.BarSize
    """Nominal diameter [mm]."""
    per_m2: PerArea | None = None
    """How many to the square metre; left out, with `number` too: the profile's practice [1/m²]."""
    number: types.Count | None = None
    """How many there are, as the drawing prints it."""
    region: types.Outline | None = None
    """Corners of the region that they stand in [mm]; left out: the whole slab."""
    height_mm: types.Section | None = None
    """Height over all; left out: what thickness, cover and the layers at a spacing leave [mm]."""
    head_mm: types.Length | None = None
    """Length of the head; left out: by the spacing of the top bars [mm]."""
    foot_mm: types.Length | None = None
    """Length of each foot; left out: by the spacing of the bottom bars [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class CoverBlocks:
    """Cover blocks under the slab's bottom bars, and below and beside the beams' cages."""

    by: Literal["practice", "stated"]
    """Whether their number follows the profile's practice or what is stated here."""
    per_m2: PerArea | None = None
    """How many to the square metre of slab, when stated [1/m²]."""
    beam_spacing_mm: types.Length | None = None
    """Distance of the sets along a beam; left out: the profile's [mm]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Supports:
    """Chairs and cover blocks; what is left out is not taken off."""

    chairs: Annotated[tuple[Chairs, ...], Field(max_length=MAX_CHAIRS)] = ()
    """Chairs."""
    cover_blocks: CoverBlocks | None = None
    """Cover blocks."""
