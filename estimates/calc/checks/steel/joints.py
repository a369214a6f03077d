"""Casting checks on laps that the engineer allowed, and on bent ends, against the profile's code."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.checks.steel import bars
from estimates.calc.detailing.ec2 import lengths as ec2
from estimates.calc.sheet.answers import Answer
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.steel import BarMark, SpacingRule
from estimates.calc.sheet.types import Dimension
from estimates.calc.steel import lengths, members
from estimates.calc.steel.lengths import Place
from estimates.standards.load import Profile, StandardsError, Value

_ALL: Final = 100.0
_NOISE_MM: Final = 0.5
_TOP: Final = "top"
_LEGS: Final[Mapping[str, tuple[Dimension, ...]]] = {"l": ("B",), "u": ("A", "C")}


def find(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Laps against length, share at one section and size; legs of bent bars against their least.

    Source: IS 456 cl. 26.2.5, EC2 section 8.7, ACI 318 cl. 25.5; IS 2502, BS 8666 table 2, ACI 318 table
    25.3.1. The engineer has answered for the laps, so these can at most warn.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for each limit that is not kept.
    """
    for index, answer in enumerate(sheet.answers):
        if answer.question == "lap":
            yield from _laps(answer, subject=f"answers[{index}]", sheet=sheet, profile=profile)
            yield from _share(answer, subject=f"answers[{index}]", profile=profile)
    for index, bar in enumerate(sheet.bars):
        yield from _legs(bar, subject=f"bars[{index}]", profile=profile)
        yield from _bundle(bar, subject=f"bars[{index}]", profile=profile)


def _laps(answer: Answer, *, subject: str, sheet: DesignSheet, profile: Profile) -> Iterator[Finding]:
    bars_by_mark: dict[str, BarMark | SpacingRule] = {bar.mark: bar for bar in sheet.bars}
    bars_by_mark |= {mark: rule for rule in sheet.spacing_rules for mark in rule.marks}
    clear = {one.mark: one.clear_mm for one in bars.spread(sheet, profile=profile)}
    largest = profile.value("laps.size_most")
    for mark in answer.marks:
        bar = bars_by_mark[mark]
        if bar.size_mm > largest.value:
            words = {"mark": mark, "size": profile.bar(bar.size_mm).designation}
            found = finding.against(
                largest, code="steel.lap_size", subject=subject, value=bar.size_mm, params=words
            )
            yield replace(found, severity=Severity.WARN)
        place = _place(bar, answer=answer, clear_mm=clear.get(mark), sheet=sheet)
        yield from _length(mark, place=place, answer=answer, subject=subject, sheet=sheet, profile=profile)


def _place(
    bar: BarMark | SpacingRule, *, answer: Answer, clear_mm: float | None, sheet: DesignSheet
) -> Place:
    beams = {beam.name for beam in sheet.beams}
    if isinstance(bar, BarMark):
        in_beam = bool(members.beams_named(bar.member, beams=beams))
        top = _TOP in f"{bar.member} {bar.remark}".casefold().split()
    else:
        in_beam, top = False, bar.layer == "top"
    cover = sheet.beam_cover_mm if in_beam and sheet.beam_cover_mm is not None else sheet.cover_mm
    return Place(
        size_mm=bar.size_mm,
        cover_mm=cover,
        top=top,
        clear_mm=None if in_beam else clear_mm,
        lapped_percent=answer.share_percent or _ALL,
        bundle=(bar.bundle or 1) if isinstance(bar, BarMark) else 1,
    )


def _length(
    mark: str, *, place: Place, answer: Answer, subject: str, sheet: DesignSheet, profile: Profile
) -> Iterator[Finding]:
    """The lap that the engineer gave against that of the code for a fully used bar."""
    try:
        needed = lengths.lap(sheet, place, profile=profile)
    except StandardsError as lack:
        why = {"mark": mark, "why": str(lack)}
        yield finding.note("steel.lap_open", subject=subject, severity=Severity.NOTE, params=why)
        return
    given = answer.lap_mm or 0.0
    if given < needed.value - _NOISE_MM:
        code = "steel.lap_short"
        words = {"mark": mark, "value": f"{given:g}", "limit": f"{needed.value:.0f}"}
        found = finding.note(
            code, subject=subject, severity=Severity.WARN, params=words, source=needed.source
        )
        yield replace(found, value=given, limit=needed.value, unit=needed.unit)


def _share(answer: Answer, *, subject: str, profile: Profile) -> Iterator[Finding]:
    """How many of the bars are joined at one section: without a word about staggering, all of them."""
    limit = profile.value("laps.share_most")
    share = answer.share_percent or _ALL
    if share > limit.value:
        words = {"marks": ", ".join(answer.marks)}
        found = finding.against(limit, code="steel.lap_share", subject=subject, value=share, params=words)
        yield replace(found, severity=Severity.WARN)


def _legs(bar: BarMark, *, subject: str, profile: Profile) -> Iterator[Finding]:
    """Legs of plain L and U bars; a shape by its code has the catalogue's least."""
    letters = _LEGS.get(bar.shape, ())
    if not letters:
        return
    limit = least_leg(bar.size_mm, profile=profile)
    for letter in letters:
        if bar.dimensions[letter] < limit.value - _NOISE_MM:
            words = {"mark": bar.mark, "letter": letter, "size": profile.bar(bar.size_mm).designation}
            value = bar.dimensions[letter]
            yield finding.against(limit, code="steel.leg", subject=subject, value=value, params=words)


def _bundle(bar: BarMark, *, subject: str, profile: Profile) -> Iterator[Finding]:
    """Bars in a bundle, and the size of the one bar that EC2 takes it for."""
    if bar.bundle is None:
        return
    most = profile.value("laps.bundle_most")
    words = {"mark": bar.mark}
    if bar.bundle > most.value:
        yield finding.against(most, code="steel.bundle_bars", subject=subject, value=bar.bundle, params=words)
    largest = profile.find("laps.bundle_size_most")
    size = ec2.bundle_size(bar.size_mm, bars=bar.bundle).value
    if largest is not None and size > largest.value:
        yield finding.against(largest, code="steel.bundle_size", subject=subject, value=size, params=words)


def least_leg(size_mm: int, *, profile: Profile) -> Value:
    """Least outside length of the leg of a bent end.

    Source: the profile's `detailing.leg`: radius, bar and straight part, at least a length.

    Args:
        size_mm: nominal size [mm].
        profile: the standards profile.

    Returns:
        The limit [mm].

    >>> from estimates.standards import load
    >>> least_leg(16, profile=load.profile("en")).value
    128.0
    """
    large = size_mm >= profile.number("detailing.leg.large_from")
    radius = profile.value(f"detailing.leg.radius_{'large' if large else 'small'}")
    extension = profile.value("detailing.leg.extension")
    least = profile.find("detailing.leg.least")
    diameter = profile.bar(size_mm).diameter_mm
    weaker = radius if extension.provenance.may_stop else extension
    length = (radius.value + 1 + extension.value) * diameter
    clause = f"{extension.clause} and {radius.clause}"
    limit = replace(weaker, value=length, unit="mm", clause=clause)
    return least if least is not None and least.value > length else limit
