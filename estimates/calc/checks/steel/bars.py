"""The slab's bars that lie at a known spacing, by rule or by row, as the checks see them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.sheet.types import BarUse
from estimates.calc.steel import laid, members
from estimates.standards.load import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Bars at a spacing: `subject` is their place in the sheet; `direction` and `layer` are None in a row.

    A bundle counts as one bar of its area.
    `whole` tells whether they cover the whole slab along an axis. Lengths in mm, `area_mm2_m` per metre.
    """

    subject: str
    mark: str
    size_mm: int
    diameter_mm: float
    spacing_mm: float
    area_mm2_m: float
    direction: str | None
    layer: str | None
    use: BarUse | None
    whole: bool

    @property
    def clear_mm(self) -> float:
        """Clear distance between two of them [mm]."""
        return self.spacing_mm - self.diameter_mm


def spread(sheet: DesignSheet, *, profile: Profile) -> Iterator[Spread]:
    """All bars of the slab with a spacing.

    Source: the sheet's spacing rules, and rows of the bar schedule that give a spacing and name no beam.

    Args:
        sheet: the design sheet.
        profile: the standards profile.

    Yields:
        The bars, those in two directions once for each.

    Raises:
        ValueError: the profile's table lacks a bar size.
    """
    for index, rule in enumerate(sheet.spacing_rules):
        bar = profile.bar(rule.size_mm)
        for direction in laid.DIRECTIONS[rule.direction]:
            yield Spread(
                subject=f"spacing_rules[{index}]",
                mark=rule.mark,
                size_mm=rule.size_mm,
                diameter_mm=bar.diameter_mm,
                spacing_mm=rule.spacing_mm,
                area_mm2_m=bar.area_mm2 * 1000 / rule.spacing_mm,
                direction=direction,
                layer=rule.layer,
                use=rule.use,
                whole=rule.region is None and not rule.angle_deg and rule.shorter_mm is None,
            )
    beams = {beam.name for beam in sheet.beams}
    for index, row in enumerate(sheet.bars):
        if row.count_rule is None or members.beams_named(row.member, beams=beams):
            continue
        bar = profile.bar(row.size_mm)
        yield Spread(
            subject=f"bars[{index}]",
            mark=row.mark,
            size_mm=row.size_mm,
            diameter_mm=bar.diameter_mm * math.sqrt(row.bundle or 1),
            spacing_mm=row.count_rule.spacing_mm,
            area_mm2_m=bar.area_mm2 * (row.bundle or 1) * 1000 / row.count_rule.spacing_mm,
            direction=None,
            layer=None,
            use=None,
            whole=False,
        )
