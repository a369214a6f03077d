"""Casting checks on how much steel the slab has: least area each way, share of the weaker way, sizes."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from estimates.calc.checks import finding, limits
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.checks.steel import bars, spacing
from estimates.calc.checks.steel.bars import Spread
from estimates.calc.detailing.ec2 import strengths
from estimates.calc.sheet import grades
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel import members
from estimates.calc.steel.schedule import Schedule
from estimates.standards.load import Profile, StandardsError, Value

_WAYS: Final = ("x", "y")
_PERCENT: Final = 100
_NOISE: Final = 1e-6
_SEVERAL: Final = 2


def find(sheet: DesignSheet, *, schedule: Schedule, profile: Profile) -> Iterator[Finding]:
    """Least steel each way, the share of the weaker way, the largest size, and sizes used only once.

    Source: IS 456 cl. 26.5.2; EC2 cl. 9.2.1.1 and 9.3.1.1; ACI 318 cl. 24.4.3.2; common practice.

    Args:
        sheet: the design sheet.
        schedule: its bar schedule worked out.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept.
    """
    found = list(bars.spread(sheet, profile=profile))
    for way in _WAYS:
        yield from _way(way, found=found, sheet=sheet, profile=profile)
    yield from _rows(found, sheet=sheet, profile=profile)
    yield from _share(found, profile=profile)
    yield from _largest(sheet, profile=profile)
    yield from _one_off(schedule, profile=profile)


def least_mm2_m(one: Spread, *, sheet: DesignSheet, profile: Profile) -> Value:
    """The least area of steel in a metre of slab.

    Source: the profile's `detailing.minimum`: a share of the section, for EC2 also 0.26 fctm / fyk of it.

    Args:
        one: bars that lie so, for the depth.
        sheet: grades, thickness and cover.
        profile: the standards profile.

    Returns:
        The limit [mm²/m].

    Raises:
        ValueError: EC2 beyond C50/60.
    """
    share = profile.value("detailing.minimum.deformed")
    steel = grades.steel(sheet.steel_grade, profile=sheet.profile) or 0.0
    plain, mild = profile.find("detailing.minimum.plain"), profile.find("laps.plain_yield")
    if plain is not None and mild is not None and steel <= mild.value:
        share = plain
    factor = profile.find("detailing.minimum.strength_factor")
    if factor is not None:
        cylinder = grades.concrete(sheet.grade, profile=sheet.profile) or 0.0
        mean = strengths.mean_tensile_strength(cylinder, profile=profile).value
        share = max([share, replace(factor, value=factor.value * mean / steel)], key=lambda each: each.value)
    depth = spacing.depth_mm(profile.choice("detailing.minimum.depth").value, one=one, sheet=sheet)
    return replace(share, value=share.value * depth * 1000, unit="mm²/m")


def _way(way: str, *, found: list[Spread], sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    """Bars over the whole slab one way: of both faces together, by EC2 of the bottom alone."""
    effective = profile.choice("detailing.minimum.depth").value == "effective"
    whole = [one for one in found if one.whole and (one.layer == "bottom" or not effective)]
    along = [one for one in whole if one.direction == way]
    rows = {beam.name for beam in sheet.beams}
    if whole and not along and all(members.beams_named(bar.member, beams=rows) for bar in sheet.bars):
        source = profile.value("detailing.minimum.deformed").citation
        yield finding.note(
            "steel.one_way",
            subject="spacing_rules",
            severity=Severity.WARN,
            params={"way": way},
            source=source,
        )
    if not along:
        return
    area = sum(one.area_mm2_m for one in along)
    limit = _least(along[0], sheet=sheet, profile=profile)
    if limit is not None and area < limit.value - _NOISE:
        words = {"way": way, "marks": ", ".join(one.mark for one in along)}
        code = "steel.minimum"
        yield finding.against(limit, code=code, subject=along[0].subject, value=area, params=words)


def _rows(found: list[Spread], *, sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    """A row by itself: others may lie beside it, so that it can at most warn."""
    for one in found:
        if one.direction is not None:
            continue
        limit = _least(one, sheet=sheet, profile=profile)
        if limit is not None and one.area_mm2_m < limit.value - _NOISE:
            words = {"mark": one.mark}
            code = "steel.minimum_row"
            row = finding.against(limit, code=code, subject=one.subject, value=one.area_mm2_m, params=words)
            yield replace(row, severity=Severity.WARN)


def _least(one: Spread, *, sheet: DesignSheet, profile: Profile) -> Value | None:
    """The limit; none for a concrete beyond the code's formula."""
    try:
        return least_mm2_m(one, sheet=sheet, profile=profile)
    except StandardsError:
        return None


def _share(found: list[Spread], *, profile: Profile) -> Iterator[Finding]:
    """The weaker way of the bottom against the stronger one."""
    limit = profile.find("detailing.secondary_share")
    bottom = [one for one in found if one.whole and one.layer == "bottom"]
    areas = {way: sum(one.area_mm2_m for one in bottom if one.direction == way) for way in _WAYS}
    if limit is None or not all(areas.values()):
        return
    weak, strong = sorted(_WAYS, key=lambda way: areas[way])
    percent = areas[weak] / areas[strong] * _PERCENT
    if percent < limit.value - _NOISE:
        words = {"weak": weak, "strong": strong}
        code = "steel.secondary"
        yield finding.against(limit, code=code, subject="spacing_rules", value=percent, params=words)


def _largest(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    share = profile.find("detailing.size_share")
    sizes = limits.slab_bar_sizes(sheet)
    if share is None or not sizes:
        return
    limit = replace(share, value=share.value * sheet.thickness_mm, unit="mm")
    if sizes[-1] > limit.value + _NOISE:
        words = {"thickness": f"{sheet.thickness_mm:g}", "size": profile.bar(sizes[-1]).designation}
        code = "steel.size_most"
        yield finding.against(limit, code=code, subject="thickness_mm", value=sizes[-1], params=words)


def _one_off(schedule: Schedule, *, profile: Profile) -> Iterator[Finding]:
    """A size of which less than a stock bar is used, while other sizes are there."""
    least = profile.value("detailing.one_off_bars")
    if len(schedule.sizes) < _SEVERAL:
        return
    for size in schedule.sizes:
        if 0 < size.length_mm < least.value * size.stock_length_mm:
            words = {
                "size": profile.bar(size.size_mm).designation,
                "marks": ", ".join(size.marks),
                "metres": f"{size.length_mm / 1000:.4g}",
                "stock": f"{size.stock_length_mm / 1000:g}",
            }
            subject = f"steel.size.{size.size_mm}"
            yield finding.note(
                "steel.one_off",
                subject=subject,
                severity=Severity.NOTE,
                params=words,
                source=least.citation,
            )
