"""Anchorage and laps that the sheet's own code asks of a bar; answers are held against them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from estimates.calc.detailing import aci318, is456
from estimates.calc.detailing.ec2 import lengths as ec2
from estimates.calc.detailing.ec2 import strengths
from estimates.calc.detailing.step import Step
from estimates.calc.sheet import grades
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.values import Profile, StandardsError

_PSI_PER_KSI: Final = 1000
_ALL: Final = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A bar where it is anchored or lapped: size, cover, clear distance to the next bar [mm], face, bundle.

    `lapped_percent` is the share of the bars lapped at one section; without a clear distance cover decides.
    """

    size_mm: int
    cover_mm: float
    top: bool = False
    clear_mm: float | None = None
    lapped_percent: float = _ALL
    bundle: int = 1


def anchorage(sheet: DesignSheet, place: Place, *, profile: Profile) -> Step:
    """Anchorage length of a straight bar that is fully used in tension.

    Source: IS 456 cl. 26.2.1, EC2 section 8.4, ACI 318 cl. 25.4.2.

    Args:
        sheet: grades and thickness.
        place: the bar.
        profile: the standards profile of the sheet.

    Returns:
        The length [mm].

    Raises:
        StandardsError: the code has no figure for such a concrete, steel or bar.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> example = files("estimates").joinpath("examples/roof-over-ridge-house.json")
    >>> roof = sheets.read(example.read_text(encoding="utf-8"))
    >>> round(anchorage(roof, Place(size_mm=10, cover_mm=20), profile=load.profile("is")).value)
    566
    """
    return _ANCHORAGES[sheet.profile](sheet, place, profile)


def lap(sheet: DesignSheet, place: Place, *, profile: Profile) -> Step:
    """Lap length of a bar that is fully used in tension, in flexure.

    Source: IS 456 cl. 26.2.5.1, EC2 section 8.7, ACI 318 cl. 25.5.2 with class B.

    Args:
        sheet: grades, thickness, and the set of national values.
        place: the bar.
        profile: the standards profile of the sheet.

    Returns:
        The length [mm].

    Raises:
        StandardsError: the code has no figure for such a concrete, steel or bar.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> example = files("estimates").joinpath("examples/roof-over-ridge-house.json")
    >>> roof = sheets.read(example.read_text(encoding="utf-8"))
    >>> round(lap(roof, Place(size_mm=10, cover_mm=20, top=True), profile=load.profile("is")).value)
    566
    """
    return _LAPS[sheet.profile](sheet, place, profile)


def _strengths(sheet: DesignSheet) -> tuple[float, float]:
    """Strengths of concrete and steel as the profile names them."""
    concrete = grades.concrete(sheet.grade, profile=sheet.profile)
    steel = grades.steel(sheet.steel_grade, profile=sheet.profile)
    if concrete is None or steel is None:
        message = f"{sheet.grade} and {sheet.steel_grade} are not both grades of profile {sheet.profile}"
        raise StandardsError(message)
    return concrete, steel


