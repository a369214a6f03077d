"""The reorder plan: made from what is known, kept while it holds, and never doubled."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from inventory.calc.reorder import at_site, fingerprint, firm, improving
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.improving import Budget
from inventory.calc.reorder.market import Item as PlannedItem
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.program import Clock
from inventory.models import PlanRun, Suggestion
from inventory.queries import plan_inputs, plan_market
from inventory.queries.plan_inputs import Item
from inventory.services import firm_days, plan_rows
from inventory.services.plan_rows import Making
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
    Firm.objects.select_for_update().get(pk=actor.firm_id)  # one plan of a firm at a time
    facts = _gather(actor, now=now)
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
    run.suggested = _write(_wanted(actor, facts=facts, plan=plan, run=run), actor=actor, now=now)
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
    facts = _gather(actor, now=now)
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
        Firm.objects.select_for_update().get(pk=actor.firm_id)
        run = _last(actor)
        if run is None or run.fingerprint != _gather(actor, now=now).fingerprint:
            return None
        run.grade = PlanRun.Grade.IMPROVED
        run.cost_minor, run.bound_minor = found.plan.cost // plan_market.RATE, found.bound // plan_market.RATE
        run.first_cost_minor, run.gap_ppm = found.first_cost // plan_market.RATE, found.gap_ppm
        run.over_budget = _over(found.plan)
        run.suggested = _write(_wanted(actor, facts=facts, plan=found.plan, run=run), actor=actor, now=now)
        run.save()
    return run


@dataclass(frozen=True)
class _Facts:
    """What a plan is made from, and its name."""

    today: date
    items: list[Item]
    planned: list[PlannedItem]
    market: Market
    fingerprint: str

    @property
    def worth_improving(self) -> bool:
        """Whether there is anything to weigh: without costs of keeping or trips each need is alone."""
        terms = self.market.terms
        return bool(terms.keep_ppm or terms.rest_ppm or terms.freight or terms.week_budget)


def _gather(actor: Actor, *, now: datetime) -> _Facts:
    today = firm_days.of(now, actor=actor)
    shared = plan_market.shared(actor, today=today)
    items = plan_inputs.gather(actor, today=today, donors=shared.market.terms.freight is not None)
    digests = [(item.plan.site_id, item.material.pk, item.digest) for item in items]
    return _Facts(
        today=today,
        items=items,
        planned=[at_site.with_reserve(item.planned, market=shared.market) for item in items],
        market=shared.market,
        fingerprint=fingerprint.of((today, digests, shared.told)),
    )


def _over(plan: FirmPlan) -> list[dict[str, Any]]:
    """Name the weeks over the budget in figures that keep."""
    return [
        {"monday": week.monday.isoformat(), "amount_minor": -(-week.amount // plan_market.RATE)}
        for week in plan.over_budget
    ]


def _last(actor: Actor) -> PlanRun | None:
    return scope.visible(PlanRun.objects.all(), actor).first()


def _wanted(actor: Actor, *, facts: _Facts, plan: FirmPlan, run: PlanRun) -> list[Suggestion]:
    """Put the plan into rows, without those that a person has rejected on the same inputs."""
    rejected = scope.visible(Suggestion.objects.filter(state=State.REJECTED), actor)
    turned_down = set(rejected.values_list("kind", "site_id", "material_id", "pour_id", "inputs_digest"))
    by_slot = {(item.plan.site_id, item.plan.material): item for item in facts.items}
    making = Making(run=run, market=facts.market, today=facts.today)
    digests = {slot: item.digest for slot, item in by_slot.items()}
    rows = plan_rows.moves(plan, items=by_slot, making=making)
    for bought in [one for site in plan.sites.values() for one in site]:
        slot = (bought.item.plan.site_id, bought.item.plan.material)
        rows += plan_rows.buys(by_slot[slot], row=bought, making=making)
    found = []
    for row in rows:
        row.inputs_digest = digests[row.site_id, row.material.code]
        if (row.kind, row.site_id, row.material_id, row.pour_id, row.inputs_digest) not in turned_down:
            found.append(row)
    return found


def _write(wanted: list[Suggestion], *, actor: Actor, now: datetime) -> int:
    """Keep the open suggestions that still hold, replace the others, and add what is new."""
    rows = scope.visible(Suggestion.objects.select_for_update(of=("self",)), actor)
    open_rows = rows.filter(state=State.OPEN)
    known = _slots(open_rows)
    kept, fresh = [], []
    for slot, row in _slots(wanted).items():
        before = known.get(slot)
        if before is not None and _terms(before) == _terms(row):
            kept.append(before)
            before.reason, before.late_days = row.reason, row.late_days
            before.inputs_digest, before.run = row.inputs_digest, row.run
            before.short_ppm, before.idle_short_ppm = row.short_ppm, row.idle_short_ppm
            before.idle_minor = row.idle_minor
        else:
            fresh.append(row)
    gone = {row.pk for row in known.values()} - {row.pk for row in kept}
    Suggestion.objects.filter(pk__in=gone).update(state=State.REPLACED, decided_at=now)
    Suggestion.objects.bulk_update(kept, KEPT)
    fresh.sort(key=lambda row: (row.site_id, row.material_id, row.need_date, row.order_by_date))
    Suggestion.objects.bulk_create(fresh)
    return len(kept) + len(fresh)


def _slots(rows: Iterable[Suggestion]) -> dict[tuple[Any, ...], Suggestion]:
    """Name rows by what they are for; several lots for one pour are told apart by their order."""
    found: dict[tuple[Any, ...], Suggestion] = {}
    for row in sorted(
        rows, key=lambda row: (row.order_by_date, row.supplier_id or 0, row.pack_id, row.pk or 0)
    ):
        what = (row.kind, row.site_id, row.material_id, row.pour_id, row.from_site_id)
        number = 0
        while (*what, number) in found:
            number += 1
        found[(*what, number)] = row
    return found


def _terms(row: Suggestion) -> tuple[Any, ...]:
    """Name what a person would decide on: the same terms are the same suggestion, whatever led to them."""
    bought = (row.supplier_id, row.pack_id, row.packs, row.pack_price)
    return (*bought, row.need_date, row.order_by_date)
