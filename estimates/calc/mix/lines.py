"""The lines that every kind of mix ends in: cement, loose sand and stone with their masses, water."""

from dataclasses import dataclass
from typing import Final

from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.sheet.mix import SiteMix
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

DRAWN: Final = "drawing: mix"
_TITLES: Final = {
    "sand": gettext_noop("Sand, loose"),
    "sand.mass": gettext_noop("Sand, mass when dry"),
    "stone-20": gettext_noop("Stone 20 mm, loose"),
    "stone-20.mass": gettext_noop("Stone 20 mm, mass when dry"),
    "stone-10": gettext_noop("Stone 10 mm, loose"),
    "stone-10.mass": gettext_noop("Stone 10 mm, mass when dry"),
}


@dataclass(frozen=True, slots=True)
class Made:
    """How the lines of a mix came about: the named method and its source."""

    method: str
    source: str


def cement(formula: str, *, inputs: dict[str, Input], made: Made) -> Quantity:
    """The line of the cement.

    Source: derived: the formula of the mix.

    Args:
        formula: gives kilograms.
        inputs: the formula's inputs.
        made: method and source.

    Returns:
        `cement` [kg].
    """
    return Quantity(
        key="cement",
        member=gettext_noop("concrete"),
        title=gettext_noop("Cement"),
        unit="kg",
        formula=formula,
        inputs=inputs,
        material="cement",
        kind="cement",
        method=made.method,
        source=made.source,
    )


def loose(
    code: str, *, formula: str, inputs: dict[str, Input], made: Made, density: Input
) -> tuple[Quantity, Quantity]:
    """The loose volume that is bought, and its mass for those who buy by mass.

    Source: derived: mass = loose volume × bulk density.

    Args:
        code: "sand" or "stone-<size>".
        formula: gives cubic metres loose.
        inputs: the formula's inputs.
        made: method and source.
        density: loose bulk density [kg/m³].

    Returns:
        The volume [m³], and the mass [kg].
    """
    key = code.replace("-", ".")
    volume = Quantity(
        key=key,
        member=gettext_noop("concrete"),
        title=_TITLES[code],
        unit="m³",
        formula=formula,
        inputs=inputs,
        material=code,
        kind=code.split("-", maxsplit=1)[0],
        method=made.method,
        source=made.source,
    )
    mass = Quantity(
        key=f"{key}.mass",
        member=gettext_noop("concrete"),
        title=_TITLES[f"{code}.mass"],
        unit="kg",
        formula="volume * bulk_density",
        inputs={"volume": carried(volume), "bulk_density": density},
        method="loose volume × bulk density",
        source=density.source,
    )
    return volume, mass


def water(formula: str, *, inputs: dict[str, Input], made: Made) -> Quantity:
    """The line of the mixing water.

    Source: derived: the formula of the mix.

    Args:
        formula: gives litres.
        inputs: the formula's inputs.
        made: method and source.

    Returns:
        `water` [L].
    """
    return Quantity(
        key="water",
        member=gettext_noop("concrete"),
        title=gettext_noop("Mixing water, sand and stone taken as surface-dry"),
        unit="L",
        formula=formula,
        inputs=inputs,
        kind="water",
        method=made.method,
        source=made.source,
    )


def water_density(profile: Profile) -> Input:
    """Mass of a litre of water.

    Source: `density.water` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        The density [kg/L].
    """
    return cited(profile.value("density.water"))


def bulk(mix: SiteMix, *, material: str, profile: Profile) -> Input:
    """Loose bulk density of a material: as measured on the sheet, else the profile's.

    Source: the sheet's `bulk_kg_m3`, else `density.<material>` of the standards data.

    Args:
        mix: the nominal mix.
        material: "cement", "sand" or "stone-<size>".
        profile: the standards profile.

    Returns:
        The density [kg/m³ loose].

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, bulk_kg_m3={"sand": 1650.0})
    >>> bulk(m20, material="sand", profile=load.profile("is")).value
    1650.0
    """
    measured = {str(name): value for name, value in (mix.bulk_kg_m3 or {}).items()}
    name = material.removeprefix("stone-")
    if name in measured:
        return Input(measured[name], "kg/m³", "drawing: bulk density as measured")
    return cited(profile.value(f"density.{material}"))


def particle(mix: SiteMix, *, material: str, profile: Profile) -> Input:
    """Density of the particles of a material: as measured on the sheet, else the profile's.

    Source: the sheet's `particle_kg_m3`, else `particle.<cement, sand or stone>` of the standards data.

    Args:
        mix: the nominal mix.
        material: "cement", "sand" or "stone-<size>".
        profile: the standards profile.

    Returns:
        The density [kg/m³ of solid].

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40})
    >>> particle(m20, material="cement", profile=load.profile("is")).value
    3150.0
    """
    measured = {str(name): value for name, value in (mix.particle_kg_m3 or {}).items()}
    name = material.removeprefix("stone-")
    if name in measured:
        return Input(measured[name], "kg/m³", "drawing: particle density as measured")
    return cited(profile.value(f"particle.{material.split('-', maxsplit=1)[0]}"))


def air(mix: SiteMix, *, profile: Profile) -> Input:
    """Air in the concrete: the sheet's, else the profile's entrapped air.

    Source: the sheet's `air_percent`, else `mix.entrapped_air` of the standards data.

    Args:
        mix: the nominal mix.
        profile: the standards profile.

    Returns:
        The air [% of the concrete].

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, air_percent=2.0)
    >>> air(m20, profile=load.profile("is")).value
    2.0
    """
    if mix.air_percent is not None:
        return Input(mix.air_percent, "%", "drawing: air")
    return cited(profile.value("mix.entrapped_air"))


def sizes(mix: SiteMix) -> dict[str, float]:
    """The stone sizes of which a nominal mix holds any.

    Source: the sheet's `stone_split`.

    Args:
        mix: the nominal mix.

    Returns:
        Share by size, large sizes first [%].

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> sizes(NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 100, "10": 0}))
    {'20': 100.0}
    """
    return {str(size): share for size, share in mix.stone_split.items() if share}
