"""The first plan of a site: each material by the cheapest chain of lots, trucks shared between materials."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from inventory.calc.reorder import chances, netting, quotes, reserve, sizing
from inventory.calc.reorder.facts import Need, Plan, Receipt
from inventory.calc.reorder.lots import LOOSE
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import Chance, Demand, Lot, Rules

ROUNDS = 3
"""How often each material is sized anew beside the trucks of the others."""

RIDES = 2
"""Trucks before its own that a need is offered to ride on."""

Loads = dict[tuple[int, int], int]
"""Grams by supplier and day of arrival (ordinal)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What is bought of an item: the days that lack something, and the lots for them."""

    item: Item
    demands: tuple[Demand, ...]
    lots: tuple[Lot, ...]

    def days_of(self, lot: Lot) -> tuple[int, ...]:
        """The days (ordinals) that a lot is for."""
        return tuple(demand.day for demand in self.demands[lot.first : lot.last + 1])


def with_reserve(item: Item, *, market: Market) -> Item:
    """Give each need of uncertain use its reserve, where the firm has said what a standing pour costs.

    A unit left over costs the loss on the rest; where that is not said, a year's keeping.
    Source: `reserve.for_pour`.

    Args:
        item: the item; a need that has a reserve keeps it.
        market: money at stake.

    Returns:
        The item with reserves.
    """
    terms = market.terms
    loss_ppm = terms.rest_ppm or terms.keep_ppm
    if not (item.spread and terms.stop_cost and loss_ppm and item.quotes):
        return item
    quote = min(item.quotes, key=lambda one: one.pack_price / one.content)
    left = quote.pack_price * loss_ppm / (quote.content * 1_000_000)
    if left <= 0:
        return item

    def held(need: Need) -> Need:
        if need.reserve:
            return need
        beyond = reserve.for_pour(need.quantity, spread=item.spread, stop_cost=terms.stop_cost, left=left)
        return replace(need, reserve=beyond)

    return replace(item, plan=replace(item.plan, needs=tuple(held(need) for need in item.plan.needs)))


def lacking(item: Item, *, today: date, lots: Sequence[Lot] = ()) -> Plan:
    """Net an item loose, with the lots as what comes, for what still lacks.

    Source: `netting.net`.

    Args:
        item: needs and supply.
        today: first day of the plan.
        lots: what is bought already.

    Returns:
        The netted days; a late lot counts on its day of arrival.
    """
    life = item.plan.supply.life_days
    receipts = tuple(
        Receipt(
            key=f"plan:{number}",
            quantity=lot.quantity,
            expected=date.fromordinal(lot.chance.arrival),
            usable_until=None
            if life is None
            else date.fromordinal(lot.chance.arrival) + timedelta(days=life),
        )
        for number, lot in enumerate(lots)
    )
    supply = replace(item.plan.supply, receipts=item.plan.supply.receipts + receipts, pack=LOOSE)
    return netting.net(item.plan.needs, supply=supply, first_day=today)


def demands(item: Item, *, market: Market, today: date) -> tuple[Demand, ...]:
    """List the days that lack something, with the ways to have it delivered.

    Source: `netting.net`, `chances.of_need`.

    Args:
        item: the item, with its reserves.
        market: suppliers and money at stake.
        today: day of the plan.

    Returns:
        Demands in the order of their days.
    """
    lack: dict[int, int] = defaultdict(int)
    for row in lacking(item, today=today).days:
        if row.net:
            lack[row.day.toordinal()] += row.net
    return tuple(
        Demand(
            day=day,
            quantity=quantity,
            chances=chances.of_need(day, quantity=quantity, item=item, market=market, today=today),
        )
        for day, quantity in sorted(lack.items())
    )


def plan(
    items: Sequence[Item], *, market: Market, today: date, apart: frozenset[str] = frozenset()
) -> tuple[Bought, ...]:
    """Plan what to buy for a site.

    Each material is sized by itself first, in the order of their names, on trucks that are there already when
    it rides with them; then each again beside the trucks of all others, while that saves something.
    Source: Wagner & Whitin 1958 for each material; derived: descent by one material at a time.

    Args:
        items: materials of one site, each with a quote; without quotes nothing is bought of it.
        market: suppliers and money at stake.
        today: day of the plan.
        apart: materials of which each need is bought for itself.

    Returns:
        What is bought, in the order of the items.
    """
    wanted = [demands(item, market=market, today=today) if item.quotes else () for item in items]
    found: list[tuple[Lot, ...]] = [() for _ in items]
    loads: Loads = defaultdict(int)
    shared = any(market.seller(quote.seller).trip_cost for item in items for quote in item.quotes)
    order = sorted(range(len(items)), key=lambda n: (items[n].plan.material, n))
    for round_ in range(ROUNDS if shared else 1):
        changed = False
        for n in order:
            if not wanted[n]:
                continue
            item = items[n]
            _load(loads, found[n], item=item, sign=-1)
            rules = rules_of(item, market=market, loads=loads, today=today, apart=item.plan.material in apart)
            ways = _riding(wanted[n], item=item, market=market, loads=loads, today=today)
            lots = sizing.cheapest(ways, rules=rules)
            if round_ == 0 or _cost(lots, rules=rules) < _cost(found[n], rules=rules):
                changed, found[n] = True, lots
            _load(loads, found[n], item=item, sign=1)
        if not changed:
            break
    return tuple(
        Bought(item=item, demands=needed, lots=_with_trips(lots, item=item, market=market))
        for item, needed, lots in zip(items, wanted, found, strict=True)
    )


def _riding(
    wanted: Sequence[Demand], *, item: Item, market: Market, loads: Loads, today: date
) -> list[Demand]:
    """Let each need also ride on the last trucks of its suppliers that come before its own would."""
    days: dict[int, list[int]] = defaultdict(list)
    for (seller, day), grams in sorted(loads.items()):
        if grams > 0 and market.seller(seller).trip_cost:
            days[seller].append(day)
    if not days:
        return list(wanted)
    return [
        replace(
            demand,
            chances=demand.chances
            + tuple(
                ride
                for chance in demand.chances
                for day in [d for d in days[chance.quote.seller] if d < chance.arrival][-RIDES:]
                for ride in chances.earlier(
                    chance, day=day, need_day=demand.day, item=item, market=market, today=today
                )
            ),
        )
        for demand in wanted
    ]


def rules_of(
    item: Item, *, market: Market, loads: Mapping[tuple[int, int], int], today: date, apart: bool
) -> Rules:
    """Put together what lots of an item have to keep to, beside the loads of the other materials.

    Source: derived: a delivery adds the trucks that the loads of its day do not have room for.

    Args:
        item: the item.
        market: suppliers and money at stake.
        loads: grams of the others by supplier and day.
        today: day of the plan.
        apart: whether each need is bought for itself.

    Returns:
        The rules.
    """

    def trip_cost(chance: Chance, quantity: int) -> int:
        seller = market.seller(chance.quote.seller)
        if not seller.trip_cost:
            return 0
        before = loads.get((seller.key, chance.arrival), 0)
        after = before + max(1, item.grams(quantity))
        return seller.trip_cost * (trucks(after, seller.truck_g) - trucks(before, seller.truck_g))

    closing = (
        [(row.day.toordinal(), row.closing) for row in lacking(item, today=today).days] if item.room else []
    )

    def room(day: int) -> int:
        held = [stock for at, stock in closing if at <= day]
        return (item.room or 0) - (held[-1] if held else 0)

    return Rules(
        trip_cost=trip_cost,
        life_days=item.plan.supply.life_days,
        room=room if item.room else None,
        keep_ppm=market.terms.keep_ppm,
        rest_ppm=market.terms.rest_ppm,
        apart=apart,
    )


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


def total(bought: Sequence[Bought], *, market: Market) -> int:
    """Add up what the lots of a site cost, with its trucks counted once.

    Source: derived: packs, trucks by supplier and day, keeping, expected lateness, loss on what is left over.

    Args:
        bought: what is bought for one site.
        market: suppliers and money at stake.

    Returns:
        1/10,000 minor units.
    """
    loads: Loads = defaultdict(int)
    cost = 0
    for one in bought:
        _load(loads, one.lots, item=one.item, sign=1)
        cost += sum(lot.price + lot.keeping + lot.chance.risk for lot in one.lots)
        cost += _rest_loss(one, market=market)
    for (seller, _day), grams in loads.items():
        cost += market.seller(seller).trip_cost * trucks(grams, market.seller(seller).truck_g)
    return cost


def cheapest_unit(offered: Sequence[Quote]) -> tuple[int, int]:
    """The lowest price as (pack price, content)."""
    best = min(offered, key=lambda one: (one.pack_price * 1_000_000 // one.content, one.key))
    return best.pack_price, best.content


def _rest_loss(bought: Bought, *, market: Market) -> int:
    if not bought.lots or not market.terms.rest_ppm:
        return 0
    rest = sum(lot.quantity for lot in bought.lots) - sum(demand.quantity for demand in bought.demands)
    last = bought.lots[-1]
    return max(0, rest) * last.price * market.terms.rest_ppm // (last.quantity * 1_000_000)


def _cost(lots: Sequence[Lot], *, rules: Rules) -> int:
    return sum(
        lot.price + lot.keeping + lot.chance.risk + rules.trip_cost(lot.chance, lot.quantity) for lot in lots
    )


def _load(loads: Loads, lots: Sequence[Lot], *, item: Item, sign: int) -> None:
    for lot in lots:
        loads[lot.chance.quote.seller, lot.chance.arrival] += sign * max(1, item.grams(lot.quantity))


def _with_trips(lots: Sequence[Lot], *, item: Item, market: Market) -> tuple[Lot, ...]:
    """Give each lot what its trucks cost when it has them for itself, for its reason."""

    def alone(lot: Lot) -> int:
        seller = market.seller(lot.chance.quote.seller)
        return seller.trip_cost * trucks(max(1, item.grams(lot.quantity)), seller.truck_g)

    found: list[Lot] = []
    for lot in lots:
        before = found[-1] if found else None
        if before is None or (before.chance.quote, before.chance.arrival) != (
            lot.chance.quote,
            lot.chance.arrival,
        ):
            found.append(lot)
        else:
            found[-1] = _joined(before, lot)
    return tuple(replace(lot, trip=alone(lot)) for lot in found)


def _joined(one: Lot, other: Lot) -> Lot:
    """Make one lot of two that come together."""
    packs = one.packs + other.packs
    risk = one.chance.risk + other.chance.risk
    return replace(
        one,
        last=other.last,
        chance=replace(one.chance, risk=risk),
        packs=packs,
        price=quotes.amount(packs, quote=one.chance.quote),
        keeping=one.keeping + other.keeping,
    )
