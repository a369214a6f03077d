"""The reorder plan: made from what is known, kept while it holds, and never doubled."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from inventory.calc import money
from inventory.calc.reorder import fingerprint, suggestions
from inventory.calc.reorder import offers as offer_choice
from inventory.calc.reorder.offers import Chosen
from inventory.models import PlanRun, Suggestion
from inventory.queries import plan_inputs
from inventory.queries.plan_inputs import Item
from inventory.services import firm_days
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Firm
from projects.services.acts import business_act

State = Suggestion.State


@dataclass(frozen=True)
class PlanAct:
    """A plan to make; it is for the firm's day of `now`."""


@business_act(result=PlanRun)
def make_plan(*, actor: Actor, act: PlanAct, key: str, now: datetime) -> PlanRun:
    """Make the firm's plan; the run of the same inputs on the same day is returned as it stands."""
    del act, key
    actor.require(Permission.PLAN_ORDERS)
    Firm.objects.select_for_update().get(pk=actor.firm_id)  # one plan of a firm at a time
    today = firm_days.of(now, actor=actor)
    items = plan_inputs.gather(actor, today=today)
    digests = [(item.plan.site_id, item.material.pk, item.digest) for item in items]
    inputs = fingerprint.of((today, digests))
    last = scope.visible(PlanRun.objects.all(), actor).first()
    if last is not None and last.fingerprint == inputs:
        return last
    run = _run(actor, inputs=inputs, today=today, items=len(items), now=now)
    run.suggested = _write(_wanted(actor, items=items, run=run, today=today), actor=actor, now=now)
    run.save(update_fields=["suggested"])
    return run


def _run(actor: Actor, *, inputs: str, today: date, items: int, now: datetime) -> PlanRun:
    """Return the run of these inputs: a new one, or an earlier one when things are again as they were."""
    figures = {"for_date": today, "started_at": now, "finished_at": now, "items": items, "suggested": 0}
    run, _made = PlanRun.objects.update_or_create(firm_id=actor.firm_id, fingerprint=inputs, defaults=figures)
    return run


def _wanted(actor: Actor, *, items: list[Item], run: PlanRun, today: date) -> list[Suggestion]:
    """Work out the suggestions, without those that a person has rejected on the same inputs."""
    rejected = scope.visible(Suggestion.objects.filter(state=State.REJECTED), actor)
    turned_down = set(rejected.values_list("site_id", "material_id", "pour_id", "inputs_digest"))
    found = []
    for item in items:
        digest = item.digest
        chosen = offer_choice.suggest(item.plan, offers=item.choices, default=item.default, today=today)
        days = _days(chosen, item=item, today=today)
        for choice in chosen:
            row = _row(choice, item=item, run=run, days=days, today=today)
            row.inputs_digest = digest
            if (row.site_id, row.material_id, row.pour_id, digest) not in turned_down:
                found.append(row)
    return found


def _write(wanted: list[Suggestion], *, actor: Actor, now: datetime) -> int:
    """Keep the open suggestions that still hold, replace the others, and add what is new."""
    rows = scope.visible(Suggestion.objects.select_for_update(of=("self",)), actor)
    open_rows = rows.filter(state=State.OPEN)
    known = {_slot(row): row for row in open_rows}
    kept, fresh = [], []
    for row in wanted:
        before = known.get(_slot(row))
        if before is not None and _terms(before) == _terms(row):
            kept.append(before)
            before.reason, before.late_days = row.reason, row.late_days
            before.inputs_digest, before.run = row.inputs_digest, row.run
        else:
            fresh.append(row)
    gone = {row.pk for row in known.values()} - {row.pk for row in kept}
    Suggestion.objects.filter(pk__in=gone).update(state=State.REPLACED, decided_at=now)
    Suggestion.objects.bulk_update(kept, ["reason", "late_days", "inputs_digest", "run"])
    Suggestion.objects.bulk_create(fresh)
    return len(kept) + len(fresh)


def _slot(row: Suggestion) -> tuple[int, int, int]:
    return (row.site_id, row.material_id, row.pour_id)


def _terms(row: Suggestion) -> tuple[Any, ...]:
    """Name what a person would decide on: the same terms are the same suggestion, whatever led to them."""
    bought = (row.supplier_id, row.pack_id, row.packs, row.pack_price)
    return (*bought, row.need_date, row.order_by_date)


def _row(chosen: Chosen, *, item: Item, run: PlanRun, days: list[dict[str, Any]], today: date) -> Suggestion:
    found, choice = chosen.suggestion, chosen.choice
    offers = {row.pk: row for row in item.offers}
    offer = offers[choice.offer.key] if choice is not None else None
    assert found.pour_id is not None  # noqa: S101 - every need of the plan is a pour's
    return Suggestion(
        run=run,
        site_id=found.site_id,
        material=item.material,
        pour_id=found.pour_id,
        supplier=offer.supplier if offer else None,
        pack=offer.pack if offer else item.pack,
        packs=found.packs,
        quantity=found.quantity,
        pack_price=offer.pack_price if offer else None,
        amount_minor=money.amount(found.packs, rate=offer.pack_price, per=1) if offer else None,
        need_date=found.need_date,
        order_by_date=found.order_by,
        late_days=found.late_days,
        reason=_reason(chosen, item=item, days=days, today=today),
    )


def _reason(chosen: Chosen, *, item: Item, days: list[dict[str, Any]], today: date) -> dict[str, Any]:
    """Put the numbers behind a suggestion into plain figures and texts that keep."""
    found = chosen.suggestion
    pour_id = found.pour_id or 0
    return asdict(found.reason) | {
        "required": item.required[pour_id],
        "issued": item.issued[pour_id],
        "replaced": item.replaced[pour_id],
        "in_slabs": item.in_slabs,
        "deliver_by": found.deliver_by.isoformat(),
        "in_time": chosen.choice is not None and chosen.choice.in_time,
        "in_drafts": sum(line.quantity for line in item.coming if line.draft),
        "orders": [
            {"number": line.number, "quantity": line.quantity, "expected": line.expected.isoformat()}
            for line in item.coming
        ],
        "offers": [
            {
                "supplier": offer.supplier.name,
                "supplier_id": offer.supplier_id,
                "pack": offer.pack.name,
                "pack_price": offer.pack_price,
                "lead_days": offer.lead_days,
                "in_time": offer_choice.comes_in_time(
                    choice, need_date=found.need_date, item=item.plan, today=today
                ),
            }
            for offer, choice in zip(item.offers, item.choices, strict=True)
        ],
        "days": days,
    }


def _days(chosen: tuple[Chosen, ...], *, item: Item, today: date) -> list[dict[str, Any]]:
    """Net the item once more with what is suggested on its way, for the table that shows the plan at work."""
    plan = suggestions.net(offer_choice.with_planned(item.plan, chosen=chosen, today=today), today=today)
    planned: dict[date, int] = {}
    for choice in chosen:
        day = max(choice.suggestion.need_date, today)
        planned[day] = planned.get(day, 0) + choice.suggestion.quantity
    return [
        {
            "day": row.day.isoformat(),
            "opening": row.opening,
            "received": row.received - planned.get(row.day, 0),
            "planned": planned.get(row.day, 0),
            "expired": row.expired,
            "gross": row.gross,
            "closing": row.closing,
        }
        for row in plan.days
    ]
