"""Checks of a design sheet's mix: parts that contradict each other."""

from collections.abc import Iterator, Sequence
from typing import Final

from estimates.calc import mix as mixes
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.mix import DesignedMix, NominalVolumeMix
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
    yield from _admixtures([admixture.material for admixture in mix.admixtures])
    if isinstance(mix, DesignedMix):
        yield from _designed(mix)
    else:
        yield from _nominal(mix, profile=profile)


def _nominal(mix: NominalVolumeMix, *, profile: Profile | None) -> Iterator[Fault]:
    total = sum(mix.stone_split.values())
    if abs(total - 100) > _NOISE_PERCENT:
        message = f"the stone_split adds up to {total:g} %, and must add up to 100 %; correct a share"
        yield Fault("mix.stone_split", "split_not_100", message)
    if mix.method is not None and profile is not None:
        known = mixes.methods(profile)
        if mix.method not in known:
            names = ", ".join(known)
            message = f"method {show(mix.method)} is not known to profile {profile.id}; use one of {names}"
            yield Fault("mix.method", "unknown_method", message)


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


def _admixtures(materials: Sequence[str]) -> Iterator[Fault]:
    for index, material in enumerate(materials):
        first = materials.index(material)
        if first != index:
            message = f"{material} already stands at mix.admixtures[{first}]; give its whole dose once"
            yield Fault(f"mix.admixtures[{index}].material", "duplicate_name", message)
