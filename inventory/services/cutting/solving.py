"""Working a plan out: the search is followed from outside, and its result is written whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from estimates.calc.cutting import checking
from estimates.calc.cutting.facts import Clock, Pattern, Plan, Progress, Task
from estimates.models import Material
from inventory.models import CuttingNeed, CuttingPattern, CuttingPlan, CuttingResult, PatternPiece
from inventory.services.cutting import advising, inputs
from projects.access import scope
from projects.access.actor import Actor

State = CuttingPlan.State

MOST_SECONDS_IN_ALL = 150
"""Of search in one plan: well within the time that a worker has for a job."""

TELL_EVERY_S = 0.5
"""How often the search is written down for who watches it."""


def work_out(*, actor: Actor, plan_id: int, now: datetime, clock: Clock) -> CuttingPlan:
    """Search the plan's patterns and write them all at once; done twice, the second finds it done.

    What cannot be cut fails the plan in words. A plan that a person has stopped stays stopped. Any other
    fault is the job's: it is tried again, and nothing is written.
    """
    plan = scope.get(CuttingPlan.objects.all(), actor, pk=plan_id)
    begun = CuttingPlan.objects.filter(pk=plan.pk, state__in=CuttingPlan.RUNNING).update(state=State.SOLVING)
    if not begun:
        return plan
    found: list[_Size] = []
    sizes = plan.inputs["sizes"]
    settings = inputs.settings_of(plan)
    seconds = min(settings.seconds, MOST_SECONDS_IN_ALL / len(sizes))
    masses = dict(Material.objects.filter(firm_id=plan.firm_id).values_list("pk", "nominal_mg_per_mm"))
    try:
        for number, size in enumerate(sizes, start=1):
            watch = _Watch(plan.pk, step=number, of=len(sizes), size=size, clock=clock)
            task = inputs.task(size, settings=settings)
            search = advising.Search(clock=clock, seconds=seconds, progress=watch.tell)
            mass = masses[size["material_id"]] or 0
            solved, advice = advising.search(task, size=size, plan=plan, mg_per_mm=mass, search=search)
            faults = checking.check(task, solved)
            if faults:
                return _fail(plan, error=_("the checker refuses the plan: %s") % "; ".join(faults), now=now)
            found.append(_Size(size=size, task=task, solved=solved, advice=advice))
    except _StoppedError:
        plan.refresh_from_db()
        return plan
    except ValueError as fault:
        return _fail(plan, error=str(fault), now=now)
    return _write(plan, found=found, now=now)


class _StoppedError(Exception):
    """A person wants the search to end."""


@dataclass(frozen=True)
class _Size:
    """What was found for one size."""

    size: Mapping[str, Any]
    task: Task
    solved: Plan
    advice: dict[str, Any] | None


class _Watch:
    """Follows a search: writes down where it stands, and ends it when a person wants that."""

    def __init__(self, plan_id: int, *, step: int, of: int, size: Mapping[str, Any], clock: Clock) -> None:
        self._rows = CuttingPlan.objects.filter(pk=plan_id, state=State.SOLVING)
        self._fixed = {"step": step, "of": of, "material_id": size["material_id"]}
        self._clock = clock
        self._told: float | None = None

    def tell(self, progress: Progress) -> None:
        if self._told is not None and self._clock() - self._told < TELL_EVERY_S:
            return
        self._told = self._clock()
        if not self._rows.update(progress=self._fixed | asdict(progress)):
            raise _StoppedError


def _fail(plan: CuttingPlan, *, error: str, now: datetime) -> CuttingPlan:
    CuttingPlan.objects.filter(pk=plan.pk, state=State.SOLVING).update(
        state=State.FAILED, error=error[:400], ended_at=now
    )
    plan.refresh_from_db()
    return plan


def _write(plan: CuttingPlan, *, found: list[_Size], now: datetime) -> CuttingPlan:
    with transaction.atomic():
        row = CuttingPlan.objects.select_for_update().get(pk=plan.pk)
        if row.state != State.SOLVING:
            return row
        needs = {(n.slab_id, n.mark, n.length_mm): n for n in CuttingNeed.objects.filter(plan=row)}
        position = 0
        for one in found:
            own = [needs[p["slab_id"], p["mark"], p["length_mm"]] for p in one.size["pieces"]]
            CuttingResult.objects.create(plan=row, **_result(one))
            for pattern in one.solved.patterns:
                position += 1
                _write_pattern(row, position=position, pattern=pattern, of=one, needs=own)
        row.state, row.solved_at, row.progress = State.PROPOSED, now, {}
        row.save(update_fields=["state", "solved_at", "progress"])
        return row


def _write_pattern(
    plan: CuttingPlan, *, position: int, pattern: Pattern, of: _Size, needs: list[CuttingNeed]
) -> None:
    task, stock = of.task, of.task.stocks[pattern.stock]
    length = sum(piece.length_mm * n for piece, n in zip(task.pieces, pattern.counts, strict=True))
    row = CuttingPattern.objects.create(
        plan=plan,
        position=position,
        material_id=needs[0].material_id,
        origin=of.size["stocks"][pattern.stock]["origin"],
        bar_length_mm=stock.length_mm,
        bars=pattern.bars,
        blade_mm=stock.length_mm - length - pattern.remainder_mm,
        rest_mm=pattern.remainder_mm,
        rest_kept=pattern.remainder_mm >= task.keep_mm,
    )
    PatternPiece.objects.bulk_create(
        PatternPiece(pattern=row, need=need, per_bar=count)
        for need, count in zip(needs, pattern.counts, strict=True)
        if count
    )


def _result(of: _Size) -> dict[str, Any]:
    solved = of.solved
    return {
        "material_id": of.size["material_id"],
        "new_bars": solved.new_bars,
        "new_mm": solved.new_mm,
        "offcuts_used": solved.offcuts_used,
        "pieces_mm": sum(piece.length_mm * piece.count for piece in of.task.pieces),
        "kept_mm": sum(solved.kept_mm),
        "scrap_mm": solved.scrap_mm,
        "blade_mm": solved.blade_mm,
        "figures": {
            "kept_mm": list(solved.kept_mm),
            "cost": solved.cost,
            "bound": solved.bound,
            "bound_bars": solved.bound_bars,
            "gap": solved.gap,
            "proven": solved.proven,
            "patterns_kept": solved.patterns_kept,
            "method": solved.method.value,
            "ended": solved.ended.value,
            "seconds": solved.seconds,
            "advice": of.advice,
        },
    }
