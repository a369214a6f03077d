"""The reorder plan: made from what is known, kept while it holds, and never doubled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from inventory.calc.reorder import firm, improving
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.improving import Budget
from inventory.calc.reorder.program import Clock
from inventory.models import PlanRun, Suggestion
from inventory.queries import plan_market
from inventory.services import outlooks, proposing
from inventory.services.proposing import Facts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Firm
from projects.services import outbox
from projects.services.acts import business_act

State = Suggestion.State

IMPROVE_JOB = "inventory.improve_plan"
MOST_SECONDS = 100.0
"""Of search in one plan: well within the time that a worker has for a job."""
SITE_SECONDS = 20.0

SITES_AT_ONCE, ROWS_AT_ONCE = 50, 500
"""Of which the rows are made and written together."""

KEPT = ("reason", "late_days", "inputs_digest", "run", "short_ppm", "idle_short_ppm", "idle_minor")
"""What a suggestion that still holds takes from the newer plan."""


@dataclass(frozen=True)
class PlanAct:
    """A plan to make; it is for the firm's day of `now`."""


@business_act(result=PlanRun)
def make_plan(*, actor: Actor, act: PlanAct, key: str, now: datetime) -> PlanRun:
    """Make the firm's plan; the run of the same inputs on the same day is returned as it stands."""
    del act, key
    actor.require(Permission.PLAN_ORDERS)
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)  # one plan of a firm at a time
    facts = proposing.gather(actor, now=now)
    last = _last(actor)
    if last is not None and last.fingerprint == facts.fingerprint:
        return last
    plan = firm.first(facts.planned, market=facts.market, today=facts.today)
    figures = {
        "for_date": facts.today,
        "started_at": now,
        "finished_at": now,
        "items": sum(bool(item.plan.needs) for item in facts.items),
        "suggested": 0,
        "grade": PlanRun.Grade.FIRST,
        "cost_minor": plan.cost // plan_market.RATE,
        "first_cost_minor": plan.cost // plan_market.RATE,
        "bound_minor": None,
        "gap_ppm": None,
        "over_budget": _over(plan),
    }
    run, _made = PlanRun.objects.update_or_create(
        firm_id=actor.firm_id, fingerprint=facts.fingerprint, defaults=figures
    )
    run.suggested = _write(plan, facts=facts, run=run, actor=actor, now=now)
    run.save(update_fields=["suggested"])
    if facts.worth_improving and run.suggested:
        outbox.ask_soon(firm_id=actor.firm_id, job=IMPROVE_JOB, now=now)
    return run


def note_took(*, actor: Actor, run_id: int, milliseconds: int) -> None:
    """Keep how long a plan took to make."""
    rows = scope.visible(PlanRun.objects.filter(pk=run_id), actor)
    rows.update(took_ms=milliseconds)


def improve(*, actor: Actor, now: datetime, clock: Clock, seconds: float = MOST_SECONDS) -> PlanRun | None:
    """Improve the firm's last plan by exact solving, and keep the result when its inputs still hold.

    The search runs outside the transaction, so that it holds nobody up. Done twice, the second finds the plan
    improved; when something has changed meanwhile, nothing is written, since a newer plan is on its way.
    """
    actor.require(Permission.PLAN_ORDERS)
    facts = proposing.gather(actor, now=now)
    run = _last(actor)
    if run is None or run.fingerprint != facts.fingerprint or run.grade == PlanRun.Grade.IMPROVED:
        return None
    first = firm.first(facts.planned, market=facts.market, today=facts.today)
    sites = max(1, len(first.sites))
    budget = Budget(clock=clock, seconds=min(seconds, SITE_SECONDS * sites))
    found = improving.improve(
        facts.planned, first=first, market=facts.market, today=facts.today, budget=budget
    )
    with transaction.atomic():
        Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
        run = _last(actor)
        if run is None or run.fingerprint != proposing.gather(actor, now=now).fingerprint:
            return None
        run.grade = PlanRun.Grade.IMPROVED
        run.cost_minor, run.bound_minor = found.plan.cost // plan_market.RATE, found.bound // plan_market.RATE
        run.first_cost_minor, run.gap_ppm = found.first_cost // plan_market.RATE, found.gap_ppm
        run.over_budget = _over(found.plan)
        run.suggested = _write(found.plan, facts=facts, run=run, actor=actor, now=now)
        run.save()
    return run


def _over(plan: FirmPlan) -> list[dict[str, Any]]:
    """Name the weeks over the budget in figures that keep."""
    return [
        {"monday": week.monday.isoformat(), "amount_minor": -(-week.amount // plan_market.RATE)}
        for week in plan.over_budget
    ]


def _last(actor: Actor) -> PlanRun | None:
    return scope.visible(PlanRun.objects.all(), actor).first()


def _write(plan: FirmPlan, *, facts: Facts, run: PlanRun, actor: Actor, now: datetime) -> int:
    """Write the plan some sites at a time, since all rows of a large firm at once would fill the memory."""
    open_rows = scope.visible(Suggestion.objects.filter(state=State.OPEN), actor)
    sites = sorted(plan.sites)
    open_rows.exclude(site__in=sites).update(state=State.REPLACED, decided_at=now)
    outlooks.forget(actor)
    written = 0
    for start in range(0, len(sites), SITES_AT_ONCE):
        some = sites[start : start + SITES_AT_ONCE]
        part, bought = facts.of_sites(some), plan.of_sites(some)
        seen = proposing.looks(part, plan=bought)
        outlooks.keep(outlooks.of_pours(seen, run=run))
        wanted = proposing.rows(actor, facts=part, plan=bought, run=run, seen=seen)
        written += _put(wanted, open_rows=open_rows.filter(site__in=some), now=now)
    return written


def _put(wanted: list[Suggestion], *, open_rows: QuerySet[Suggestion], now: datetime) -> int:
    """Keep the open suggestions that still hold, replace the others, and add what is new."""
    known = proposing.slots(open_rows.select_for_update(of=("self",)).defer("reason"))
    kept, fresh = [], []
    for slot, row in proposing.slots(wanted).items():
        before = known.get(slot)
        if before is not None and proposing.same_terms(before, row):
            kept.append(before)
            for name in KEPT:
                setattr(before, name, getattr(row, name))
        else:
            fresh.append(row)
    gone = {row.pk for row in known.values()} - {row.pk for row in kept}
    Suggestion.objects.filter(pk__in=gone).update(state=State.REPLACED, decided_at=now)
    # Each of them is there already: writing over it is much faster than an UPDATE with a case for each row.
    Suggestion.objects.bulk_create(
        kept, batch_size=ROWS_AT_ONCE, update_conflicts=True, unique_fields=["pk"], update_fields=KEPT
    )
    fresh.sort(key=lambda row: (row.site_id, row.material_id, row.need_date, row.order_by_date))
    Suggestion.objects.bulk_create(fresh, batch_size=ROWS_AT_ONCE)
    return len(kept) + len(fresh)
