"""Checks of a design sheet's mix: parts that contradict each other."""

from collections.abc import Iterable, Iterator
from typing import Final

from estimates.calc.mix import methods
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.mix import (
    Admixture,
    AnyMix,
    DesignedAdmixture,
    DesignedMix,
    NominalMassMix,
    NominalVolumeMix,
)
from estimates.standards.values import Profile

_NOISE_PERCENT: Final = 0.01
_LEAST_WATER_CEMENT: Final = 0.25
_MOST_WATER_CEMENT: Final = 1.0


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds contradictions within the mix.

    Source: derived: shares of a whole, and one number for one thing; no limit of a code is tested here.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> m20 = NominalVolumeMix(
    ...     kind="nominal_volume", parts=(1, 1.5, 3), water_cement=0.5, stone_split={"20": 60, "10": 30})
    >>> [fault.code for fault in faults(Draft(mix=m20), profile=None)]
    ['split_not_100']
    """
    mix = draft.mix
    if mix is None:
        return
    yield from _admixtures(mix)
    if isinstance(mix, DesignedMix):
        yield from _designed(mix)
        return
    yield from _split(mix.stone_split.values())
    if isinstance(mix, NominalMassMix):
        yield from _by_mass(mix, profile=profile)
    else:
        yield from _by_volume(mix, profile=profile)


def _split(shares: Iterable[float]) -> Iterator[Fault]:
    total = sum(shares)
    if abs(total - 100) > _NOISE_PERCENT:
        message = f"the stone_split adds up to {total:g} %, and must add up to 100 %; correct a share"
        yield Fault("mix.stone_split", "split_not_100", message)


def _by_volume(mix: NominalVolumeMix, *, profile: Profile | None) -> Iterator[Fault]:
    if mix.method is not None and profile is not None:
        known = methods.methods(profile)
        if mix.method not in known:
            names = ", ".join(known)
            message = f"method {show(mix.method)} is not known to profile {profile.id}; use one of {names}"
            yield Fault("mix.method", "unknown_method", message)


def _by_mass(mix: NominalMassMix, *, profile: Profile | None) -> Iterator[Fault]:
    if (mix.row is None) == (mix.parts is None):
        message = (
            "a nominal mix by mass is a row of the profile's table or parts by mass; give one of the two"
        )
        yield Fault("mix.row", "one_of_two", message)
        return
    if mix.parts is not None:
        yield from _parts_by_mass(mix)
        return
    if profile is None or mix.row is None:
        return
    known = methods.rows(profile)
    if mix.row not in known:
        names = ", ".join(known) or "none; give parts by mass"
        message = f"row {show(mix.row)} is not in profile {profile.id}'s table by mass; it has {names}"
        yield Fault("mix.row", "unknown_row", message)
        return
    if mix.water_cement is None and f"mass_mix.{mix.row}.water" not in profile.values:
        message = f"row {show(mix.row)} states no water; give water_cement"
        yield Fault("mix.water_cement", "missing", message)
    if mix.stone_to_sand is not None and f"mass_mix.{mix.row}.stone" in profile.values:
        message = f"row {show(mix.row)} states sand and stone each; leave stone_to_sand out"
        yield Fault("mix.stone_to_sand", "stated_twice", message)


def _parts_by_mass(mix: NominalMassMix) -> Iterator[Fault]:
    if mix.water_cement is None:
        yield Fault("mix.water_cement", "missing", "parts by mass state no water; give water_cement")
    if mix.stone_to_sand is not None:
        message = "the parts state sand and stone each; leave stone_to_sand out"
        yield Fault("mix.stone_to_sand", "stated_twice", message)


def _designed(mix: DesignedMix) -> Iterator[Fault]:
    if not mix.stone_kg_m3:
        yield Fault("mix.stone_kg_m3", "missing", "stone_kg_m3 is empty; give the stone by nominal size")
    for size in sorted(set(mix.stone_kg_m3) ^ set(mix.stone_bulk_kg_m3)):
        has, lacks = "stone_kg_m3", "stone_bulk_kg_m3"
        if size in mix.stone_bulk_kg_m3:
            has, lacks = lacks, has
        message = f"stone of {size} mm stands in {has} but not in {lacks}; give both or neither"
        yield Fault(f"mix.{lacks}.{size}", "missing", message)
    ratio = mix.water_kg_m3 / mix.cement_kg_m3
    if not _LEAST_WATER_CEMENT <= ratio <= _MOST_WATER_CEMENT:
        message = (
            f"water_kg_m3 {show(mix.water_kg_m3)} over cement_kg_m3 {show(mix.cement_kg_m3)} is {ratio:.3g}, "
            f"and must be {_LEAST_WATER_CEMENT} to {_MOST_WATER_CEMENT:g}; correct one of them"
        )
        yield Fault("mix.water_kg_m3", "water_cement_out_of_range", message)


def _admixtures(mix: AnyMix) -> Iterator[Fault]:
    doses: tuple[Admixture | DesignedAdmixture, ...] = mix.admixtures
    materials = [admixture.material for admixture in doses]
    for index, admixture in enumerate(doses):
        first = materials.index(admixture.material)
        if first != index:
            message = (
                f"{admixture.material} already stands at mix.admixtures[{first}]; give its whole dose once"
            )
            yield Fault(f"mix.admixtures[{index}].material", "duplicate_name", message)
        yield from _dose(admixture, at=f"mix.admixtures[{index}]")


def _dose(admixture: Admixture | DesignedAdmixture, *, at: str) -> Iterator[Fault]:
    names = ("dose_ml_per_bag", "dose_percent", "dose_kg_m3")
    offered = [name for name in names if hasattr(admixture, name)]
    given = [name for name in offered if getattr(admixture, name) is not None]
    if len(given) != 1:
        found = " and ".join(given) or "none"
        message = f"a dose is stated once, found {found}; give one of {', '.join(offered)}"
        yield Fault(f"{at}.{given[-1] if given else offered[0]}", "one_dose", message)
    elif given[0] != "dose_ml_per_bag" and admixture.density_kg_l is None:
        message = f"{given[0]} is a mass and the admixture is bought in litres; give density_kg_l"
        yield Fault(f"{at}.density_kg_l", "missing", message)
