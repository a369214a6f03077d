"""Checks of a design sheet's spacing rules: sizes, regions, room between the covers."""

from collections.abc import Iterator
from typing import Final

from estimates.calc import spacing
from estimates.calc.reading import bar_checks
from estimates.calc.sheet import outline as outlines
from estimates.calc.sheet.draft import Draft
from estimates.calc.sheet.faults import Fault, show
from estimates.calc.sheet.steel import SpacingRule
from estimates.calc.steel import laid
from estimates.standards.values import Profile

_MOST_BARS: Final = 20_000


def faults(draft: Draft, *, profile: Profile | None) -> Iterator[Fault]:
    """Finds what is impossible in the spacing rules of a sheet.

    Source: derived: plane geometry and the profile's bar table; no limit of a code is tested here.

    Args:
        draft: the parts of the sheet that could be read.
        profile: the standards profile, None when the sheet names none.

    Returns:
        The faults in the order of the sheet.

    >>> list(faults(Draft(), profile=None))
    []
    """
    for index, rule in draft.spacing_rules.items():
        path, name = f"spacing_rules[{index}]", f"spacing_rules[{index}] {rule.mark}"
        yield from bar_checks.unknown_size(rule.size_mm, name=name, path=path, profile=profile)
        yield from _counted(rule, name=name, path=path)
        yield from _region(rule, name=name, path=path, draft=draft)
        yield from _cranked(rule, name=name, path=path, draft=draft)
    yield from _spread(draft)


def _region(rule: SpacingRule, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    if rule.region is None:
        return
    shape = outlines.faults_of(rule.region)
    for code, sentence in shape:
        yield Fault(f"{path}.region", code, f"{name}: its region {sentence}")
    if shape or draft.outline is None or outlines.faults_of(draft.outline):
        return
    if not outlines.area_shared_mm2(rule.region, other=draft.outline):
        message = f"{name}: its region lies outside the slab's outline; move it onto the slab"
        yield Fault(f"{path}.region", "region_off_slab", message)


def _cranked(rule: SpacingRule, *, name: str, path: str, draft: Draft) -> Iterator[Fault]:
    """A crank stays within the thickest part of the slab."""
    if rule.every_second is None or draft.thickness_mm is None:
        return
    most = max([draft.thickness_mm, *(panel.thickness_mm or 0 for panel in draft.shapes.panels.values())])
    if rule.every_second.rise_mm >= most:
        message = (
            f"{name}: every_second.rise_mm {show(rule.every_second.rise_mm)} mm must be less than the slab's "
            f"thickness {show(most)} mm; it is the height of the crank between centre lines"
        )
        yield Fault(f"{path}.every_second.rise_mm", "too_large", message)


def _counted(rule: SpacingRule, *, name: str, path: str) -> Iterator[Fault]:
    """A printed number settles the lines of one direction, spread evenly."""
    if rule.number is None:
        return
    if rule.direction == "both":
        message = f"{name}: number {rule.number} cannot stand for two directions; write a rule for each"
        yield Fault(f"{path}.number", "field_superfluous", message)
    if rule.first_bar is not None:
        message = f"{name}: with number the bars are spread evenly; take first_bar out, or number"
        yield Fault(f"{path}.first_bar", "field_superfluous", message)


def _spread(draft: Draft) -> Iterator[Fault]:
    """Each rule leaves room between its covers, and all together stay within the limit."""
    if draft.outline is None or draft.cover_mm is None:
        return
    total = 0.0
    for index, rule in draft.spacing_rules.items():
        cover, region = rule.end_cover_mm or draft.cover_mm, rule.region or draft.outline
        path = f"spacing_rules[{index}]"
        for direction in laid.DIRECTIONS[rule.direction]:
            extent = spacing.extent_mm(region, direction=direction, angle_deg=rule.angle_deg or 0)
            total += max(extent / rule.spacing_mm + 2, rule.number or 0)
            if extent <= 2 * cover:
                yield Fault(
                    path,
                    "no_length_left",
                    f"{path} {rule.mark}: two covers of {show(cover)} mm leave nothing of the "
                    f"{show(extent)} mm across its bars; correct region, direction or cover",
                )
    if total > _MOST_BARS:
        yield Fault(
            "spacing_rules",
            "too_many_bars",
            f"the spacing rules give more than {_MOST_BARS} bars; correct a spacing_mm, it is in mm",
        )
