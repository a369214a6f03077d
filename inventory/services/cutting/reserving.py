"""Taking a plan up, so that its bars are promised to nobody else, and giving it up again."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from estimates.calc.cutting import checking
from estimates.models import Bill
from inventory.models import CuttingNeed, CuttingPattern, CuttingPlan, CuttingResult, Reservation
from inventory.queries.cutting import bars, needs
from inventory.queries.cutting.bars import Heap, Where
from inventory.services import firm_days
from inventory.services.cutting import inputs
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Firm
from projects.services.acts import business_act

State = CuttingPlan.State
Origin = CuttingPattern.Origin


class WrongPlanState(Stale):
    """The plan is past, or not yet in, the state in which this can be done."""

    code = "wrong_plan_state"


class PlanOutOfDate(Stale):
    """A bill, what is left to cut, or the stock has changed since the plan was made."""

    code = "plan_out_of_date"


class PlanFaulty(Refused):
    """The checker found a fault in the plan as it is kept."""

    code = "plan_faulty"
    status = 409


class ReasonMissing(Refused):
    """A plan is given up without a reason."""

    code = "reason_missing"


@dataclass(frozen=True)
class PlanAct:
    """A step of a plan, with its reason where one is asked for."""

    plan_id: int
    reason: str = ""


@business_act(result=CuttingPlan)
def reserve(*, actor: Actor, act: PlanAct, key: str, now: datetime) -> CuttingPlan:
    """Check the plan once more and reserve its bars and offcuts, all of them or none.

    Refused with `plan_out_of_date` when a bill was replaced, pieces are cut elsewhere by now, or bars that it
    counts on are gone or promised; with `plan_faulty` when the checker finds a fault.
    """
    del key
    actor.require(Permission.PLAN_CUTTING)
    Firm.objects.select_for_update(no_key=True).get(
        pk=actor.firm_id
    )  # one plan of a firm is taken up at a time
    plan = locked(actor, plan_id=act.plan_id)
    require_state(plan, State.PROPOSED)
    _require_bills(plan)
    _require_left(actor, plan=plan)
    _require_sound(plan)
    heaps = bars.at_hand(actor, where=_where(plan, actor=actor, now=now))
    Reservation.objects.bulk_create(_reserved(plan, heaps=heaps))
    plan.state, plan.reserved_at, plan.reserved_by_id = State.RESERVED, now, actor.person_id
    plan.save(update_fields=["state", "reserved_at", "reserved_by"])
    return plan


@business_act(result=CuttingPlan)
def end(*, actor: Actor, act: PlanAct, key: str, now: datetime) -> CuttingPlan:
    """Stop a search, turn a plan down, or end one under way: what is cut stays, the rest is free again.

    Refused without a reason once bars are reserved, and for a plan that has ended.
    """
    del key
    actor.require(Permission.PLAN_CUTTING)
    plan = locked(actor, plan_id=act.plan_id)
    require_state(plan, *CuttingPlan.OPEN)
    reason = act.reason.strip()
    if plan.state == State.RESERVED and not reason:
        raise ReasonMissing(_("Say why the plan is given up; it stays on record."), field="reason")
    plan.state, plan.ended_at, plan.end_reason = State.CANCELLED, now, reason[:200]
    plan.save(update_fields=["state", "ended_at", "end_reason"])
    return plan


def locked(actor: Actor, *, plan_id: int) -> CuttingPlan:
    """Lock a plan for a change; NotFound when it is not the actor's."""
    rows = CuttingPlan.objects.select_for_update(of=("self",)).select_related("site")
    return scope.get(rows, actor, pk=plan_id)


def require_state(plan: CuttingPlan, *states: State) -> None:
    """Refuse with `wrong_plan_state` what cannot be done in the plan's state."""
    if plan.state not in states:
        message = _("%(number)s is %(state)s by now, so this can no longer be done. Look at it again.")
        params = {"number": plan.number, "state": plan.get_state_display()}
        raise WrongPlanState(message % params, state=plan.state)


