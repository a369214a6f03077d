"""The lots of a site all at once, as one integer program: packs, trucks, price breaks, life and room."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from inventory.calc.reorder import at_site, bought, chances, quotes, ways
from inventory.calc.reorder.bought import Bought, Loads, Served, Slot
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.program import Floats, Program
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import RATE_DAYS, Chance, Lot
from inventory.calc.reorder.ways import Ways

SCALE = 10_000.0
"""1/10,000 minor units in a unit of the program's money, so that its figures stay near one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Improved:
    """What the program found.

    Args:
        rows: what is bought, by item; as given when nothing better was found.
        cost: of the rows, 1/10,000 minor units.
        bound: no plan of these needs, days and quotes costs less.
        proven: whether the solver closed the gap.
    """

    rows: tuple[Bought, ...]
    cost: int
    bound: int
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """When to end: nodes of the search (the same everywhere), and seconds after which it ends anyway."""

    seconds: float
    nodes: int = 20_000


@dataclass(slots=True)
class _Model:
    """The program under way: its columns by what they mean."""

    market: Market
    today: date
    program: Program = field(default_factory=Program)
    constant: float = 0.0
    trucks: dict[Slot, int] = field(default_factory=dict)
    truck_rows: dict[Slot, int] = field(default_factory=dict)
    orders: dict[Slot, tuple[int, int]] = field(default_factory=dict)
    packs: dict[tuple[int, Quote, int], list[int]] = field(default_factory=dict)
    use: dict[tuple[int, Quote, int, int], int] = field(default_factory=dict)
    weeks: dict[date, int] = field(default_factory=dict)


def improve(
    rows: Sequence[Bought],
    *,
    market: Market,
    today: date,
    limits: Limits,
    week_most: Mapping[date, int] | None = None,
) -> Improved:
    """Look for the lots of least cost for a site, all materials together.

    Each need is split over deliveries that come before it and are still usable (x), deliveries are whole
    packs (n), trucks are whole (y); x of a need is at most that need times the trucks of its day, which keeps
    the linear relaxation tight. What a supplier brings on a day comes to its least order, or nothing of it.
    Source: facility-location form of joint lot sizing (Krarup & Bilde 1977); price breaks by segments.

    Args:
        rows: a plan of the site, which is kept when nothing better is found.
        market: suppliers and money at stake.
        today: day of the plan.
        limits: when to end.
        week_most: most to be spent on the orders of a week by its Monday, where there is a budget.

    Returns:
        The better plan, never dearer than the one given, with a bound.
    """
    before = bought.cost(rows, market=market, today=today)
    model = _Model(market, today)
    for monday, most in sorted((week_most or {}).items()):
        model.weeks[monday] = model.program.row(most=most / SCALE)
    found_ways = [ways.of_item(row, rows=rows, market=market, today=today) for row in rows]
    for number, row in enumerate(rows):
        if row.demands:
            _add(model, number=number, row=row, among=found_ways[number])
    if not model.use:
        return Improved(rows=tuple(rows), cost=before, bound=before, proven=True)
    solved = model.program.solve(seconds=limits.seconds, nodes=limits.nodes)
    bound = min(before, int((solved.bound + model.constant) * SCALE)) if solved.bound > -1e29 else 0
    after = None if solved.values is None else _all(model, rows=rows, among=found_ways, values=solved.values)
    if after is not None and not bought.below_least(after, market=market):
        cost = bought.cost(after, market=market, today=today)
        if cost < before:
            return Improved(rows=after, cost=cost, bound=min(bound, cost), proven=solved.proven)
    return Improved(rows=tuple(rows), cost=before, bound=bound, proven=solved.proven)


