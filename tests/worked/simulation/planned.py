"""The plan as one more way to order: every evening it is made anew, and what is due today is ordered."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

from inventory.calc.reorder import at_site, firm, improving, lateness
from inventory.calc.reorder.facts import Lot as Stock
from inventory.calc.reorder.facts import Need, Receipt
from inventory.calc.reorder.firm import FirmPlan
from inventory.calc.reorder.improving import Budget
from inventory.calc.reorder.lateness import Delivery
from inventory.calc.reorder.market import Item, Market, Road, Seller, Terms
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import PlanItem
from tests.worked.simulation import world as drawn
from tests.worked.simulation.running import View, Wanted
from tests.worked.simulation.world import CALENDAR, KINDS, SELLERS

UNIT = 10_000
"""Money of the plan in one unit of the simulation's."""
CODES = list(SELLERS)
NODES = 30
"""Of the search at a site, so that a year of evenings ends within the hour and is the same on any machine."""
SECONDS = 1e6
TERMS = Terms(
    stop_cost=drawn.STOP_COST * UNIT,
    keep_ppm=round(drawn.CAPITAL_PER_YEAR * 1e6),
    rest_ppm=round((1 - drawn.LEFT_OVER_SHARE) * 1e6),
    van_g=drawn.VAN_KG * 1_000,
)


def first_plan(*, movable: bool = True):
    """Order and move of the first plan what it says is due."""

    def decide(view: View) -> list[Wanted]:
        market = market_of(view, movable=movable)
        plan = firm.first(items_of(view, market=market), market=market, today=view.day)
        tomorrow = drawn.worked_from(view.day + timedelta(days=1)).toordinal()
        return due(plan, before=tomorrow)

    return decide


def improved_plan():
    """Order and move of the improved plan what it says is due; the search ends by nodes, never by time."""

    def decide(view: View) -> list[Wanted]:
        market = market_of(view)
        items = items_of(view, market=market)
        first = firm.first(items, market=market, today=view.day)
        budget = Budget(clock=lambda: 0.0, seconds=SECONDS, nodes=NODES)
        graded = improving.improve(items, first=first, market=market, today=view.day, budget=budget)
        tomorrow = drawn.worked_from(view.day + timedelta(days=1)).toordinal()
        return due(graded.plan, before=tomorrow)

    return decide


def due(plan: FirmPlan, *, before: int) -> list[Wanted]:
    """What the plan orders and moves before a day."""
    found = [
        Wanted(f"site {site:02}", bought.item.plan.material, lot.packs, CODES[lot.chance.quote.seller])
        for site, rows in plan.sites.items()
        for bought in rows
        for lot in bought.lots
        if lot.chance.order_day < before
    ]
    moves = [move for trip in plan.trips for move in trip.moves if move.send_day < before]
    return found + [
        Wanted(
            f"site {one.target:02}", one.material, one.quantity // one.content, None, f"site {one.source:02}"
        )
        for one in moves
    ]


def market_of(view: View, *, movable: bool = True) -> Market:
    """The suppliers with their record as it is known, and the money at stake."""
    past = {
        code: [Delivery(late_days=late, share=share) for late, share in rows]
        for code, rows in view.record.items()
    }
    everybody = [one for rows in past.values() for one in rows]
    sellers = {
        CODES.index(code): Seller(
            key=CODES.index(code),
            trip_cost=seller.trip * UNIT,
            truck_g=seller.truck_kg * 1_000,
            record=lateness.record(past[code], firm=everybody),
        )
        for code, seller in SELLERS.items()
    }
    roads = {
        (int(source[5:]), int(target[5:])): Road(
            trip=drawn.freight(view.world, source=source, target=target) * UNIT
        )
        for source in view.world.sites
        for target in view.world.sites
        if movable and source != target
    }
    return Market(terms=TERMS, sellers=sellers, roads=roads)


def items_of(view: View, *, market: Market) -> list[Item]:
    """Each material of each site that has a pour to come or stock."""
    needs = defaultdict(list)
    for pour in view.pours:
        for kind, quantity in pour.needs.items():
            needs[pour.site, kind].append((pour, quantity))
    return [
        at_site.with_reserve(_item(view, site, kind, needs[site, kind]), market=market)
        for site, kind in sorted(set(needs) | set(view.stock))
    ]


def _item(view: View, site: str, kind: str, rows) -> Item:
    what = KINDS[kind]
    stock = [
        Stock(quantity=heap.quantity, usable_until=heap.until if what.life_days else None)
        for heap in view.stock.get((site, kind), ())
    ]
    coming = [one for one in view.coming if (one.site, one.kind) == (site, kind) and one.quantity]
    receipts = [
        Receipt(key=f"{number}", quantity=one.quantity, expected=one.promised)
        for number, one in enumerate(coming)
    ]
    plan = PlanItem(
        site_id=int(site.removeprefix("site ")),
        material=kind,
        needs=tuple(Need(key=pour.key, quantity=quantity, day=pour.day) for pour, quantity in rows),
        supply=Supply(stock=tuple(stock), receipts=tuple(receipts), life_days=what.life_days),
        safety_days=1,
        calendar=CALENDAR,
    )
    quotes = [
        Quote(
            key=number,
            seller=number,
            content=what.content,
            breaks=(Break(packs=1, pack_price=view.price(code, kind) * UNIT),),
            lead_days=SELLERS[code].lead_days,
        )
        for number, code in enumerate(CODES)
        if kind in SELLERS[code].prices
    ]
    return Item(plan=plan, quotes=tuple(quotes), unit_mg=what.grams * 1_000, spread=what.spread)
