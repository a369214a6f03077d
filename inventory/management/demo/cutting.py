"""Cutting in the demo: offcuts from earlier jobs, one slab cut and carried, the next one planned."""

from __future__ import annotations

import time
from dataclasses import dataclass
from decimal import Decimal

from inventory.management.demo.clerk import Clerk
from inventory.management.demo.firm import SUPPLIERS, Crew
from inventory.queries.cutting import pieces, plans
from inventory.services import opening
from inventory.services.cutting import asking, bench, issuing, reserving, solving
from inventory.services.cutting.asking import AskAct
from inventory.services.cutting.bench import CutAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.cutting.reserving import PlanAct
from inventory.services.cutting.settings import SettingsAct
from inventory.services.opening import OpeningAct, OpeningLineAct
from projects.access import actor as actors

_CEMENT, _STONE, STEEL, _SUNDRIES = SUPPLIERS
FAST = SettingsAct(seconds=2)
LENGTHS = (12_000, 9_000, 6_000)
OFFCUTS = (("steel-8", 4_150, 6), ("steel-10", 3_100, 8), ("steel-12", 5_600, 3), ("steel-16", 4_700, 2))
"""Material, length [mm] and number of what lay in the yard of Ridge House."""


@dataclass(frozen=True)
class Cutting:
    """The bench of Ridge House."""

    clerk: Clerk
    crew: Crew

    def tell(self, *, cut: int, pour_id: int, planned: int) -> None:
        """Cut one slab's bars and carry some of them; plan the other slab with lengths that can be bought."""
        self._offcuts(days=-6)
        self._cut(self._plan(cut, lengths=None, days=-2, hour=12), pour_id=pour_id)
        self._plan(planned, lengths=LENGTHS, days=0, hour=7)

    def _offcuts(self, *, days: int) -> None:
        """Count what earlier jobs left, at the price of new bars by length."""
        clerk = self.clerk
        lines = tuple(
            OpeningLineAct(
                material_id=clerk.material_id(code),
                amount=Decimal(number),
                value_minor=number
                * length
                * (clerk.kept[code].material.nominal_mg_per_mm or 0)
                * 64
                // 10_000,
                supplier_id=self.crew.suppliers[STEEL],
                lot_label=f"rest {length}",
                bar_length_mm=length,
                offcut=True,
            )
            for code, length, number in OFFCUTS
        )
        act = OpeningAct(site_id=self.crew.sites["Ridge House"], happened_at=clerk.at(days), lines=lines)
        clerk.do(opening.record, act, by=self.crew.office, days=days)

    def _plan(self, slab_id: int, *, lengths: tuple[int, ...] | None, days: int, hour: int) -> int:
        act = AskAct(
            site_id=self.crew.sites["Ridge House"], slab_ids=(slab_id,), buy_lengths_mm=lengths, settings=FAST
        )
        plan = self.clerk.do(asking.ask, act, by=self.crew.office, days=days, hour=hour)
        jobs = actors.for_jobs(self.crew.office.firm_id)
        solving.work_out(actor=jobs, plan_id=plan.pk, now=self.clerk.at(days, hour), clock=time.monotonic)
        return int(plan.pk)

    def _cut(self, plan_id: int, *, pour_id: int) -> None:
        """Reserve the bars, tick every pattern but the last, and carry half of the pieces to the forms."""
        clerk, by = self.clerk, self.crew.site_of["Ridge House"]
        clerk.do(reserving.reserve, PlanAct(plan_id=plan_id), by=self.crew.office, days=-2, hour=13)
        for one in plans.one(by, plan_id=plan_id).patterns[:-1]:
            act = CutAct(pattern_id=one.row.pk, bars=one.row.bars, done_before=0)
            if one.row.origin != "buy":
                clerk.do(bench.cut, act, by=by, days=-1, hour=9)
        half = [(row.need.pk, row.at_bench // 2) for row in pieces.of_plan(plan_id)]
        chosen = tuple(PieceAct(need_id=pk, count=count) for pk, count in half if count)
        issue = IssuePiecesAct(pour_id=pour_id, pieces=chosen, given_to="the steel fixers")
        clerk.do(issuing.issue, issue, by=by, days=-1, hour=15)
