"""Casting checks on what surrounds the concrete: drawing, curing, allowances, openings, cutting of bars."""

from collections.abc import Iterator
from typing import Final

from estimates.calc import allowances
from estimates.calc import packs as packing
from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.cutting import best_fit
from estimates.calc.mix import methods
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel import members
from estimates.calc.steel.schedule import Schedule
from estimates.calc.works import curing as curing_days
from estimates.standards.load import Profile

_TRIMMER: Final = "trimm"


def drawing(sheet: DesignSheet) -> Iterator[Finding]:
    """Engineer, revision and date of the drawing.

    Source: common practice: a slab is cast to the latest drawing of an engineer who answers for it.

    Args:
        sheet: the design sheet.

    Yields:
        A warning for each that the drawing does not show.
    """
    shown = [
        ("drawing.engineer", "drawing.engineer", sheet.drawing.engineer.strip()),
        ("drawing.revision", "drawing.revision", sheet.drawing.revision.strip()),
        ("drawing.date", "drawing.dated", sheet.drawing.dated),
    ]
    for code, subject, value in shown:
        if not value:
            yield finding.note(code, subject=subject, severity=Severity.WARN, params={})


def curing(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Days of curing against the least, and whether the cement is known.

    Source: IS 456 cl. 13.5.1, as `curing.days` of the standards data cites it.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A finding for a cure too short, a note for a cement not known.
    """
    least = curing_days.least_days(sheet.curing, profile=profile)
    if sheet.curing.days is not None and sheet.curing.days < least.value:
        days = float(sheet.curing.days)
        yield finding.against(least, code="curing.days", subject="curing.days", value=days, params={})
    if sheet.curing.cement == "unknown" and sheet.curing.days is None:
        words = {"limit": f"{least.value:g}"}
        code = "curing.cement"
        yield finding.note(code, subject=code, severity=Severity.NOTE, params=words, source=least.citation)


def allowance(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    """Allowances of the sheet on top of the loss that a dry-volume factor holds.

    Source: derived: `mix.loss_held`; no loss is bought twice.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        A note for each kind of material that may be allowed for twice.

    Raises:
        ValueError: the profile lacks the sheet's mix method.
    """
    held = methods.loss_held(sheet.mix, profile=profile)
    for kind, percent in sheet.allowances.items():
        if held and percent and kind in allowances.IN_THE_MIX:
            words = {"value": f"{percent:g}", "kind": kind, "held": f"{held:.2f}"}
            subject = f"allowances.{kind}"
            source = profile.value("mix_loss.factor_without_loss").citation
            yield finding.note(
                "allowance.twice", subject=subject, severity=Severity.NOTE, params=words, source=source
            )


def openings(sheet: DesignSheet) -> Iterator[Finding]:
    """Openings wider than the spacing of the slab's bars, with no bar for their edges.

    Source: common practice: bars cut by an opening are made good beside it, as the engineer says.

    Args:
        sheet: the design sheet.

    Yields:
        A warning for each opening, but those whose trimmers the engineer has answered for.
    """
    beams = {beam.name for beam in sheet.beams}
    bars = [bar for bar in sheet.bars if not members.beams_named(bar.member, beams=beams)]
    spacings = [bar.count_rule.spacing_mm for bar in bars if bar.count_rule is not None]
    words = [f"{bar.member} {bar.remark}".casefold() for bar in bars]
    if not spacings or any(_TRIMMER in text for text in words):
        return
    answered = {answer.opening for answer in sheet.answers if answer.question == "trimmers"}
    for index, opening in enumerate(sheet.openings):
        if opening.name in answered:
            continue
        sides = sorted(max(place) - min(place) for place in zip(*opening.corners, strict=True))
        named = any(opening.name.casefold() in text for text in words)
        if not named and sides[-1] > min(spacings):
            params = {
                "opening": opening.name,
                "long": f"{sides[-1]:g}",
                "short": f"{sides[0]:g}",
                "spacing": f"{min(spacings):g}",
            }
            yield finding.note(
                "opening.trimmers", subject=f"openings[{index}]", severity=Severity.WARN, params=params
            )


def cutting_of_bars(sheet: DesignSheet, *, schedule: Schedule, profile: Profile) -> Iterator[Finding]:
    """Stock bars that plain cutting takes, against those that an order by length would bring.

    Source: derived: `best_fit.bars_needed` on the schedule's pieces; an order is net and allowance in whole
    bars.

    Args:
        sheet: the design sheet.
        schedule: its bar schedule worked out.
        profile: the standards profile.

    Yields:
        A warning for each size whose order by length is too small.
    """
    percent = allowances.percent("steel", sheet=sheet, profile=profile)
    for size in schedule.sizes:
        pieces = [piece for mark in schedule.marks if mark.size_mm == size.size_mm for piece in mark.pieces]
        stock = size.stock_length_mm
        needed = best_fit.bars_needed([(piece.length_mm, piece.count) for piece in pieces], stock_mm=stock)
        bar = packing.PackSize("bar", stock, "mm", profile.value("steel.stock_length").citation)
        ordered = packing.rounded_up(size.length_mm * (1 + percent.value / 100), pack=bar).packs
        if needed > ordered:
            words = {
                "size": profile.bar(size.size_mm).designation,
                "value": needed,
                "stock": f"{stock / 1000:g}",
                "ordered": ordered,
            }
            subject = f"steel.size.{size.size_mm}"
            yield finding.note(
                "steel.cutting", subject=subject, severity=Severity.WARN, params=words, source="derived"
            )


def schedule_questions(schedule: Schedule) -> Iterator[Finding]:
    """What the bar schedule itself makes one ask.

    Source: each question names its own.

    Args:
        schedule: the bar schedule worked out.

    Yields:
        A warning for each question, a note for one that the engineer has answered.
    """
    for question in schedule.findings:
        yield Finding(
            code=question.code,
            severity=Severity.NOTE if question.answer else Severity.WARN,
            subject=f"bars.{question.mark}",
            template=question.text.replace("%", "%%"),
        )
