"""How pours look by a plan: the chance of each to lack any material, what decides it, what still helps."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from inventory.calc.reorder import shortage
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.lateness import NO_RECORD
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.shortage import Due, Outlook
from inventory.models import PlanRun, PourOutlook
from inventory.queries.plan_inputs import Item
from inventory.queries.plan_market import RATE
from inventory.queries.plan_offers import NOBODY
from projects.access import scope
from projects.access.actor import Actor

MILLION = 1_000_000

Slot = tuple[int, str]
"""A site and the code of a material."""


@dataclass(frozen=True)
class Look:
    """How the needs of an item look, by their names."""

    item: Item
    needs: Mapping[str, Outlook]


def of_items(items: Mapping[Slot, Item], *, plan: FirmPlan, market: Market, today: date) -> dict[Slot, Look]:
    """Tell how each need of each item looks, with what the plan buys and moves."""
    moved: dict[Slot, list[Due]] = defaultdict(list)
    for move in (move for trip in plan.trips for move in trip.moves):
        due = Due(quantity=move.quantity, promised=move.arrival, seller=None, record=NO_RECORD, planned=True)
        moved[move.target, move.material].append(due)
    found = {}
    for row in (row for site in plan.sites.values() for row in site):
        slot = (row.item.plan.site_id, row.item.plan.material)
        found[slot] = _look(row, item=items[slot], moved=moved[slot], market=market, today=today)
    return found


def of_pours(looks: Mapping[Slot, Look], *, run: PlanRun) -> list[PourOutlook]:
    """Put what is known of each pour's materials together, in the order of the pours."""
    parts: dict[int, list[tuple[Item, Outlook]]] = defaultdict(list)
    for look in looks.values():
        for need in look.item.plan.needs:
            if need.pour_id is not None:
                parts[need.pour_id].append((look.item, look.needs[need.key]))
    return [_of_pour(pour_id, mine, run=run) for pour_id, mine in sorted(parts.items())]


def forget(actor: Actor) -> None:
    """Let go of how pours looked by the plan before."""
    scope.visible(PourOutlook.objects.all(), actor).delete()


def keep(found: Sequence[PourOutlook]) -> None:
    """Keep how pours look by the plan that stands."""
    PourOutlook.objects.bulk_create(found)


def ppm(chance: float | None) -> int | None:
    """Write a probability as it is kept."""
    return None if chance is None else round(chance * MILLION)


def behind(outlook: Outlook, *, item: Item) -> list[dict[str, Any]]:
    """Name the deliveries that a chance rests on."""
    names = _names(item)
    return [
        {"supplier": names.get(one.seller, ""), "seen": one.seen, "pooled": one.pooled, "known": one.known}
        for one in outlook.behind
        if one.seller != NOBODY
    ]


def remedies(outlook: Outlook, *, item: Item) -> list[dict[str, Any]]:
    """Name who can still bring what lacks, until when, and for how much."""
    names = _names(item)
    return [
        {
            "supplier": names.get(one.seller, ""),
            "last_day": one.last_day.isoformat(),
            "packs": one.packs,
            "cost_minor": one.cost // RATE,
        }
        for one in outlook.remedies
        if one.quote != NOBODY
    ]


def _names(item: Item) -> dict[int, str]:
    """The suppliers that offer it, or that it is on order from, by their numbers."""
    names = {line.supplier_id: line.supplier for line in item.coming}
    return names | {row.supplier_id: row.supplier.name for row in item.sold.rows}


def _look(row: Bought, *, item: Item, moved: Sequence[Due], market: Market, today: date) -> Look:
    dues = (*item.dues(market), *moved)
    found = shortage.of_item(row, market=market, today=today, dues=dues)
    return Look(item, {one.key: one for one in found})


def _of_pour(pour_id: int, parts: Sequence[tuple[Item, Outlook]], *, run: PlanRun) -> PourOutlook:
    together = shortage.of_pour([one.short for _item, one in parts])
    idle = shortage.of_pour([one.without for _item, one in parts])
    risky = [(item, one) for item, one in parts if one.short is None or ppm(one.short) or ppm(one.without)]
    risky.sort(key=_worst_first)
    worst = next((item.material for item, one in risky if one.short is None or ppm(one.short)), None)
    return PourOutlook(
        pour_id=pour_id,
        run=run,
        short_ppm=ppm(together.likely),
        least_ppm=ppm(together.least) or 0,
        most_ppm=ppm(together.most) or 0,
        idle_short_ppm=ppm(idle.likely),
        worst=worst,
        parts=[_part(item, one) for item, one in risky],
    )


def _worst_first(part: tuple[Item, Outlook]) -> tuple[float, float, str]:
    item, one = part
    unknown = 2.0  # what is not known stands before what is
    return (
        -(unknown if one.short is None else one.short),
        -(unknown if one.without is None else one.without),
        item.material.code,
    )


def _part(item: Item, outlook: Outlook) -> dict[str, Any]:
    return {
        "material": item.material.name,
        "short_ppm": ppm(outlook.short),
        "idle_short_ppm": ppm(outlook.without),
        "behind": behind(outlook, item=item),
        "remedies": remedies(outlook, item=item),
    }
