"""Casting checks on the mix itself: figures not yet trialled, and the ratio of stone to sand by mass."""

from collections.abc import Iterator

from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.sheet.mix import DesignedMix, NominalMassMix
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """What the engineer must look at in the mix.

    Source: IS 10262 and ACI 211.1 both end in trial mixes; IS 456 table 9, note, for stone to sand.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A warning for a proportioned mix without a trial, and for a ratio outside the table's.
    """
    mix = sheet.mix
    if isinstance(mix, DesignedMix) and mix.standing == "proportioned_not_trialled":
        params = {"method": (mix.proportioned_by or "proportioning").replace("_", " ")}
        yield finding.note("mix.not_trialled", subject="mix.standing", severity=Severity.WARN, params=params)
    if isinstance(mix, NominalMassMix) and mix.stone_to_sand is not None:
        yield from _ratio(mix.stone_to_sand, profile=profile)


def _ratio(ratio: float, *, profile: Profile) -> Iterator[Finding]:
    least = profile.find("mass_ratio.stone_to_sand_least")
    most = profile.find("mass_ratio.stone_to_sand_most")
    if least is None or most is None or least.value <= ratio <= most.value:
        return
    limit = least if ratio < least.value else most
    params = {"least": f"{least.value:g}", "most": f"{most.value:g}"}
    yield finding.note(
        "mix.stone_to_sand",
        subject="mix.stone_to_sand",
        severity=Severity.WARN,
        params={"value": f"{ratio:g}"} | params,
        source=limit.citation,
    )
