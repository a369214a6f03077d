"""Casting checks on what the exposure asks of the concrete: grade, water, cement, air."""

from collections.abc import Iterator, Mapping
from typing import Final

from estimates.calc.checks import concrete, finding, limits
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.mix import facts
from estimates.calc.sheet import grades
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile, Value

_FROST: Final = {"F1": "F1", "F2": "F2", "F3": "F2"}
"""Frost classes of the American table and the column in which their air stands."""


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Grade, water/cement, cement and air against all exposure classes of the sheet.

    Source: IS 456 tables 5 and 6; EN 206 table F.1 or BS 8500-1 table A.4; ACI 318 tables 19.3.2.1 and
    19.3.3.1, as `exposure.*`, `british.*` and `air.*` of the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept, against the class that asks most.

    Raises:
        ValueError: the profile lacks the sheet's mix method.
    """
    asked = {name: asks(name, sheet=sheet, profile=profile) for name in limits.exposures(sheet)}
    yield from _grade(sheet, asked=asked, profile=profile)
    yield from _water(sheet, asked=asked, profile=profile)
    yield from _cement(sheet, asked=asked, profile=profile)
    yield from _air(sheet, asked=asked, profile=profile)


def asks(name: str, *, sheet: DesignSheet, profile: Profile) -> Mapping[str, Value]:
    """What an exposure class asks, by the set of values that the sheet follows.

    Source: `exposure.<class>`; with British values `british.<class>`, whose row is the one for the greatest
    cover that the slab's cover less its deviation reaches.

    Args:
        name: the class.
        sheet: the design sheet.
        profile: the standards profile.

    Returns:
        Limits by name, as "grade_min"; empty when the class asks nothing.

    >>> from estimates.calc.reading import reader as sheets
    >>> from importlib.resources import files
    >>> text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    >>> from estimates.standards import load
    >>> asks("severe", sheet=sheets.read(text), profile=load.profile("is"))["grade_min"].value
    30.0
    """
    recommended = profile.group(f"exposure.{name}")
    if sheet.durability is None or sheet.durability.values != "british":
        return recommended
    covers = british_covers(name, profile=profile)
    reached = [cover for cover in covers if cover <= sheet.cover_mm - deviation(sheet, profile=profile).value]
    return profile.group(f"british.{_column(name)}.{max(reached)}") if reached else recommended


def british_covers(name: str, *, profile: Profile) -> tuple[int, ...]:
    """Minimum covers for which the British table gives a concrete in this class.

    Source: BS 8500-1 table A.4, as `british.<class>` cites it.

    Args:
        name: the class.
        profile: the standards profile.

    Returns:
        The covers before the deviation [mm], small first; empty when the data hold none for the class.

    >>> from estimates.standards import load
    >>> british_covers("XC4", profile=load.profile("en"))
    (20, 25, 30, 35)
    """
    return tuple(sorted({int(key.split(".")[0]) for key in profile.group(f"british.{_column(name)}")}))


def deviation(sheet: DesignSheet, *, profile: Profile) -> Value:
    """The deviation that is added to a minimum cover: the engineer's, or the profile's.

    Source: EC2 cl. 4.4.1.3, as `cover.deviation` cites it.

    Args:
        sheet: the design sheet.
        profile: the standards profile, "en".

    Returns:
        The deviation [mm].
    """
    own = profile.value("cover.deviation")
    stated = None if sheet.durability is None else sheet.durability.deviation_mm
    return own if stated is None else finding.restated(own, value=stated)


def _column(name: str) -> str:
    """XC3 and XC4 share their rows in the British table."""
    return "XC3" if name == "XC4" else name


def _governing(
    key: str, *, asked: Mapping[str, Mapping[str, Value]], least: bool
) -> tuple[str, Value] | None:
    pairs = [(name, found[key]) for name, found in asked.items() if key in found]
    return limits.strictest(pairs, least=least)


def _words(name: str) -> dict[str, object]:
    return {"exposure": name.replace("_", " ")}


def _grade(
    sheet: DesignSheet, *, asked: Mapping[str, Mapping[str, Value]], profile: Profile
) -> Iterator[Finding]:
    found = _governing("grade_min", asked=asked, least=True)
    strength = concrete.grade(sheet)
    if found is not None and strength < found[1].value:
        least = grades.named(found[1].value, profile=profile)
        params = _words(found[0]) | {"grade": sheet.grade, "least": least}
        yield finding.against(found[1], code="exposure.grade", subject="grade", value=strength, params=params)


def _water(
    sheet: DesignSheet, *, asked: Mapping[str, Mapping[str, Value]], profile: Profile
) -> Iterator[Finding]:
    found = _governing("water_cement_max", asked=asked, least=False)
    ratio = facts.water_cement(sheet.mix, profile=profile)
    if found is not None and ratio > found[1].value + 1e-9:
        name, limit = found
        code, subject = "exposure.water_cement", "mix.water_cement"
        yield finding.against(limit, code=code, subject=subject, value=ratio, params=_words(name))


def _cement(
    sheet: DesignSheet, *, asked: Mapping[str, Mapping[str, Value]], profile: Profile
) -> Iterator[Finding]:
    found = _governing("cement_min", asked=asked, least=True)
    if found is None:
        return
    content = concrete.cement_content(sheet, profile=profile)
    stone = facts.largest_stone_mm(sheet.mix)
    name, least = found
    for_stone = profile.find(f"concrete.cement_for_stone_size.{stone}")
    if for_stone is not None and for_stone.value:
        least = limits.summed([least, for_stone], clause=f"{least.clause} and {for_stone.clause}")
    # A content read off a public schedule is whole kilograms: a gram below the limit is no finding.
    if round(content) < least.value:
        params = _words(name) | {"stone": stone}
        yield finding.against(least, code="exposure.cement", subject="mix", value=content, params=params)


def _air(
    sheet: DesignSheet, *, asked: Mapping[str, Mapping[str, Value]], profile: Profile
) -> Iterator[Finding]:
    found = _governing("air_min", asked=asked, least=True) or _frost_air(sheet, profile=profile)
    if found is None:
        return
    name, limit = found
    stated = None if sheet.durability is None else sheet.durability.air_percent
    subject = "durability.air_percent"
    if stated is None:
        params = _words(name) | {"limit": f"{limit.value:g}"}
        yield finding.note(
            "exposure.air_unstated",
            subject=subject,
            severity=Severity.WARN,
            params=params,
            source=limit.citation,
        )
    elif stated < limit.value:
        yield finding.against(limit, code="exposure.air", subject=subject, value=stated, params=_words(name))


def _frost_air(sheet: DesignSheet, *, profile: Profile) -> tuple[str, Value] | None:
    """The American table goes by frost class and stone; class F3 shares the column of F2."""
    frost = [name for name in limits.exposures(sheet) if profile.group(f"air.{_FROST.get(name)}")]
    if not frost:
        return None
    name = max(frost)
    stone = facts.largest_stone_mm(sheet.mix)
    column = profile.group(f"air.{_FROST[name]}")
    sizes = sorted(int(size) for size in column)
    size = next((size for size in sizes if size >= stone), sizes[-1])
    return name, limits.lowered(column[str(size)], by=profile.value("air.tolerance"))
