"""The concrete: nominal mixes by volume or by mass, designed mixes, admixtures.

Lengths are in millimetres throughout. Unknown fields are refused everywhere.
"""

from collections.abc import Mapping
from typing import Annotated, Literal, NamedTuple

from pydantic import BeforeValidator, Field
from pydantic.dataclasses import dataclass

from estimates.calc.sheet import types
from estimates.calc.sheet.strict import STRICT

Air = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=12)]
"""Air in the concrete [% of its volume]."""

_Measured = Literal["cement", "sand", "20", "10"]
_Loose = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=100, le=3_500)]
_Solid = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=500, le=8_000)]

BulkDensities = Annotated[Mapping[_Measured, _Loose], Field(min_length=1), types.SORTED]
"""Loose bulk densities by material, stone by its nominal size [kg/m³]."""

ParticleDensities = Annotated[Mapping[_Measured, _Solid], Field(min_length=1), types.SORTED]
"""Densities of the particles by material, stone by its nominal size [kg/m³]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class Admixture:
    """An admixture of a nominal mix; its dose is stated in one of three ways."""

    material: types.AdmixtureMaterial
    """What it is: "waterproofer" (integral compound) or "plasticiser"."""
    dose_ml_per_bag: Annotated[float, Field(strict=True, gt=0, le=5_000)] | None = None
    """Dose per bag of cement [ml]."""
    bag_kg: Annotated[float, Field(strict=True, gt=0, le=100)] = 50.0
    """Mass of the bag that the dose is stated for [kg]."""
    dose_percent: Annotated[float, Field(strict=True, gt=0, le=10)] | None = None
    """Dose by mass of cement [%]."""
    dose_kg_m3: Annotated[float, Field(strict=True, gt=0, le=50)] | None = None
    """Mass per cubic metre of concrete [kg/m³]."""
    density_kg_l: Annotated[float, Field(strict=True, ge=0.5, le=3)] | None = None
    """Mass of one litre, from the maker's sheet; needed with a dose by mass [kg/L]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class DesignedAdmixture:
    """An admixture of a designed mix, dosed by mass."""

    material: types.AdmixtureMaterial
    """What it is: "waterproofer" (integral compound) or "plasticiser"."""
    dose_kg_m3: Annotated[float, Field(strict=True, gt=0, le=50)] | None = None
    """Mass per cubic metre of concrete [kg/m³]."""
    dose_percent: Annotated[float, Field(strict=True, gt=0, le=10)] | None = None
    """Dose by mass of cement, in place of the mass per cubic metre [%]."""
    density_kg_l: Annotated[float, Field(strict=True, ge=0.5, le=3)]
    """Mass of one litre, from the maker's sheet [kg/L]."""


class MixParts(NamedTuple):
    """Parts of a nominal mix; [cement, sand, stone] in JSON."""

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
    """Admixtures."""
    bulk_kg_m3: BulkDensities | None = None
    """Loose bulk densities as measured, in place of the profile's [kg/m³]."""
    particle_kg_m3: ParticleDensities | None = None
    """Densities of the particles as measured, in place of the profile's [kg/m³]."""
    air_percent: Air | None = None
    """Air in the concrete; left out: the profile's entrapped air [%]."""


@dataclass(frozen=True, kw_only=True, config=STRICT)
class NominalMassMix:
    """A nominal mix by mass: a row of the profile's table, or parts by mass."""

    kind: Literal["nominal_mass"]
    """Always "nominal_mass"."""
    row: types.MethodName | None = None
    """Row of the profile's table of mixes by mass, as "m20"; in place of the parts."""
    parts: Annotated[MixParts, BeforeValidator(types.refuse_mapping)] | None = None
    """Parts by mass: [cement, sand, stone]; in place of the row."""
    stone_to_sand: Annotated[float, Field(strict=True, ge=0.5, le=5)] | None = None
    """Stone to sand by mass, where the row gives their sum; left out: the profile's usual one [1]."""
    water_cement: types.WaterCement | None = None
    """Free water to cement, by mass; left out: the row's [1]."""
    stone_split: Annotated[Mapping[types.StoneSize, types.Percent], types.SORTED]
    """Share of each nominal stone size [% of the stone's mass], adding up to 100."""
    mixing: Literal["machine", "hand"] = "machine"
    """How the concrete is mixed on site."""
    admixtures: Annotated[tuple[Admixture, ...], Field(max_length=5)] = ()
    """Admixtures."""
    bulk_kg_m3: BulkDensities | None = None
    """Loose bulk densities as measured, in place of the profile's [kg/m³]."""
    particle_kg_m3: ParticleDensities | None = None
    """Densities of the particles as measured, in place of the profile's [kg/m³]."""
    air_percent: Air | None = None
    """Air in the concrete; left out: the profile's entrapped air [%]."""


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
    standing: Literal["proportioned_not_trialled", "trialled"] | None = None
    """Proportioned and not yet trialled, or confirmed by trial mixes; left out: as the engineer states it."""
    proportioned_by: types.MethodName | None = None
    """Named method by which they were proportioned."""


Mix = Annotated[NominalVolumeMix | NominalMassMix | DesignedMix, Field(discriminator="kind")]
AnyMix = NominalVolumeMix | NominalMassMix | DesignedMix
SiteMix = NominalVolumeMix | NominalMassMix
"""The mixes that are gauged by the bag on site."""
