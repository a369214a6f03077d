"""Pieces cut, or promised to a plan, that a slab's new bill no longer asks for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from estimates.calc.steel import schedule
from estimates.models import Bill, Material
from estimates.queries import designs, standards
from inventory.calc import cut_fit
from inventory.calc.cut_fit import Asked, Misfit
from inventory.models import CuttingNeed, CuttingPlan
from inventory.queries.cutting import needs, pieces
from projects.access.actor import Actor


@dataclass(frozen=True, kw_only=True)
class Row:
    """Pieces of one mark and length that do not fit, and where those that are cut lie now."""

    mark: str
    member: str
    material: Material
    shape: str
    length_mm: int
    cut: int
    issued: int
    misfit: Misfit
    plans: tuple[CuttingPlan, ...]

    @property
    def at_bench(self) -> int:
        """Cut and not yet carried to the slab."""
        return self.cut - self.issued


def of_bill(actor: Actor, *, bill: Bill) -> tuple[Row, ...]:
    """Return the pieces of the bill's slab that its bar schedule has no place for, by mark and length.

    Refused with Unworkable when the design no longer fits the standards data; nothing is worked out while
    nothing is cut.
    """
    kept = pieces.of_slab(actor, slab_id=bill.design.slab_id)
    if not kept:
        return ()
    asked = _asked(actor, bill=bill)
    alike: defaultdict[tuple[str, int, int], list[pieces.Row]] = defaultdict(list)
    for row in kept:
        alike[row.need.mark, row.need.length_mm, row.need.material_id].append(row)
    judged = (_row(rows, asked=asked.get(mark)) for (mark, _length, _material), rows in alike.items())
    return tuple(row for row in judged if row is not None)


def _row(rows: list[pieces.Row], *, asked: Asked | None) -> Row | None:
    need: CuttingNeed = rows[0].need
    cut = sum(row.cut for row in rows)
    running = [row for row in rows if row.need.plan.state == CuttingPlan.State.RESERVED]
    found = cut_fit.judge(
        cut_fit.Pieces(
            size_mm=need.material.size_mm or 0,
            grade=need.material.grade,
            shape=need.shape,
            length_mm=need.length_mm,
            cut=cut,
            to_cut=sum(row.to_cut for row in running),
        ),
        asked=asked,
    )
    if found is None:
        return None
    return Row(
        mark=need.mark,
        member=need.member,
        material=need.material,
        shape=need.shape,
        length_mm=need.length_mm,
        cut=cut,
        issued=sum(row.issued for row in rows),
        misfit=found,
        plans=tuple(dict.fromkeys(row.need.plan for row in rows if row.cut or row in running)),
    )


def _asked(actor: Actor, *, bill: Bill) -> dict[str, Asked]:
    """What the bill's schedule asks for, by mark."""
    sheet = designs.sheet_of(bill.design)
    worked = schedule.compute(sheet, profile=standards.of_firm(actor, profile_id=sheet.profile))
    lengths: defaultdict[str, dict[int, int]] = defaultdict(dict)
    found: dict[str, Asked] = {}
    for (mark, length), (row, count) in needs.by_mark(worked).items():
        lengths[mark][length] = count
        found[mark] = Asked(
            size_mm=row.size_mm, grade=sheet.steel_grade, shape=str(row.shape), lengths=lengths[mark]
        )
    return found
