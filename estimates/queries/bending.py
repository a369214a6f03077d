"""The bar bending schedule of a saved design, with the figures of its shapes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimates.calc.drawing import bar_shape
from estimates.calc.drawing.bar_shape import Figure
from estimates.calc.steel import bending, lengths, schedule
from estimates.calc.steel.bending import BendingSchedule
from estimates.calc.steel.lengths import OfSize
from estimates.models import Design
from estimates.queries import designs, standards
from estimates.queries.unworkable import UNWORKABLE, Unworkable
from estimates.standards import catalogues
from projects.access.actor import Actor


@dataclass(frozen=True, kw_only=True)
class BendingSheet:
    """The schedule, its design, profile and edition, the figures of its shapes, the laps of its sizes."""

    design: Design
    profile: str
    edition: str
    table: BendingSchedule
    figures: Mapping[str, Figure]
    lengths: tuple[OfSize, ...]


def of_design(actor: Actor, *, design_id: int) -> BendingSheet:
    """Work out the bars of a visible design.

    Refused with NotFound when it is not the actor's, with Unworkable when it cannot be worked out today.
    """
    design = designs.one(actor, design_id=design_id)
    sheet = designs.sheet_of(design)
    profile = standards.of_firm(actor, profile_id=sheet.profile)
    try:
        table = bending.table(schedule.compute(sheet, profile=profile), profile=profile)
    except ValueError as fault:
        raise Unworkable(UNWORKABLE % {"why": str(fault)}) from None
    used = {row.shape for row in table.rows}
    return BendingSheet(
        design=design,
        profile=profile.id,
        edition=profile.edition,
        table=table,
        figures=_figures(used),
        lengths=lengths.by_size(sheet, (row.size_mm for row in table.rows), profile=profile),
    )


def _figures(used: set[str]) -> dict[str, Figure]:
    shapes = {
        code: shape for name in catalogues.known() for code, shape in catalogues.load(name).shapes.items()
    }
    drawn = {code: bar_shape.figure(shapes[code]) for code in sorted(used) if code in shapes}
    return {code: figure for code, figure in drawn.items() if figure is not None}
