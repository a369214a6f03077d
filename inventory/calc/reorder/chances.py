"""In time for a need: by when to order of whom, and what it may cost that a supplier comes late."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from inventory.calc.reorder import lateness, workdays
from inventory.calc.reorder.lateness import Record
from inventory.calc.reorder.market import Item, Market, Seller
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import RATE_DAYS, Chance
from inventory.calc.reorder.workdays import Calendar

AROUND_DAYS = 800
"""Days before and after the day of a plan whose worked days are counted."""


@dataclass(frozen=True)
class Span:
    """The worked days around a day as ordinals, so that counting them costs nothing."""

    days: tuple[int, ...]

    def back(self, day: int, working_days: int) -> int:
        """Count working days back, as `workdays.back` does."""
        return self.days[bisect_right(self.days, day) - 1 - working_days]

    def arrival(self, day: int, lead_days: int) -> int:
        """The first day that so many working days lead back to an order of that day or later."""
        return self.days[bisect_left(self.days, day) + lead_days]

    def between(self, first: int, last: int) -> int:
        """Working days from one day on to another, below 0 when the other is earlier."""
        return bisect_right(self.days, last) - bisect_right(self.days, first)


@lru_cache(maxsize=64)
def span(calendar: Calendar, *, around: date) -> Span:
    """List the worked days from two years before a day to two years after it.

    Source: derived: `workdays.is_worked` for each day.

    Args:
        calendar: which days are worked.
        around: the day.

    Returns:
        The span.

    >>> from inventory.calc.reorder.workdays import EVERY_DAY
    >>> span(EVERY_DAY, around=date(2025, 3, 3)).between(739_313, 739_315)
    2
    """
    days = (around + timedelta(days=n) for n in range(-AROUND_DAYS, AROUND_DAYS + 1))
    return Span(tuple(day.toordinal() for day in days if workdays.is_worked(day, calendar=calendar)))


@dataclass(frozen=True)
class Rounds:
    """On which days a supplier takes orders and delivers, among the worked days."""

    worked: Span
    orders: Span
    deliveries: Span

    def delivery(self, day: int) -> int:
        """The last delivery on a day or before it."""
        return self.deliveries.back(day, 0)

    def order_day(self, arrival: int, lead_days: int) -> int:
        """The last day of an order that comes on a day."""
        return self.orders.back(self.worked.back(arrival, lead_days), 0)

    def arrival(self, day: int, lead_days: int) -> int:
        """The first day on which what is ordered from a day on can come."""
        return self.deliveries.arrival(self.worked.arrival(self.orders.arrival(day, 0), lead_days), 0)


def rounds(seller: Seller, *, calendar: Calendar, around: date) -> Rounds:
    """List the days of a supplier.

    Source: derived: the worked days that fall on its weekdays.

    Args:
        seller: the supplier.
        calendar: which days are worked.
        around: day of the plan.

    Returns:
        Its rounds.

    Raises:
        ValueError: none of its weekdays is worked.

    Who delivers on Tuesdays and Fridays comes on Friday 7 March for a need of Monday the 10th:

    >>> from inventory.calc.reorder.workdays import EVERY_DAY
    >>> seller = Seller(key=1, delivery_days=frozenset({1, 4}))
    >>> found = rounds(seller, calendar=EVERY_DAY, around=date(2025, 3, 3))
    >>> date.fromordinal(found.delivery(date(2025, 3, 10).toordinal())).isoformat()
    '2025-03-07'
    """

    def on(days: frozenset[int]) -> Span:
        return span(workdays.only(days, calendar=calendar) if days else calendar, around=around)

    return Rounds(span(calendar, around=around), on(seller.order_days), on(seller.delivery_days))


def of_need(day: int, *, quantity: int, item: Item, market: Market, today: date) -> tuple[Chance, ...]:
    """List the ways to have a need delivered, each supplier with the time buffer that its record asks for.

    The buffer is the quantile of the supplier's days late at stop / (stop + keeping a day), never below the
    firm's own safety days. Where that is over, the order goes today. Suppliers that keep the firm's safety
    days stand before those that do not, and these before those that come late.
    A price that holds for a time or a total only never stands alone, so that there is a way beyond it.
    Source: derived: quantile of the days late as a time buffer; the newsvendor's ratio as its probability.

    Args:
        day: day of the need, as an ordinal.
        quantity: stock units that lack on it.
        item: the item.
        market: suppliers and money at stake.
        today: day of the plan.

    Returns:
        Chances, of the best kind that there is; none without quotes.
    """
    now = today.toordinal()
    found = [
        (_kind(chance, day=day, item=item, today=today), chance)
        for quote in item.quotes
        for chance in [_chance(quote, day=day, quantity=quantity, item=item, market=market, today=today)]
        if quote.last_order is None or max(now, chance.order_day) <= quote.last_order
    ]
    lasting = min((kind for kind, chance in found if not chance.quote.ends), default=0)
    best = min((kind for kind, _chance_ in found), default=0)
    kinds = {best, lasting} | ({0, 1} if market.terms.stop_cost and best < 2 else set())
    return tuple(chance for kind, chance in found if kind in kinds)


def earlier(
    chance: Chance, *, day: int, need_day: int, item: Item, market: Market, today: date
) -> tuple[Chance, ...]:
    """Let a delivery come on an earlier day, when an order of today or later brings it and it keeps so long.

    Source: derived: the same quote, ordered its lead before that day.

    Args:
        chance: the delivery on its own day.
        day: the earlier day, as an ordinal: one on which the supplier comes.
        need_day: day of the need.
        item: the item.
        market: suppliers.
        today: day of the plan.

    Returns:
        One chance or none.
    """
    seller = market.seller(chance.quote.seller)
    order_day = rounds(seller, calendar=item.plan.calendar, around=today).order_day(
        day, chance.quote.lead_days
    )
    life = item.plan.supply.life_days
    if order_day < today.toordinal() or (life is not None and need_day - day > life):
        return ()
    return (replace(chance, order_day=order_day, arrival=day, in_time=True),)


def risk(record: Record, *, slack_days: int, stop_cost: int) -> int:
    """Work out what it costs on average that a delivery comes after its need.

    Source: derived: stop cost of a day times the expected working days late beyond the slack.

    Args:
        record: how the supplier comes.
        slack_days: working days from the promised day to the need; below 0 when it is promised later.
        stop_cost: cost of a day that a pour stands.

    Returns:
        In the money of `stop_cost`.

    >>> risk(Record(late=(0.8, 0.15, 0.05)), slack_days=1, stop_cost=1_000)
    50
    """
    if not stop_cost:
        return 0
    beyond = sum(max(0, days - slack_days) * chance for days, chance in enumerate(record.late))
    return round(stop_cost * beyond)


def late_cost(item: Item, *, market: Market, today: date) -> Callable[[Chance, int], int]:
    """Return what a delivery's lateness costs on average for the need of a day (ordinal).

    Source: `risk` with the worked days between promise and need.

    Args:
        item: the item.
        market: suppliers and money at stake.
        today: day of the plan.

    Returns:
        A function of a chance and a day, in 1/10,000 minor units.
    """
    worked, stop_cost = span(item.plan.calendar, around=today), market.terms.stop_cost
    known: dict[tuple[int, int], int] = {}

    def cost(chance: Chance, day: int) -> int:
        if not stop_cost:
            return 0
        slack = worked.between(chance.arrival, worked.back(day, 0))
        slot = (chance.quote.seller, slack)
        if slot not in known:
            record = market.seller(chance.quote.seller).record
            known[slot] = risk(record, slack_days=slack, stop_cost=stop_cost)
        return known[slot]

    return cost


def buffer_of(quote: Quote, *, quantity: int, item: Item, market: Market) -> int:
    """Tell by how many working days a delivery should come before its need.

    Source: `lateness.buffer_days` at stop / (stop + keeping a day), never below the firm's safety days.

    Args:
        quote: whom it is bought of.
        quantity: stock units that are bought.
        item: the item, for its safety days.
        market: suppliers and money at stake.

    Returns:
        Working days, 0 or more.
    """
    record, terms = market.seller(quote.seller).record, market.terms
    if not terms.stop_cost or len(record.late) < 2:
        return item.plan.safety_days
    keep = quote.pack_price * quantity * terms.keep_ppm / (quote.content * RATE_DAYS)
    service = terms.stop_cost / (terms.stop_cost + keep) if keep else 1.0
    return max(item.plan.safety_days, lateness.buffer_days(record, service=service))


def _chance(quote: Quote, *, day: int, quantity: int, item: Item, market: Market, today: date) -> Chance:
    worked = span(item.plan.calendar, around=today)
    seller = market.seller(quote.seller)
    buffer = buffer_of(quote, quantity=quantity, item=item, market=market)
    now = today.toordinal()
    on = rounds(seller, calendar=item.plan.calendar, around=today)
    arrival = on.delivery(worked.back(day, buffer))
    order_day = on.order_day(arrival, quote.lead_days)
    if order_day < now:
        arrival = on.arrival(now, quote.lead_days)
        least = on.delivery(worked.back(day, item.plan.safety_days))
        soonest = on.orders.arrival(now, 0) if seller.order_days else now
        order_day = soonest if arrival <= least else on.order_day(least, quote.lead_days)
    return Chance(quote=quote, order_day=order_day, arrival=arrival, in_time=arrival <= day)


def _kind(chance: Chance, *, day: int, item: Item, today: date) -> int:
    """0: keeps the firm's safety days; 1: in time; 2: late."""
    worked = span(item.plan.calendar, around=today)
    if chance.arrival <= worked.back(day, item.plan.safety_days):
        return 0
    return 1 if chance.in_time else 2