def _add(model: _Model, *, number: int, row: Bought, among: Ways) -> None:
    """Add the columns and rows of an item."""
    program, item = model.program, row.item
    needs = [program.row(demand.quantity, demand.quantity) for demand in row.demands]
    worth, units = bought.rest_unit(item.quotes)
    lost = worth * model.market.terms.rest_ppm / (units * 1_000_000 * SCALE)
    model.constant -= lost * sum(demand.quantity for demand in row.demands)
    rooms = _rooms(model, row=row, among=among)
    late_cost = chances.late_cost(item, market=model.market, today=model.today)
    totals: dict[Quote, int] = {}
    for (quote, day), (chance, served) in sorted(among.items(), key=lambda way: (way[0][1], way[0][0].key)):
        cover = program.row(least=0.0)
        truck = _truck(model, seller=quote.seller, day=day)
        total = sum(row.demands[at].quantity for at in served)
        entries = [(cover, float(quote.content))]
        entries += [(room, float(quote.content)) for at, room in rooms if day <= at]
        if truck is not None:
            mass = item.unit_mg / 1e9 * quote.content if quote.load_g is None else quote.load_g / 1e6
            entries.append((model.truck_rows[quote.seller, day], -max(mass, 1e-6)))
        if quote.most_packs is not None:
            totals.setdefault(quote, program.row(most=float(quote.most_packs)))
            entries.append((totals[quote], 1.0))
        serving = None
        if model.market.seller(quote.seller).least_order:
            # Nothing is bought only to fill an order: each pack serves something.
            serving = program.row(least=0.0)
            entries.append((serving, -1.0))
        _packs(
            model,
            slot=(number, quote, day),
            chance=chance,
            entries=entries,
            most=_most(total, quote=quote, market=model.market),
            extra=lost * quote.content,
        )
        for at in served:
            demand = row.demands[at]
            keep = quote.worth * max(0, demand.day - day) * model.market.terms.keep_ppm
            cost = keep / (quote.content * RATE_DAYS * SCALE)
            cost += late_cost(chance, demand.day) / (demand.quantity * SCALE)
            uses = [(needs[at], 1.0), (cover, -1.0), *([] if serving is None else [(serving, 1.0)])]
            if truck is not None:
                tight = program.row(least=0.0)
                program.enter(tight, truck, float(demand.quantity))
                uses.append((tight, -1.0))
            model.use[number, quote, day, at] = program.column(cost, uses, most=float(demand.quantity))


