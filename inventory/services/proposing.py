"""What the plan proposes: facts read once, the first plan, and its rows. Nothing is written here."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from inventory.calc.reorder import at_site, deciding, fingerprint
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.market import Item as PlannedItem
from inventory.calc.reorder.market import Market
from inventory.models import PlanRun, Suggestion
from inventory.queries import plan_inputs, plan_market
from inventory.queries.plan_inputs import Item
from inventory.services import firm_days, outlooks, plan_rows
from inventory.services.outlooks import Look
from inventory.services.plan_rows import Making
from projects.access import scope
from projects.access.actor import Actor


@dataclass(frozen=True)
class Facts:
    """What a plan is made from, and its name."""

    today: date
    items: list[Item]
    planned: list[PlannedItem]
    market: Market
    fingerprint: str

    def of_sites(self, sites: Collection[int]) -> Facts:
        """The same for some sites alone."""
        return replace(
            self,
            items=[item for item in self.items if item.plan.site_id in sites],
            planned=[item for item in self.planned if item.plan.site_id in sites],
        )

    @property
    def worth_improving(self) -> bool:
        """Whether there is anything to weigh: without costs of keeping or trips each need is alone."""
        terms = self.market.terms
        trips = any(seller.shares for seller in self.market.sellers.values())
        weighed = (terms.keep_ppm, terms.rest_ppm, terms.freight, terms.week_budget, self.market.roads)
        return trips or any(weighed)


def gather(actor: Actor, *, now: datetime) -> Facts:
    """Read what the firm's plan of the day of `now` is made from."""
    today = firm_days.of(now, actor=actor)
    shared = plan_market.shared(actor, today=today)
    donors = shared.market.terms.freight is not None or bool(shared.market.roads)
    items = plan_inputs.gather(actor, today=today, calendar=shared.calendar, donors=donors)
    digests = [(item.plan.site_id, item.material.pk, item.digest) for item in items]
    return Facts(
        today=today,
        items=items,
        planned=[at_site.with_reserve(item.planned, market=shared.market) for item in items],
        market=shared.market,
        fingerprint=fingerprint.of((today, digests, shared.told)),
    )


def looks(facts: Facts, *, plan: FirmPlan) -> dict[tuple[int, str], Look]:
    """Tell how each need looks by the plan."""
    items = {(item.plan.site_id, item.plan.material): item for item in facts.items}
    return outlooks.of_items(items, plan=plan, market=facts.market, today=facts.today)


def rows(
    actor: Actor, *, facts: Facts, plan: FirmPlan, run: PlanRun, seen: Mapping[tuple[int, str], Look]
) -> list[Suggestion]:
    """Put the plan into rows, without those that a person has rejected on the same inputs."""
    rejected = scope.visible(Suggestion.objects.filter(state=Suggestion.State.REJECTED), actor)
    turned_down = set(rejected.values_list("kind", "site_id", "material_id", "pour_id", "inputs_digest"))
    by_slot = {(item.plan.site_id, item.plan.material): item for item in facts.items}
    names = {item.material.code: item.material.name for item in facts.items}
    making = Making(run=run, market=facts.market, today=facts.today, names=names)
    digests = {slot: item.digest for slot, item in by_slot.items()}
    made = plan_rows.moves(plan, items=by_slot, making=making)
    for site in plan.sites.values():
        beside = deciding.deliveries(site)
        for bought in site:
            slot = (bought.item.plan.site_id, bought.item.plan.material)
            made += plan_rows.buys(seen[slot], row=bought, beside=beside, making=making)
    found = []
    for row in made:
        row.inputs_digest = digests[row.site_id, row.material.code]
        if (row.kind, row.site_id, row.material_id, row.pour_id, row.inputs_digest) not in turned_down:
            found.append(row)
    return found


def slots(found: Iterable[Suggestion]) -> dict[tuple[Any, ...], Suggestion]:
    """Name rows by what they are for; several lots for one pour are told apart by their order."""
    named: dict[tuple[Any, ...], Suggestion] = {}
    for row in sorted(
        found, key=lambda row: (row.order_by_date, row.supplier_id or 0, row.pack_id, row.pk or 0)
    ):
        what = (row.kind, row.site_id, row.material_id, row.pour_id, row.from_site_id)
        number = 0
        while (*what, number) in named:
            number += 1
        named[(*what, number)] = row
    return named


def same_terms(one: Suggestion | None, other: Suggestion | None) -> bool:
    """Say whether two rows are the same to a person who decides on them, whatever led to them."""
    return one is not None and other is not None and _terms(one) == _terms(other)


def _terms(row: Suggestion) -> tuple[Any, ...]:
    """Name what a person would decide on: the same terms are the same suggestion, whatever led to them."""
    bought = (row.supplier_id, row.agreement_id, row.pack_id, row.packs, row.pack_price, row.amount_minor)
    return (*bought, row.need_date, row.order_by_date)
