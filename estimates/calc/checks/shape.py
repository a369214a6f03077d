"""Checks of joints and of what holds the fresh concrete: questions for the engineer, never a quantity."""

from collections.abc import Iterator

from estimates.calc.checks import finding
from estimates.calc.checks.finding import Finding, Severity
from estimates.calc.sheet.parts import DesignSheet


def joints(sheet: DesignSheet) -> Iterator[Finding]:
    """Construction joints that no engineer has agreed to, by name and date.

    Source: common practice: a joint stands where the engineer agreed that it may.

    Args:
        sheet: the design sheet.

    Yields:
        A warning for each such joint.
    """
    for index, joint in enumerate(sheet.construction_joints):
        if not joint.engineer.strip() or joint.agreed is None:
            yield finding.note(
                "joint.agreed",
                subject=f"construction_joints[{index}]",
                severity=Severity.WARN,
                params={"joint": joint.name},
            )


def falsework(sheet: DesignSheet) -> Iterator[Finding]:
    """Props and planks that are not known.

    Source: common practice: props are designed by a competent person; no spacing is taken for granted.

    Args:
        sheet: the design sheet.

    Yields:
        A note while the formwork designer's counts are missing.
    """
    if sheet.falsework is None or not sheet.falsework.items:
        yield finding.note("falsework.unknown", subject="falsework", severity=Severity.NOTE, params={})