def _most(total: int, *, quote: Quote, market: Market) -> int:
    """The most packs of a delivery: what it may serve, and what a minimum or a break adds to it."""
    least = quotes.packs_for(market.seller(quote.seller).least_order, quote=quote) or 0
    most = -(-total // quote.content) + max(quote.minimum_packs, quote.breaks[-1].packs, least)
    return most if quote.most_packs is None else min(most, quote.most_packs)


def _rooms(model: _Model, *, row: Bought, among: Ways) -> list[tuple[int, int]]:
    """Add a row for each day of arrival: what is bought by then and not used yet finds room.

    A plan that starts with more, because one need alone takes more than the room, may have as much.
    """
    rules = at_site.rules_of(row.item, market=model.market, loads=Loads(), today=model.today, apart=False)
    if rules.room is None:
        return []
    found = []
    for day in sorted({day for _quote, day in among}):
        used = sum(demand.quantity for demand in row.demands if demand.day < day)
        before = sum(lot.quantity for lot in row.lots if lot.chance.arrival <= day)
        most = max(rules.room(day) + used, before)
        found.append((day, model.program.row(most=float(most))))
    return found


def _truck(model: _Model, *, seller: int, day: int) -> int | None:
    """Return the column of the trucks of a supplier on a day, None when trips cost nothing."""
    terms = model.market.seller(seller)
    if not terms.trip_cost:
        return None
    slot = (seller, day)
    if slot not in model.trucks:
        load = model.program.row(least=0.0)
        takes = 1e6 if terms.truck_g is None else terms.truck_g / 1e6
        model.truck_rows[slot] = load
        model.trucks[slot] = model.program.column(terms.trip_cost / SCALE, [(load, takes)], whole=True)
    return model.trucks[slot]


def _order(model: _Model, *, slot: Slot) -> tuple[int, int] | None:
    """Return the row of an order's value and the column that says whether there is one; None for no least."""
    least = model.market.seller(slot[0]).least_order
    if not least:
        return None
    if slot not in model.orders:
        value = model.program.row(least=0.0)
        placed = model.program.column(0.0, [(value, -least / SCALE)], most=1.0, whole=True)
        model.orders[slot] = value, placed
    return model.orders[slot]


def _packs(
    model: _Model,
    *,
    slot: tuple[int, Quote, int],
    chance: Chance,
    entries: Sequence[tuple[int, float]],
    most: int,
    extra: float,
) -> None:
    """Add the packs of a delivery: plain, or in segments where a minimum or price breaks make them lumpy."""
    _number, quote, day = slot
    program = model.program
    budget = model.weeks.get(_monday(max(model.today, date.fromordinal(chance.order_day))))
    sums = [] if budget is None else [budget]
    order = _order(model, slot=(quote.seller, day))
    if order is not None:
        sums.append(order[0])
        within = program.row(least=0.0)
        program.enter(within, order[1], float(most))
        entries = [*entries, (within, -1.0)]

    def price(per_pack: int) -> list[tuple[int, float]]:
        return [*entries, *((row, per_pack / SCALE) for row in sums)]

    if quote.minimum_packs == 1 and len(quote.breaks) == 1:
        cost = quote.pack_price / SCALE + extra
        model.packs[slot] = [program.column(cost, price(quote.pack_price), most=float(most), whole=True)]
        return
    one = program.row(most=1.0)
    least = program.row(least=0.0)
    columns = []
    ends = [step.packs - (0 if quote.incremental else 1) for step in quote.breaks[1:]] + [max(most, 1)]
    for step, end in zip(quote.breaks, ends, strict=True):
        low, high = program.row(least=0.0), program.row(most=0.0)
        fixed = _fixed(quote, start=step.packs)
        chosen = [(one, 1.0), (low, -float(step.packs)), (high, -float(end)), (least, -quote.minimum_packs)]
        chosen += [(row, fixed / SCALE) for row in sums if fixed]
        program.column(fixed / SCALE, chosen, most=1.0, whole=True)
        rows = [*price(step.pack_price), (low, 1.0), (high, 1.0), (least, 1.0)]
        columns.append(program.column(step.pack_price / SCALE + extra, rows, most=float(end), whole=True))
    model.packs[slot] = columns


def _fixed(quote: Quote, *, start: int) -> int:
    """What a segment of incremental prices costs beyond its price for every pack."""
    if not quote.incremental or start == 1:
        return 0
    price = next(step.pack_price for step in quote.breaks if step.packs == start)
    return quotes.amount(start, quote=quote) - start * price


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _all(
    model: _Model, *, rows: Sequence[Bought], among: Sequence[Ways], values: Floats
) -> tuple[Bought, ...] | None:
    found = []
    for number, row in enumerate(rows):
        one = _read(model, number=number, row=row, among=among[number], values=values) if row.demands else row
        if one is None:
            return None
        found.append(one)
    return tuple(found)


def _read(model: _Model, *, number: int, row: Bought, among: Ways, values: Floats) -> Bought | None:
    """Turn the columns of an item back into lots and what they serve; None when rounding does not hold."""
    found: list[tuple[Lot, dict[int, int]]] = []
    for (quote, day), (chance, served) in among.items():
        packs = round(sum(values[column] for column in model.packs[number, quote, day]))
        if not packs:
            continue
        given = {at: int(values[model.use[number, quote, day, at]] + 1e-3) for at in served}
        price = quotes.amount(packs, quote=quote)
        lot = Lot(first=0, last=0, chance=chance, packs=packs, price=price, trip=0, keeping=0)
        found.append((lot, {at: quantity for at, quantity in given.items() if quantity}))
    for at, demand in enumerate(row.demands):
        lack = demand.quantity - sum(given.get(at, 0) for _lot, given in found)
        for lot, given in found:
            if lack < 0 and at in given:
                back = min(-lack, given[at])
                given[at] -= back
                lack += back
            serves = among[lot.chance.quote, lot.chance.arrival][1]
            spare = lot.quantity - sum(given.values())
            if lack > 0 and spare > 0 and at in serves:
                given[at] = given.get(at, 0) + min(lack, spare)
                lack -= min(lack, spare)
        if lack:
            return None
    return _bought(row.item, row=row, found=[pair for pair in found if any(pair[1].values())])


def _bought(item: Item, *, row: Bought, found: Sequence[tuple[Lot, dict[int, int]]]) -> Bought | None:
    if any(sum(given.values()) > lot.quantity for lot, given in found):
        return None
    ordered = sorted(found, key=lambda pair: (min(pair[1]), pair[0].chance.arrival, pair[0].chance.quote.key))
    lots, served = [], []
    for number, (lot, given) in enumerate(ordered):
        used = sorted(at for at, quantity in given.items() if quantity)
        lots.append(
            Lot(
                first=used[0],
                last=used[-1],
                chance=lot.chance,
                packs=lot.packs,
                price=lot.price,
                trip=0,
                keeping=0,
            )
        )
        served += [Served(number, at, given[at]) for at in used]
    return Bought(item=item, demands=row.demands, lots=tuple(lots), served=tuple(served))
