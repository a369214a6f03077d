"""Casting checks on cover: each profile has its own rule for the same two figures of the sheet."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from estimates.calc.checks import exposure, finding, limits
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.sheet.durability import Durability
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile, Value

_SHARED_COLUMN: Final = {"XC3": "XC2", "XS1": "XD1", "XS2": "XD2", "XS3": "XD3"}
"""Classes that EC2 table 4.4N prints in the column of another."""
_USUAL_CLASS: Final = "S4"


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Cover of the slab's and the beams' bars against the profile's rule.

    Source: IS 456 table 16 and cl. 26.4.1; EC2 section 4.4, with British values BS 8500-1 table A.4; ACI 318
    table 20.5.1.3.1, as the standards data cite them.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each cover that is too small, and a note where the sheet leaves open what decides it.
    """
    yield from _RULES[profile.id](sheet, profile)


def _members(sheet: DesignSheet) -> Iterator[tuple[str, str, float]]:
    """Member, field and cover [mm] of what has a cover."""
    yield "slab", "cover_mm", sheet.cover_mm
    if sheet.beam_cover_mm is not None:
        yield "beam", "beam_cover_mm", sheet.beam_cover_mm


def _below(
    limit: Value, *, member: str, subject: str, cover: float, words: Mapping[str, object]
) -> Iterator[Finding]:
    value = limits.in_unit_of(limit, value=cover, unit="mm")
    if value < limit.value - 1e-6:
        code = f"exposure.{member}_cover"
        yield finding.against(limit, code=code, subject=subject, value=value, params=words)


def _indian(sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    asked = profile.group(f"exposure.{sheet.exposure}")
    words = {"exposure": sheet.exposure.replace("_", " ")}
    sizes = limits.slab_bar_sizes(sheet)
    relief, largest = asked.get("cover_relief"), asked.get("cover_relief_bar_max")
    for member, subject, cover in _members(sheet):
        least = asked["cover_min"]
        small = sizes and largest is not None and sizes[-1] <= largest.value
        if member == "slab" and relief is not None and small and least.value - relief.value <= cover:
            yield from _relieved(least, relief=relief, cover=cover, bar=sizes[-1])
            continue
        yield from _below(least, member=member, subject=subject, cover=cover, words=words)
    yield from _to_bar(sheet, sizes=sizes, profile=profile)


def _relieved(least: Value, *, relief: Value, cover: float, bar: int) -> Iterator[Finding]:
    """A cover within the relief for small bars is worth a note: every bar has to be as small."""
    if cover < least.value:
        found = finding.against(
            least, code="cover.relieved", subject="cover_mm", value=cover, params={"bar": bar}
        )
        yield replace(found, severity=Severity.NOTE, source=relief.citation)


def _to_bar(sheet: DesignSheet, *, sizes: list[int], profile: Profile) -> Iterator[Finding]:
    share = profile.value("cover.to_bar_min")
    if sizes and sheet.cover_mm < share.value * sizes[-1]:
        limit = replace(share, value=share.value * sizes[-1], unit="mm")
        yield finding.against(
            limit, code="cover.bar", subject="cover_mm", value=sheet.cover_mm, params={"bar": sizes[-1]}
        )


def _european(sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    given = sheet.durability or Durability()
    deviation = exposure.deviation(sheet, profile=profile)
    lasting = _lasting(sheet, given=given, profile=profile)
    if lasting is None:
        words = {"exposure": ", ".join(limits.exposures(sheet))}
        yield finding.note("cover.class_open", subject="exposure", severity=Severity.WARN, params=words)
        return
    name, durable = lasting
    words = {"exposure": name}
    ground = profile.find(f"cover.against_{'soil' if given.surroundings == 'earth' else given.surroundings}")
    for member, subject, cover in _members(sheet):
        least = max(
            (durable, profile.value("cover.least"), _bond(sheet, member=member, profile=profile)),
            key=lambda limit: limit.value,
        )
        limit = limits.summed([least, deviation], clause=f"{least.clause} and {deviation.clause}")
        if member == "slab" and ground is not None and ground.value > limit.value:
            limit = ground
        yield from _below(limit, member=member, subject=subject, cover=cover, words=words)


def _lasting(sheet: DesignSheet, *, given: Durability, profile: Profile) -> tuple[str, Value] | None:
    """The minimum cover for durability of the class that asks most."""
    found = []
    for name in limits.exposures(sheet):
        british = exposure.british_covers(name, profile=profile) if given.values == "british" else ()
        column = _SHARED_COLUMN.get(name, name)
        limit = profile.find(f"cover.durability.{given.structural_class or _USUAL_CLASS}.{column}")
        if british:
            row = profile.value(f"british.{'XC3' if name == 'XC4' else name}.{british[0]}.grade_min")
            limit = replace(row, value=float(british[0]), unit="mm")
        if limit is not None:
            found.append((name, limit))
    return limits.strictest(found, least=True)


def _bond(sheet: DesignSheet, *, member: str, profile: Profile) -> Value:
    """Minimum cover for bond: the bar's size; of a beam's main bar less the stirrup that lies outside it."""
    share = profile.value("cover.to_bar_min")
    if member == "slab":
        size = max(limits.slab_bar_sizes(sheet), default=0)
    else:
        links, main = limits.beam_bar_sizes(sheet)
        link = max(links, default=0)
        size = max(link, max(main, default=0) - link)
    return replace(share, value=share.value * size, unit="mm")


def _american(sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    surroundings = None if sheet.durability is None else sheet.durability.surroundings
    if surroundings is None:
        yield finding.note(
            "cover.surroundings_open",
            subject="durability.surroundings",
            severity=Severity.NOTE,
            params={},
            source=profile.value("cover.sheltered.slab").citation,
        )
    words = {"exposure": (surroundings or "sheltered").replace("blinding", "blinding, as weather")}
    for member, subject, cover in _members(sheet):
        links, main = limits.beam_bar_sizes(sheet)
        sizes = limits.slab_bar_sizes(sheet) if member == "slab" else (links or main)
        key = _american_row(surroundings, member=member, bar=max(sizes, default=0), profile=profile)
        limit = profile.value(f"cover.{key}")
        yield from _below(limit, member=member, subject=subject, cover=cover, words=words)


def _american_row(surroundings: str | None, *, member: str, bar: int, profile: Profile) -> str:
    if surroundings == "earth" and member == "slab":
        return "earth"
    if surroundings in {"weather", "blinding", "earth"}:
        small = bar <= profile.number("cover.small_bar_max")
        return "weather.small" if small else "weather.large"
    if member == "beam":
        return "sheltered.beam"
    return "sheltered.slab_heavy" if bar >= profile.number("cover.heavy_bar_min") else "sheltered.slab"


_RULES: Final[Mapping[str, Callable[[DesignSheet, Profile], Iterator[Finding]]]] = {
    "is": _indian,
    "en": _european,
    "aci": _american,
}
