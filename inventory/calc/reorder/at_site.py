"""The first plan of a site: each material by the cheapest chain of lots, trucks shared between materials."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from inventory.calc.reorder import bought, chances, netting, quotes, reserve, sizing
from inventory.calc.reorder.bought import Bought, Loads
from inventory.calc.reorder.facts import Need, Plan, Receipt
from inventory.calc.reorder.lots import LOOSE
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.reserve import WHOLE, Unsure
from inventory.calc.reorder.sizing import Chance, Demand, Lot, Rules

ROUNDS = 3
"""How often each material is sized anew beside the trucks of the others."""

RIDES = 2
"""Trucks before its own that a need is offered to ride on."""


def with_reserve(item: Item, *, market: Market) -> Item:
    """Give each need its reserve, where the firm has said what a standing pour costs.

    It stands for what a pour may take beyond its bill, and for loads of the cheapest supplier that bring less
    than was ordered and come too late to be made good by the quickest; what lies there already is whole. A
    unit left over costs the loss on the rest; where that is not said, a year's keeping.
    Source: `reserve.for_pour` with the supplier's record of short loads.

    Args:
        item: the item; a need that has a reserve keeps it.
        market: suppliers and money at stake.

    Returns:
        The item with reserves.
    """
    terms = market.terms
    loss_ppm = terms.rest_ppm or terms.keep_ppm
    if not (terms.stop_cost and loss_ppm and item.quotes):
        return item
    quote = min(item.quotes, key=lambda one: one.pack_price / one.content)
    left = quote.pack_price * loss_ppm / (quote.content * 1_000_000)
    if left <= 0:
        return item
    needs, lying = [], sum(lot.quantity for lot in item.plan.supply.stock)
    for need in sorted(item.plan.needs, key=lambda need: (need.day, need.key)):
        shares = WHOLE if lying >= need.quantity else _shares(quote, need=need, item=item, market=market)
        lying -= need.quantity
        parts = [
            reserve.for_pour(need.quantity, unsure=unsure, stop_cost=terms.stop_cost, left=left)
            for unsure in (Unsure(spread=item.spread), Unsure(spread=item.spread, shares=shares))
        ]
        whole = need if need.reserve else replace(need, reserve=parts[1], for_short=parts[1] - parts[0])
        needs.append(whole)
    return replace(item, plan=replace(item.plan, needs=tuple(needs)))


def _shares(quote: Quote, *, need: Need, item: Item, market: Market) -> tuple[tuple[float, float], ...]:
    """Return which shares of its loads count for a need: a load that comes early can still be made good."""
    record = market.seller(quote.seller).record
    if record.shares == WHOLE:
        return WHOLE
    ahead = chances.buffer_of(quote, quantity=need.quantity, item=item, market=market)
    quickest = min(one.lead_days for one in item.quotes)
    return reserve.not_made_good(record.shares, late=record.late, days=ahead - quickest)


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


def with_coming(item: Item, *, coming: Mapping[date, int], today: date) -> Plan:
    """Net an item with what is suggested on its way, for the table that shows the plan at work.

    Source: `netting.net`.

    Args:
        item: needs and supply.
        coming: stock units by the day on which they come.
        today: first day of the plan.

    Returns:
        The netted days.
    """
    receipts = tuple(
        Receipt(key=f"plan:{day.isoformat()}", quantity=quantity, expected=day)
        for day, quantity in sorted(coming.items())
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
    site = _Site(items, market=market, today=today, apart=apart)
    for round_ in range(ROUNDS if site.shared else 1):
        changed = False
        for n in site.order:
            changed |= site.size(n, anyhow=round_ == 0)
        if not changed:
            break
    site.mend()
    return tuple(
        bought.of_lots(item, demands=needed, lots=lots)
        for item, needed, lots in zip(items, site.wanted, site.found, strict=True)
    )


class _Site:
    """The lots of a site under way, with what comes of each supplier on each day."""

    def __init__(self, items: Sequence[Item], *, market: Market, today: date, apart: frozenset[str]) -> None:
        self.items, self.market, self.today, self.apart = items, market, today, apart
        self.wanted = [demands(item, market=market, today=today) if item.quotes else () for item in items]
        self.found: list[tuple[Lot, ...]] = [() for _ in items]
        self.loads = Loads()
        self.order = sorted(
            (n for n, wanted in enumerate(self.wanted) if wanted), key=lambda n: (items[n].plan.material, n)
        )
        sellers = {quote.seller for item in items for quote in item.quotes}
        self.shared = any(market.seller(key).shares for key in sellers)
        self.least = any(market.seller(key).least_order for key in sellers)

    def size(self, n: int, *, anyhow: bool, alone: bool = False) -> bool:
        """Size a material anew beside the others; kept when it costs less, or anyhow. Says whether it is."""
        item, before = self.items[n], self.found[n]
        self.loads.put(before, item=item, sign=-1)
        loads = Loads() if alone else self.loads
        apart = item.plan.material in self.apart
        rules = rules_of(item, market=self.market, loads=loads, today=self.today, apart=apart)
        demanded = _riding(self.wanted[n], item=item, market=self.market, loads=loads, today=self.today)
        lots = sizing.cheapest(demanded, rules=rules)
        kept = anyhow or _cost(lots, rules=rules) < _cost(before, rules=rules)
        self.found[n] = lots if kept else before
        self.loads.put(self.found[n], item=item, sign=1)
        return kept

    def mend(self) -> None:
        """Bring orders that others have left below what their supplier takes up to it, or join them."""
        if not self.least:
            return
        for _try in self.order:
            n = self._short()
            if n is None:
                return
            self.size(n, anyhow=True)
        if self._short() is not None:
            for n in self.order:
                self.size(n, anyhow=True, alone=True)

    def _short(self) -> int | None:
        """The first material that is in an order below what its supplier takes."""
        short = {
            slot
            for slot, value in self.loads.values.items()
            if 0 < value < self.market.seller(slot[0]).least_order
        }
        for n in self.order:
            if any((lot.chance.quote.seller, lot.chance.arrival) in short for lot in self.found[n]):
                return n
        return None


def _riding(
    wanted: Sequence[Demand], *, item: Item, market: Market, loads: Loads, today: date
) -> list[Demand]:
    """Let each need also ride on the last trucks of its suppliers that come before its own would."""
    days: dict[int, list[int]] = defaultdict(list)
    for (seller, day), grams in sorted(loads.grams.items()):
        if grams > 0 and market.seller(seller).shares:
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


def rules_of(item: Item, *, market: Market, loads: Loads, today: date, apart: bool) -> Rules:
    """Put together what lots of an item have to keep to, beside the loads of the other materials.

    Source: derived: a delivery adds the trucks that the loads of its day do not have room for.

    Args:
        item: the item.
        market: suppliers and money at stake.
        loads: what comes of the others by supplier and day.
        today: day of the plan.
        apart: whether each need is bought for itself.

    Returns:
        The rules.
    """

    def trip_cost(chance: Chance, quantity: int) -> int:
        seller = market.seller(chance.quote.seller)
        if not seller.trip_cost:
            return 0
        before = loads.grams.get((seller.key, chance.arrival), 0)
        after = before + item.load(quantity // chance.quote.content, quote=chance.quote)
        added = bought.trucks(after, seller.truck_g) - bought.trucks(before, seller.truck_g)
        return seller.trip_cost * added

    def least_packs(chance: Chance) -> int:
        seller = market.seller(chance.quote.seller)
        beside = loads.values.get((seller.key, chance.arrival), 0)
        return quotes.packs_for(seller.least_order - beside, quote=chance.quote) or 0

    closing = (
        [(row.day.toordinal(), row.closing) for row in lacking(item, today=today).days] if item.room else []
    )

    def room(day: int) -> int:
        held = [stock for at, stock in closing if at <= day]
        return (item.room or 0) - (held[-1] if held else 0)

    return Rules(
        trip_cost=trip_cost,
        least_packs=least_packs if any(market.seller(q.seller).least_order for q in item.quotes) else None,
        late_cost=chances.late_cost(item, market=market, today=today),
        life_days=item.plan.supply.life_days,
        room=room if item.room else None,
        keep_ppm=market.terms.keep_ppm,
        rest_ppm=market.terms.rest_ppm,
        rest_unit=bought.rest_unit(item.quotes),
        apart=apart,
    )


def _cost(lots: Sequence[Lot], *, rules: Rules) -> int:
    return sum(lot.price + lot.keeping + lot.risk + rules.trip_cost(lot.chance, lot.quantity) for lot in lots)
