"""Casting checks of a design sheet against the profile's limits. A finding never changes a quantity."""

from collections.abc import Iterator

from estimates.calc.checks import concrete as check_concrete
from estimates.calc.checks import cover as check_cover
from estimates.calc.checks import exposure as check_exposure
from estimates.calc.checks import mix as check_mix
from estimates.calc.checks import placing as check_placing
from estimates.calc.checks import shape as check_shape
from estimates.calc.checks import site as check_site
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.checks.steel import amount as check_amount
from estimates.calc.checks.steel import joints as check_joints
from estimates.calc.checks.steel import spacing as check_spacing
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel import schedule
from estimates.standards.load import Profile

__all__ = ["Finding", "Severity", "find"]


def find(sheet: DesignSheet, *, profile: Profile) -> tuple[Finding, ...]:
    """Checks a design sheet.

    Source: the profile's limits, each cited in its finding. A limit known from memory or from practice can at
    most warn.

    Args:
        sheet: the design sheet, as its reader accepted it.
        profile: the standards profile.

    Returns:
        The findings: those that stop first, then warnings, then notes.

    Raises:
        ValueError: the profile lacks the sheet's mix method or a bar size.
    """
    ranks = list(Severity)
    return tuple(sorted(_all(sheet, profile=profile), key=lambda found: ranks.index(found.severity)))


def _all(sheet: DesignSheet, *, profile: Profile) -> Iterator[Finding]:
    yield from check_exposure.find(sheet, profile=profile)
    yield from check_cover.find(sheet, profile=profile)
    yield from check_concrete.cement(sheet, profile=profile)
    yield from check_concrete.strength_class(sheet, profile=profile)
    yield from check_concrete.nominal(sheet, profile=profile)
    yield from check_mix.find(sheet, profile=profile)
    yield from check_concrete.thickness(sheet, profile=profile)
    yield from check_concrete.stone(sheet, profile=profile)
    yield from check_placing.find(sheet, profile=profile)
    yield from check_site.drawing(sheet)
    yield from check_site.curing(sheet, profile=profile)
    yield from check_site.allowance(sheet, profile=profile)
    yield from check_site.openings(sheet)
    yield from check_shape.joints(sheet)
    yield from check_shape.falsework(sheet)
    bars = schedule.compute(sheet, profile=profile)
    yield from check_site.schedule_questions(bars)
    yield from check_spacing.find(sheet, profile=profile)
    yield from check_amount.find(sheet, schedule=bars, profile=profile)
    yield from check_joints.find(sheet, profile=profile)
    yield from check_site.cutting_of_bars(sheet, schedule=bars, profile=profile)