def _indian_anchorage(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    cube, yield_mpa = _strengths(sheet)
    bond = is456.bond_stress(cube, yield_mpa=yield_mpa, compression=False, profile=profile)
    length = is456.development_length(place.size_mm, yield_mpa=yield_mpa, bond=bond, profile=profile)
    return length if place.bundle == 1 else is456.bundled_length(length, bars=place.bundle, profile=profile)


def _indian_lap(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    development = _indian_anchorage(sheet, place, profile)
    length = is456.lap_length(place.size_mm, development=development, stress="flexural", profile=profile)
    return is456.lap_near_faces(
        length,
        size_mm=place.size_mm,
        cover_mm=place.cover_mm,
        top=place.top,
        corner=False,
        profile=profile,
    )


def _named(sheet: DesignSheet) -> strengths.Named:
    values = None if sheet.durability is None else sheet.durability.values
    return values or "recommended"


def _european_basic(sheet: DesignSheet, place: Place, profile: Profile) -> tuple[float, Step, Step]:
    """Size that counts, basic anchorage length and alpha 2."""
    cylinder, yield_mpa = _strengths(sheet)
    size: float = place.size_mm
    if place.bundle > 1:
        size = ec2.bundle_size(place.size_mm, bars=place.bundle).value
    mean = strengths.mean_tensile_strength(cylinder, profile=profile)
    tensile = strengths.design_tensile_strength(mean, profile=profile)
    thick = sheet.thickness_mm > profile.number("laps.good_bond_thickness")
    bond = strengths.bond_stress(
        size, tensile=tensile, bond="poor" if place.top and thick else "good", profile=profile
    )
    stress = strengths.design_stress(yield_mpa, named=_named(sheet), profile=profile)
    free = place.cover_mm if place.clear_mm is None else min(place.cover_mm, place.clear_mm / 2)
    return (
        size,
        ec2.basic_anchorage(size, stress=stress, bond=bond),
        ec2.alpha_2(size, cd_mm=free, profile=profile),
    )


def _european_anchorage(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    size, basic, two = _european_basic(sheet, place, profile)
    least = ec2.least_anchorage(size, basic=basic, compression=False, profile=profile)
    length = ec2.anchorage_length(basic, alpha2=two, least=least)
    return ec2.rounded(length, named=_named(sheet), profile=profile)


def _european_lap(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    size, basic, two = _european_basic(sheet, place, profile)
    six = ec2.alpha_6(place.lapped_percent, named=_named(sheet), profile=profile)
    least = ec2.least_lap(size, basic=basic, alpha6=six, profile=profile)
    length = ec2.lap_length(basic, alpha2=two, alpha6=six, least=least)
    return ec2.rounded(length, named=_named(sheet), profile=profile)


def _american_development(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    strength, ksi = _strengths(sheet)
    diameter = aci318.diameter(place.size_mm, profile=profile).value * aci318.MM_PER_INCH
    below = (sheet.thickness_mm - place.cover_mm - diameter) / aci318.MM_PER_INCH
    bar = aci318.Bar(
        size_mm=place.size_mm,
        yield_psi=ksi * _PSI_PER_KSI,
        strength_psi=strength,
        top=place.top and below > profile.number("laps.psi_t_depth"),
        ample=_ample(place, diameter=diameter, profile=profile),
    )
    length = aci318.tension_development(bar, profile=profile)
    return length if place.bundle == 1 else aci318.bundled_length(length, bars=place.bundle, profile=profile)


def _ample(place: Place, *, diameter: float, profile: Profile) -> bool:
    """Clear distance of two diameters and cover of one: the better cases of the table, stirrups or not."""
    apart = place.clear_mm is None or place.clear_mm >= profile.number("laps.tension.clear") * diameter
    return apart and place.cover_mm >= profile.number("laps.tension.cover") * diameter


def _american_anchorage(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    return aci318.in_mm(_american_development(sheet, place, profile))


def _american_lap(sheet: DesignSheet, place: Place, profile: Profile) -> Step:
    development = _american_development(sheet, place, profile)
    return aci318.in_mm(aci318.splice(development, kind="b", profile=profile))


_Rule = Callable[[DesignSheet, Place, Profile], Step]
_ANCHORAGES: Final[Mapping[str, _Rule]] = {
    "is": _indian_anchorage,
    "en": _european_anchorage,
    "aci": _american_anchorage,
}
_LAPS: Final[Mapping[str, _Rule]] = {"is": _indian_lap, "en": _european_lap, "aci": _american_lap}


@dataclass(frozen=True, slots=True, kw_only=True)
class OfSize:
    """What the code asks of a size in the slab: anchorage and laps in the bottom and the top [mm].

    None where the code has no figure; `why` tells then what it lacks.
    """

    size_mm: int
    name: str
    anchorage: Step | None = None
    anchorage_top: Step | None = None
    lap: Step | None = None
    lap_top: Step | None = None
    why: str = ""


def by_size(sheet: DesignSheet, sizes: Iterable[int], *, profile: Profile) -> tuple[OfSize, ...]:
    """Anchorage and lap lengths of the sizes that a slab uses, to compare an answer with.

    Source: `anchorage` and `lap` with the slab's cover, so many of the bars lapped at one section as
    `laps.shown_share` says.

    Args:
        sheet: grades, thickness and cover.
        sizes: nominal sizes [mm].
        profile: the standards profile of the sheet.

    Returns:
        A row for each size, small first.

    >>> from importlib.resources import files
    >>> from estimates.calc.reading import reader as sheets
    >>> from estimates.standards import load
    >>> example = files("estimates").joinpath("examples/roof-over-ridge-house.json")
    >>> roof = sheets.read(example.read_text(encoding="utf-8"))
    >>> [round(row.lap.value) for row in by_size(roof, [8, 10], profile=load.profile("is"))]
    [453, 566]
    """
    return tuple(_of_size(sheet, size, profile=profile) for size in sorted(set(sizes)))


def _of_size(sheet: DesignSheet, size_mm: int, *, profile: Profile) -> OfSize:
    name, share = profile.bar(size_mm).designation, profile.number("laps.shown_share")
    bottom, top = (
        Place(size_mm=size_mm, cover_mm=sheet.cover_mm, top=face, lapped_percent=share)
        for face in (False, True)
    )
    try:
        return OfSize(
            size_mm=size_mm,
            name=name,
            anchorage=anchorage(sheet, bottom, profile=profile),
            anchorage_top=anchorage(sheet, top, profile=profile),
            lap=lap(sheet, bottom, profile=profile),
            lap_top=lap(sheet, top, profile=profile),
        )
    except StandardsError as lack:
        return OfSize(size_mm=size_mm, name=name, why=str(lack))
