"""What is bought of an item, what each lot serves, and what it costs: one sum for every grade of plan."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from inventory.calc.reorder import chances, quotes
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import RATE_DAYS, Demand, Lot

Slot = tuple[int, int]
"""A supplier and a day of arrival (ordinal): what comes so to a site is one order, on shared trucks."""


@dataclass(slots=True)
class Loads:
    """What comes of each supplier on each day: grams on its trucks, and the price of the packs."""

    grams: dict[Slot, int] = field(default_factory=lambda: defaultdict(int))
    values: dict[Slot, int] = field(default_factory=lambda: defaultdict(int))

    def put(self, lots: Sequence[Lot], *, item: Item, sign: int) -> None:
        """Put lots of an item on the trucks of their days (1), or take them off (-1)."""
        for lot in lots:
            slot = lot.chance.quote.seller, lot.chance.arrival
            self.grams[slot] += sign * item.load(lot.packs, quote=lot.chance.quote)
            self.values[slot] += sign * lot.price


@dataclass(frozen=True, slots=True)
class Served:
    """Stock units of a lot that serve a demand, both by their numbers."""

    lot: int
    demand: int
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What is bought of an item: the days that lack something, the lots for them, and which serves which."""

    item: Item
    demands: tuple[Demand, ...] = ()
    lots: tuple[Lot, ...] = ()
    served: tuple[Served, ...] = ()


def of_lots(item: Item, *, demands: Sequence[Demand], lots: Sequence[Lot]) -> Bought:
    """Let the lots serve the demands: each takes what earlier lots have left, then its own.

    Lots in a row that come of one quote on one day become one.
    Source: derived.

    Args:
        item: the item.
        demands: what lacks, by day.
        lots: what is bought, in the order of their needs.

    Returns:
        The lots and what they serve.

    Raises:
        ValueError: the lots do not serve all demands.
    """
    joined: list[Lot] = []
    for lot in lots:
        if joined and _comes(joined[-1]) == _comes(lot):
            joined[-1] = _joined(joined[-1], lot)
        else:
            joined.append(lot)
    left = [lot.quantity for lot in joined]
    served = []
    for number, demand in enumerate(demands):
        lack = demand.quantity
        for at, lot in enumerate(joined):
            if lack and left[at] and may_serve(lot, number=number, demand=demand, item=item):
                taken = min(lack, left[at])
                left[at] -= taken
                lack -= taken
                served.append(Served(at, number, taken))
        if lack:
            raise ValueError(f"{item.plan.material}: {lack} of the need of day {demand.day} is in no lot")
    return Bought(item=item, demands=tuple(demands), lots=tuple(joined), served=tuple(served))


def may_serve(lot: Lot, *, number: int, demand: Demand, item: Item) -> bool:
    """Say whether a lot may serve a demand: it is for it, or comes before it; and it is still usable.

    Source: derived; a late lot serves what waits for it.

    Args:
        lot: the lot.
        number: number of the demand.
        demand: the demand.
        item: the item, for its life.

    Returns:
        True when it may.
    """
    life = item.plan.supply.life_days
    in_life = life is None or demand.day - lot.chance.arrival <= life
    here = lot.chance.arrival <= demand.day or not lot.chance.in_time
    return in_life and (here or lot.first <= number <= lot.last)


def cost(rows: Sequence[Bought], *, market: Market, today: date) -> int:
    """Add up what the lots of a site cost, with its trucks counted once.

    Source: derived: packs, trucks by supplier and day, keeping until use, expected lateness of each need by
    the part that it gets of a delivery, loss on what is left over.

    Args:
        rows: what is bought for one site.
        market: suppliers and money at stake.
        today: day of the plan.

    Returns:
        1/10,000 minor units.
    """
    loads = _loads(rows)
    total = 0
    for row in rows:
        total += sum(lot.price for lot in row.lots) + _keeping(row, market=market, today=today)
        rest = sum(lot.quantity for lot in row.lots) - sum(demand.quantity for demand in row.demands)
        if rest > 0:
            worth, units = rest_unit(row.item.quotes)
            total += worth * rest * market.terms.rest_ppm // (units * 1_000_000)
    for (seller, _day), grams in loads.grams.items():
        total += market.seller(seller).trip_cost * trucks(grams, market.seller(seller).truck_g)
    return total


def below_least(rows: Sequence[Bought], *, market: Market) -> tuple[Slot, ...]:
    """Name the orders of a site that are below what their supplier takes.

    Source: derived: price of all packs that come of a supplier on a day; nothing that costs nothing is below.

    Args:
        rows: what is bought for one site.
        market: suppliers.

    Returns:
        Suppliers and days, in their order.
    """
    values = _loads(rows).values
    return tuple(
        slot for slot, value in sorted(values.items()) if 0 < value < market.seller(slot[0]).least_order
    )


def _loads(rows: Sequence[Bought]) -> Loads:
    loads = Loads()
    for row in rows:
        loads.put(row.lots, item=row.item, sign=1)
    return loads


def _keeping(row: Bought, *, market: Market, today: date) -> int:
    late_cost = chances.late_cost(row.item, market=market, today=today)
    total = 0
    for one in row.served:
        lot, demand = row.lots[one.lot], row.demands[one.demand]
        quote, days = lot.chance.quote, max(0, demand.day - lot.chance.arrival)
        total += quote.worth * one.quantity * days * market.terms.keep_ppm // (quote.content * RATE_DAYS)
        total += late_cost(lot.chance, demand.day) * one.quantity // demand.quantity
    return total


def rest_unit(offered: Sequence[Quote]) -> tuple[int, int]:
    """Tell what is lost on when something is left over: the lowest price.

    Source: derived: lowest price by stock unit; of equals the older offer.

    Args:
        offered: the quotes, at least one.

    Returns:
        1/10,000 minor units, and the stock units that they are for.
    """
    best = min(offered, key=lambda one: (one.worth * 1_000_000 // one.content, one.key))
    return best.worth, best.content


def trucks(grams: int, truck_g: int | None) -> int:
    """Tell how many trucks a load takes.

    Source: derived: rounded up; without a limit one truck takes any load.

    Args:
        grams: the load, 0 or more.
        truck_g: grams that a truck takes, None without a limit.

    Returns:
        Trucks, 0 for no load.

    >>> [trucks(n, 10_000) for n in (0, 1, 10_000, 10_001)]
    [0, 1, 1, 2]
    """
    if grams <= 0:
        return 0
    return 1 if truck_g is None else -(-grams // truck_g)


def _comes(lot: Lot) -> tuple[Quote, int]:
    return lot.chance.quote, lot.chance.arrival


def _joined(one: Lot, other: Lot) -> Lot:
    packs = one.packs + other.packs
    return replace(
        one,
        last=other.last,
        packs=packs,
        price=quotes.amount(packs, quote=one.chance.quote),
        trip=one.trip + other.trip,
        keeping=one.keeping + other.keeping,
        risk=one.risk + other.risk,
    )