def _where(plan: CuttingPlan, *, actor: Actor, now: datetime) -> Where:
    sites = CuttingNeed.objects.filter(plan=plan).values_list("slab__site_id", flat=True)
    return Where(
        bench_site_id=plan.site_id,
        site_ids=frozenset(sites),
        offered_after_days=inputs.settings_of(plan).offered_after_days,
        today=firm_days.of(now, actor=actor),
    )


def _require_bills(plan: CuttingPlan) -> None:
    gone = CuttingNeed.objects.filter(plan=plan).exclude(bill__state=Bill.State.ISSUED)
    names = sorted(set(gone.values_list("slab__name", flat=True)))
    if names:
        message = _("The bill of %(slabs)s was replaced since. Make the plan again.")
        raise PlanOutOfDate(message % {"slabs": ", ".join(names)}, slabs=names)


def _require_left(actor: Actor, *, plan: CuttingPlan) -> None:
    """Refuse when pieces of the plan were cut, or promised to another plan, since it was made."""
    rows = list(CuttingNeed.objects.filter(plan=plan))
    slabs = {row.slab_id for row in rows}
    before = _promised_before(plan)
    now_taken = needs.taken(actor, slab_ids=slabs)
    late = sorted(
        {
            row.mark
            for row in rows
            if now_taken.get((row.slab_id, row.mark, row.length_mm), 0)
            > before.get((row.slab_id, row.mark, row.length_mm), 0)
        }
    )
    if late:
        message = _("Pieces of %(marks)s were cut or promised to another plan since. Make the plan again.")
        raise PlanOutOfDate(message % {"marks": ", ".join(late)}, marks=late)


def _promised_before(plan: CuttingPlan) -> Mapping[tuple[int, str, int], int]:
    return {
        (one["slab_id"], one["mark"], one["length_mm"]): one["taken"]
        for size in plan.inputs["sizes"]
        for one in size["pieces"]
    }


def _require_sound(plan: CuttingPlan) -> None:
    """Let the checker, which shares no code with the search, look at the plan as it is kept."""
    settings = inputs.settings_of(plan)
    sizes = {size["material_id"]: size for size in plan.inputs["sizes"]}
    faults: list[str] = []
    for result in CuttingResult.objects.filter(plan=plan):
        size = sizes[result.material_id]
        task = inputs.task(size, settings=settings)
        faults += checking.check(task, inputs.plan_as_kept(result, size=size))
    if faults:
        message = _("The checker refuses this plan: %(faults)s. Make it again.")
        raise PlanFaulty(message % {"faults": "; ".join(faults)}, faults=faults)


def _reserved(plan: CuttingPlan, *, heaps: Iterable[Heap]) -> list[Reservation]:
    """Choose the lots that the plan cuts, in the order of use; refused when some of them are gone."""
    wanted: Counter[tuple[int, str, int]] = Counter()
    for row in CuttingPattern.objects.filter(plan=plan).exclude(origin=Origin.BUY).order_by("position"):
        wanted[row.material_id, row.origin, row.bar_length_mm] += row.bars
    there: defaultdict[tuple[int, str, int], list[Heap]] = defaultdict(list)
    for heap in heaps:
        origin = Origin.OFFCUT if heap.offcut else Origin.BAR
        there[heap.lot.material_id, origin.value, heap.lot.bar_length_mm].append(heap)
    rows: list[Reservation] = []
    short: list[dict[str, Any]] = []
    for kind, number in wanted.items():
        left = number
        for heap in there[kind]:
            part = min(heap.free, left)
            if part:
                rows.append(Reservation(plan=plan, place=heap.place, lot=heap.lot, bars=part))
                left -= part
        if left:
            short.append({"origin": kind[1], "length_mm": kind[2], "missing": left})
    if short:
        _refuse_short(short)
    return rows


def _refuse_short(short: list[dict[str, Any]]) -> None:
    labels = {Origin.BAR.value: _("bars"), Origin.OFFCUT.value: _("offcuts")}
    words = ", ".join(f"{one['missing']} {labels[one['origin']]}, {one['length_mm']} mm" for one in short)
    message = _("These are no longer free in the store: %(what)s. Nothing was reserved. Make the plan again.")
    missing = [f"{one['missing']} × {one['origin']} {one['length_mm']} mm" for one in short]
    raise PlanOutOfDate(message % {"what": words}, missing=missing)
