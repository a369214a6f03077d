"""The concrete: nominal mixes by parts, designed mixes, admixtures.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from collections.abc import Mapping
from typing import Annotated, Literal, NamedTuple

from pydantic import BeforeValidator, Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Admixture:
    """An admixture dosed by volume per bag of cement."""

    material: types.AdmixtureMaterial
    """What it is: "waterproofer" (integral compound) or "plasticiser"."""
    dose_ml_per_bag: Annotated[float, Field(strict=True, gt=0, le=5_000)]
    """Dose per bag of cement [ml]."""
    bag_kg: Annotated[float, Field(strict=True, gt=0, le=100)] = 50.0
    """Mass of the bag that the dose is stated for [kg]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
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


@dataclass(frozen=True, kw_only=True, config=STRICT)
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


@dataclass(frozen=True, kw_only=True, config=STRICT)
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
