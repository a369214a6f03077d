"""The deliveries that an exact plan chooses among."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from inventory.calc.reorder import chances
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import Chance, Demand

MOST_EARLY_DAYS = 60
"""Days before its own truck that a need may ride on another's."""

Ways = dict[tuple[Quote, int], tuple[Chance, tuple[int, ...]]]
"""By quote and day of arrival: the delivery, and the numbers of the needs that it may serve."""


def of_item(row: Bought, *, rows: Sequence[Bought], market: Market, today: date) -> Ways:
    """List the deliveries of an item: on each need's own day, and on the days of other trucks of the site.

    Source: derived: with known needs nothing is gained by a delivery on a day on which neither is due.

    Args:
        row: the item.
        rows: all items of the site.
        market: suppliers and money at stake.
        today: day of the plan.

    Returns:
        Deliveries and what they may serve.
    """
    days = _days(row, rows=rows, market=market)
    serves: dict[tuple[Quote, int], list[int]] = defaultdict(list)
    found: dict[tuple[Quote, int], Chance] = {}
    for number, demand in enumerate(row.demands):
        for chance in demand.chances:
            on = days[chance.quote.seller]
            for one in _earlier(chance, days=on, demand=demand, row=row, market=market, today=today):
                serves[one.quote, one.arrival].append(number)
                found.setdefault((one.quote, one.arrival), one)
    return {key: (found[key], tuple(sorted(set(numbers)))) for key, numbers in serves.items()}


def _earlier(
    chance: Chance, *, days: set[int], demand: Demand, row: Bought, market: Market, today: date
) -> list[Chance]:
    found = [chance]
    for day in sorted(day for day in days if 0 < chance.arrival - day <= MOST_EARLY_DAYS):
        found += chances.earlier(
            chance, day=day, need_day=demand.day, item=row.item, market=market, today=today
        )
    return found


def _days(row: Bought, *, rows: Sequence[Bought], market: Market) -> dict[int, set[int]]:
    """The days on which each supplier may come: for this item's needs, and for those on the same trucks."""
    days: dict[int, set[int]] = defaultdict(set)
    for other in rows:
        for demand in other.demands:
            for chance in demand.chances:
                if other is row or market.seller(chance.quote.seller).shares:
                    days[chance.quote.seller].add(chance.arrival)
        for lot in other.lots:
            days[lot.chance.quote.seller].add(lot.chance.arrival)
    return days
