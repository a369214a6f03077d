"""Casting checks on the distance between the slab's bars: not too far apart, and room for the stone."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.checks.steel import bars
from estimates.calc.checks.steel.bars import Spread
from estimates.calc.mix import facts
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.types import BarUse
from estimates.standards.load import Profile, Value

_NOISE_MM: Final = 1e-6


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Spacing of the slab's bars against the most and the least.

    Source: IS 456 cl. 26.3.2 and 26.3.3; EC2 cl. 8.2 and 9.3.1.1; ACI 318 cl. 7.7.2.3, 24.4.3.3 and 25.2.1.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept. Bars whose use the sheet leaves open are held against the
        limit of distribution bars; a note tells those that main bars would not keep.
    """
    for one in bars.spread(sheet, profile=profile):
        yield from _most(one, sheet=sheet, profile=profile)
        yield from _clear(one, sheet=sheet, profile=profile)


def _most(one: Spread, *, sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    use = one.use or "distribution"
    limit = most(use, one=one, sheet=sheet, profile=profile)
    words = {"mark": one.mark, "thickness": f"{sheet.thickness_mm:g}"}
    if one.spacing_mm > limit.value + _NOISE_MM:
        code = "steel.spacing_most"
        yield finding.against(limit, code=code, subject=one.subject, value=one.spacing_mm, params=words)
        return
    main = most("main", one=one, sheet=sheet, profile=profile)
    if one.use is None and one.spacing_mm > main.value + _NOISE_MM:
        found = finding.against(
            main, code="steel.spacing_main", subject=one.subject, value=one.spacing_mm, params=words
        )
        yield replace(found, severity=Severity.NOTE)


def most(use: BarUse, *, one: Spread, sheet: DesignSheet, profile: Profile) -> Value:
    """The most that bars of a use may lie apart.

    Source: the profile's `detailing.<use>`: so many depths, or a length; the smaller.

    Args:
        use: main or distribution bars.
        one: the bars.
        sheet: thickness and cover [mm].
        profile: the standards profile.

    Returns:
        The limit [mm].
    """
    depths, length = (profile.value(f"detailing.{use}.spacing_{name}") for name in ("depths", "most"))
    by_depth = depths.value * depth_mm(profile.choice("detailing.spacing_depth").value, one=one, sheet=sheet)
    return length if length.value <= by_depth else replace(depths, value=by_depth, unit="mm")


def depth_mm(kind: str, *, one: Spread, sheet: DesignSheet) -> float:
    """The depth that a rule speaks of.

    Source: derived: the thickness, or the thickness less cover and half the bar.

    Args:
        kind: "overall" or "effective".
        one: the bars.
        sheet: thickness and cover [mm].

    Returns:
        The depth [mm].
    """
    if kind == "overall":
        return sheet.thickness_mm
    return sheet.thickness_mm - sheet.cover_mm - one.diameter_mm / 2


def _clear(one: Spread, *, sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    """Clear distance against the bar, the stone and a least one; the largest of them counts."""
    stone = facts.largest_stone_mm(sheet.mix)
    sizes, times, more = (
        profile.value(f"detailing.clear.{name}") for name in ("sizes", "stone_times", "stone_more")
    )
    limits = [
        replace(sizes, value=sizes.value * one.diameter_mm, unit="mm"),
        replace(times, value=times.value * stone + more.value, unit="mm"),
    ]
    least = profile.find("detailing.clear.least")
    limit = max([*limits, *([least] if least else [])], key=lambda each: each.value)
    if one.clear_mm < limit.value - _NOISE_MM:
        words = {"mark": one.mark, "size": profile.bar(one.size_mm).designation, "stone": stone}
        code = "steel.spacing_clear"
        yield finding.against(limit, code=code, subject=one.subject, value=one.clear_mm, params=words)
