"""Suggestions as rows: what the plan buys and moves, with the numbers behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from inventory.calc import money
from inventory.calc.reorder import at_site, deciding, telling
from inventory.calc.reorder import offers as offer_choice
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.deciding import Deliveries
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.moves import Move
from inventory.calc.reorder.shortage import Outlook
from inventory.calc.reorder.telling import Told
from inventory.models import PlanRun, RateAgreement, Suggestion
from inventory.queries.plan_inputs import Item
from inventory.queries.plan_market import RATE
from inventory.queries.plan_offers import NOBODY
from inventory.services import outlooks, plan_reasons
from inventory.services.outlooks import Look

Kind = Suggestion.Kind


@dataclass(frozen=True)
class Making:
    """What every row of a run is made with."""

    run: PlanRun
    market: Market
    today: date
    names: Mapping[str, str]
    """Of the materials, by their codes."""


def buys(look: Look, *, row: Bought, beside: Deliveries, making: Making) -> list[Suggestion]:
    """Put what is bought of an item into rows, one for each pour, quote and day to order by."""
    told = telling.tell(row, today=making.today)
    if not told:
        return []
    days = _days(told, row=row, today=making.today)
    needs = {need.key: need for need in row.item.plan.needs}
    behind = [
        deciding.of_lot(row, number=n, beside=beside, market=making.market) for n in range(len(row.lots))
    ]
    made = [
        _buy(
            one,
            item=look.item,
            outlook=look.needs[one.suggestion.need_key],
            more={
                "days": days,
                "reserve_short": needs[one.suggestion.need_key].for_short,
                "background": needs[one.suggestion.need_key].background,
                "terms": plan_reasons.terms(
                    one, decided=behind[one.lot], item=look.item, market=making.market, names=making.names
                ),
            },
            making=making,
        )
        for one in told
    ]
    return _joined(made)


def _joined(rows: list[Suggestion]) -> list[Suggestion]:
    """Join rows that a person cannot tell apart: two deliveries for one pour that are ordered by one day."""
    found: dict[tuple[int | None, ...], Suggestion] = {}
    for row in rows:
        slot = (row.pour_id, row.supplier_id, row.agreement_id, row.pack_id, row.order_by_date.toordinal())
        first = found.setdefault(slot, row)
        if first is not row:
            first.packs += row.packs
            first.quantity += row.quantity
            if first.amount_minor is not None and row.amount_minor is not None:
                first.amount_minor += row.amount_minor
    return list(found.values())


def moves(plan: FirmPlan, *, items: Mapping[tuple[int, str], Item], making: Making) -> list[Suggestion]:
    """Put the moves between sites into rows; several for one pour from one site are one."""
    found: dict[tuple[int, str, str, int], Suggestion] = {}
    for trip in plan.trips:
        for move in trip.moves:
            item = items[move.target, move.material]
            need = _need(item, move=move, today=making.today)
            slot = (move.target, move.material, need.key, move.source)
            if slot in found:
                found[slot].packs += move.quantity // move.content
                found[slot].quantity += move.quantity
            else:
                found[slot] = _move(move, item=item, need=need, freight=trip.freight, making=making)
    return list(found.values())


def _buy(told: Told, *, item: Item, outlook: Outlook, more: dict[str, Any], making: Making) -> Suggestion:
    found = told.suggestion
    sold = item.sold.row(told.quote.key)
    assert found.pour_id is not None  # noqa: S101 - every need of the plan is a pour's
    reason = _reason(told, item=item, outlook=outlook, making=making)
    return Suggestion(
        kind=Kind.BUY,
        run=making.run,
        site_id=found.site_id,
        material=item.material,
        pour_id=found.pour_id,
        supplier=sold.supplier if sold else None,
        agreement=sold if isinstance(sold, RateAgreement) else None,
        pack=sold.pack if sold else item.pack,
        packs=found.packs,
        quantity=found.quantity,
        pack_price=told.price // found.packs if sold else None,
        amount_minor=money.amount(1, rate=told.price, per=1) if sold else None,
        need_date=found.need_date,
        order_by_date=found.order_by,
        late_days=found.late_days,
        **_chances(outlook, market=making.market),
        reason=asdict(found.reason) | reason | more,
    )


def _move(move: Move, *, item: Item, need: Need, freight: int, making: Making) -> Suggestion:
    pack = next((one.pack for one in item.offers if one.pack.content == move.content), item.pack)
    assert need.pour_id is not None  # noqa: S101 - every need of the plan is a pour's
    return Suggestion(
        kind=Kind.MOVE,
        run=making.run,
        site_id=move.target,
        from_site_id=move.source,
        material=item.material,
        pour_id=need.pour_id,
        pack=pack,
        packs=move.quantity // move.content,
        quantity=move.quantity,
        need_date=need.day,
        order_by_date=date.fromordinal(move.send_day),
        reason={
            "freight_minor": freight // RATE,
            "road": _road(move, market=making.market),
            "avoided_minor": move.avoided // RATE,
            "worth_minor": move.worth // RATE,
            "deliver_by": date.fromordinal(move.arrival).isoformat(),
            "usable_until": move.usable_until.isoformat() if move.usable_until else None,
        },
    )


def _road(move: Move, *, market: Market) -> dict[str, int] | None:
    """The figures of the road of a move, None where it costs what any trip does."""
    road = market.road(move.source, move.target)
    if road is None or not road.own:
        return None
    return {"trip_minor": road.trip // RATE, "tonne_minor": road.tonne // RATE}


def _need(item: Item, *, move: Move, today: date) -> Need:
    return next(
        need
        for need in sorted(item.plan.needs, key=lambda need: (need.day, need.key))
        if max(need.day, today).toordinal() == move.need_day
    )


def _chances(outlook: Outlook, *, market: Market) -> dict[str, int | None]:
    short, idle = outlook.short, outlook.without
    gain = None if short is None or idle is None else max(0.0, idle - short)
    return {
        "short_ppm": outlooks.ppm(short),
        "idle_short_ppm": outlooks.ppm(idle),
        "idle_minor": (
            None
            if gain is None or not market.terms.stop_cost
            else round(gain * market.terms.stop_cost / RATE)
        ),
    }


def _reason(told: Told, *, item: Item, outlook: Outlook, making: Making) -> dict[str, Any]:
    """Put the numbers behind a suggestion into plain figures and texts that keep."""
    found = told.suggestion
    pour_id = found.pour_id or 0
    return {
        "required": item.required[pour_id],
        "wet_percent": _wet_percent(item),
        "issued": item.issued[pour_id],
        "replaced": item.replaced[pour_id],
        "in_slabs": item.in_slabs,
        "on_road": item.on_road,
        "background_week": item.use.a_week if item.use else 0,
        "deliver_by": found.deliver_by.isoformat(),
        "in_time": told.quote.key != NOBODY and not found.late_days,
        "in_drafts": sum(line.quantity for line in item.coming if line.draft),
        "orders": [
            {"number": line.number, "quantity": line.quantity, "expected": line.expected.isoformat()}
            for line in item.coming
        ],
        "offers": _offers(told, item=item, making=making),
        "behind": outlooks.behind(outlook, item=item),
        "remedies": outlooks.remedies(outlook, item=item),
    }


def _wet_percent(item: Item) -> float | None:
    """By how much what the bill asks for dry is more as it lies [%]."""
    return None if item.wet is None else round((item.wet.moist / item.wet.dry - 1) * 100, 1)


def _offers(told: Told, *, item: Item, making: Making) -> list[dict[str, Any]]:
    quotes = {quote.key: quote for quote in item.sold.quotes}
    return [
        {
            "supplier": row.supplier.name,
            "supplier_id": row.supplier_id,
            "agreement": row.number if isinstance(row, RateAgreement) else "",
            "pack": row.pack.name,
            "pack_price": row.pack_price,
            "lead_days": row.lead_days,
            "in_time": offer_choice.comes_in_time(
                quotes[key],
                need_date=told.suggestion.need_date,
                item=item.plan,
                seller=making.market.seller(row.supplier_id),
                today=making.today,
            ),
        }
        for key, row in item.sold.by_key.items()
    ]


def _days(told: Sequence[Told], *, row: Bought, today: date) -> list[dict[str, Any]]:
    """Net the item once more with what is suggested on its way, for the table that shows the plan at work."""
    planned: dict[date, int] = {}
    for one in told:
        planned[one.come_day] = planned.get(one.come_day, 0) + one.suggestion.quantity
    plan = at_site.with_coming(row.item, coming=planned, today=today)
    return [
        {
            "day": day.day.isoformat(),
            "opening": day.opening,
            "received": day.received - planned.get(day.day, 0),
            "planned": planned.get(day.day, 0),
            "expired": day.expired,
            "gross": day.gross - day.background,
            "background": day.background,
            "closing": day.closing,
        }
        for day in plan.days
    ]
