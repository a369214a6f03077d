"""Casting checks on the day of casting: joints, fall, time, heat, frost, rain."""

from collections.abc import Iterator

from estimates.calc.checks import finding, limits
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.placing import Placing
from estimates.standards.load import Profile


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """What is planned for the day against the profile's limits and good practice.

    Source: IS 456 cl. 13.2, IS 7861; EN 206, house builders' rules; ACI 305.1, ACI 306R, as `placing.*` cites
    them; joints and rain: common practice.

    Args:
        sheet: the design sheet; one that says nothing of the day gets no finding here.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept, and for a measure that is missing.
    """
    yield from _vibrators(sheet)
    if sheet.placing is None:
        return
    yield from _joint(sheet.placing)
    yield from _most(sheet.placing, profile=profile)
    yield from _weather(sheet.placing, profile=profile)
    covered = any(item.item == "rain_cover" for item in sheet.consumables)
    if sheet.placing.rain and not covered and not sheet.placing.rain_measures.strip():
        yield finding.note("placing.rain", subject="placing.rain_measures", severity=Severity.WARN, params={})


def _vibrators(sheet: DesignSheet) -> Iterator[Finding]:
    if sheet.plant is not None and sheet.plant.spare_vibrators == 0:
        yield finding.note(
            "placing.no_spare_vibrator",
            subject="plant.spare_vibrators",
            severity=Severity.WARN,
            params={},
        )


def _joint(day: Placing) -> Iterator[Finding]:
    if day.beams_apart:
        severity = Severity.NOTE if day.beams_joint.strip() else Severity.WARN
        code = "placing.beams_apart_agreed" if day.beams_joint.strip() else "placing.beams_apart"
        yield finding.note(code, subject="placing.beams_apart", severity=severity, params={})


def _most(day: Placing, *, profile: Profile) -> Iterator[Finding]:
    """Figures that must not be greater than a limit; the greater limit of two speaks when both are passed."""
    rows = (
        ("free_fall", "placing.free_fall_mm", day.free_fall_mm, "mm", ("code", "practice")),
        ("time", "placing.minutes", day.minutes, "min", ("max", "better")),
        ("temperature", "placing.concrete_c", day.concrete_c, "°C", ("max", "better")),
    )
    for name, subject, value, unit, kinds in rows:
        for kind in kinds:
            limit = profile.find(f"placing.{name}.{kind}")
            if value is None or limit is None:
                continue
            shown = value if limit.unit == unit else limits.in_unit_of(limit, value=value, unit=unit)
            if shown > limit.value:
                yield finding.against(limit, code=f"placing.{name}", subject=subject, value=shown, params={})
                break


def _weather(day: Placing, *, profile: Profile) -> Iterator[Finding]:
    hot, cold = profile.value("placing.air.hot"), profile.value("placing.air.cold")
    bare = not day.weather_measures.strip()
    if bare and day.air_c is not None and day.air_c > hot.value:
        code, subject = "placing.hot", "placing.weather_measures"
        yield finding.against(hot, code=code, subject=subject, value=day.air_c, params={})
    if bare and day.air_c is not None and day.air_c <= cold.value:
        code, subject = "placing.cold", "placing.weather_measures"
        yield finding.against(cold, code=code, subject=subject, value=day.air_c, params={})
    least = profile.value("placing.temperature.least")
    if day.concrete_c is not None and day.concrete_c < least.value:
        code, subject = "placing.too_cold", "placing.concrete_c"
        yield finding.against(least, code=code, subject=subject, value=day.concrete_c, params={})
