"""What to move between sites: stock that its own site will not use, where a trip costs less than buying."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from inventory.calc.reorder import at_site, bought, chances, flows, yard
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.facts import Lot as Stock
from inventory.calc.reorder.facts import Receipt
from inventory.calc.reorder.flows import Arc
from inventory.calc.reorder.market import Item, Market, Road
from inventory.calc.reorder.yard import Heap, Origin

ROAD_DAYS = 1
"""Working days from a dispatch to the arrival at another site."""

MOST_DONORS = 8
"""Donors that are looked at for a need, so that time grows with the sites and not with their square."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Stock to move from a site to another.

    Args:
        material: code of the material.
        source: site that will not use it.
        target: site that lacks it.
        quantity: stock units, whole packs.
        content: stock units in a pack.
        send_day: last day (ordinal) on which it still comes in time.
        arrival: day on which it is there.
        need_day: day of the need that it serves.
        usable_until: last day of its use, None when it keeps.
        avoided: what buying it would cost, 1/10,000 minor units.
        worth: what it would still bring where it lies, 1/10,000 minor units.
    """

    material: str
    source: int
    target: int
    quantity: int
    content: int
    send_day: int
    arrival: int
    need_day: int
    usable_until: date | None
    avoided: int
    worth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """Moves that go together: what the trip costs, and what it saves after its cost, 1/10,000 minor units."""

    moves: tuple[Move, ...]
    freight: int
    saving: int


def surplus(item: Item, *, today: date) -> tuple[Stock, ...]:
    """Find the stock of an item that no need of its own site will ever use, its last reserve kept.

    Source: common practice: offer only what lies above the donor's own need; here over all known needs, so
    that a move never makes the next shortage.

    Args:
        item: needs and supply.
        today: day of the plan.

    Returns:
        Lots in the order of their last days.
    """
    heaps: yard.Yard = tuple(
        Heap(origin=Origin.STOCK, quantity=lot.quantity, usable_until=lot.usable_until)
        for lot in item.plan.supply.stock
        if lot.usable_until is None or lot.usable_until >= today
    )
    coming = sorted(item.plan.supply.receipts, key=lambda one: (one.expected, one.key))
    unused: list[Heap] = []
    reserve = 0
    for need in sorted(item.plan.needs, key=lambda need: (need.day, need.key)):
        while coming and coming[0].expected <= need.day:
            one = coming.pop(0)
            heaps += (Heap(origin=Origin.ORDER, quantity=one.quantity, usable_until=one.usable_until),)
        usable = yard.expire(heaps, day=max(need.day, today))
        unused += [heap for heap in heaps if heap not in usable]
        heaps = yard.take(usable, quantity=min(need.quantity, yard.on_hand(usable)))
        reserve = need.reserve
    unused += yard.take(heaps, quantity=min(reserve, yard.on_hand(heaps)))
    mine = [heap for heap in unused if heap.origin is Origin.STOCK]
    return tuple(
        Stock(quantity=heap.quantity, usable_until=heap.usable_until)
        for heap in sorted(mine, key=lambda heap: (heap.usable_until or date.max, heap.quantity))
    )


def find(plans: Mapping[int, Sequence[Bought]], *, market: Market, today: date) -> tuple[Trip, ...]:
    """Find the trips that save more than they cost.

    For each material the flow of least cost sets stock that is left over against buying; what goes between
    two sites then shares a trip. A trip is taken when planning its target anew with it proves the saving.
    Source: minimum-cost flow (`flows.cheapest`); derived: whole trips checked by planning the target again.

    Args:
        plans: what each site buys, by site.
        market: money at stake and roads.
        today: day of the plan.

    Returns:
        Trips, those that save most first; none when the firm has not said what a trip costs.
    """
    if market.terms.freight is None and not market.roads:
        return ()
    materials: dict[str, list[Bought]] = defaultdict(list)
    for _site, plan in sorted(plans.items()):
        for row in plan:
            materials[row.item.plan.material].append(row)
    together: dict[tuple[int, int], list[Move]] = defaultdict(list)
    for _material, rows in sorted(materials.items()):
        for move in _flow(rows, market=market, today=today):
            together[move.source, move.target].append(move)
    found: list[Trip] = []
    current = dict(plans)
    for pair in sorted(together, key=lambda pair: (-sum(move.avoided for move in together[pair]), pair)):
        trip, after = _try(together[pair], plan=current[pair[1]], market=market, today=today)
        if trip.saving > 0:
            found.append(trip)
            current[pair[1]] = after
    return tuple(sorted(found, key=lambda trip: (-trip.saving, trip.moves[0].source, trip.moves[0].target)))


def with_moves(items: Sequence[Item], *, trips: Sequence[Trip]) -> tuple[Item, ...]:
    """Put moves to what items have: what comes is on its way, what goes is no longer there.

    Source: derived: as a receipt at the target; taken from what spoils first of the surplus at the source.

    Args:
        items: items of any sites.
        trips: trips that are taken.

    Returns:
        The items, in their order.
    """
    moves = [move for trip in trips for move in trip.moves]
    return tuple(_moved(item, moves=moves) for item in items)


def _moved(item: Item, *, moves: Sequence[Move]) -> Item:
    supply = item.plan.supply
    coming = tuple(
        Receipt(
            key=f"move:{number}:{move.source}",
            quantity=move.quantity,
            expected=date.fromordinal(move.arrival),
            usable_until=move.usable_until,
        )
        for number, move in enumerate(moves)
        if (move.target, move.material) == (item.plan.site_id, item.plan.material)
    )
    stock = list(supply.stock)
    for move in moves:
        if (move.source, move.material) == (item.plan.site_id, item.plan.material):
            stock = _less(stock, move=move)
    if not coming and len(stock) == len(supply.stock) and tuple(stock) == supply.stock:
        return item
    supply = replace(supply, stock=tuple(stock), receipts=supply.receipts + coming)
    return replace(item, plan=replace(item.plan, supply=supply))


def _less(stock: Sequence[Stock], *, move: Move) -> list[Stock]:
    left, rest = [], move.quantity
    for lot in sorted(stock, key=lambda lot: (lot.usable_until != move.usable_until, lot.quantity)):
        gone = min(lot.quantity, rest)
        rest -= gone
        if lot.quantity > gone:
            left.append(replace(lot, quantity=lot.quantity - gone))
    return left


@dataclass(frozen=True, slots=True)
class _Spare:
    site: int
    packs: int
    until: date | None


@dataclass(frozen=True, slots=True)
class _Lack:
    site: int
    packs: int
    day: int
    wanted: int
    unit_cost: int


def _flow(rows: Sequence[Bought], *, market: Market, today: date) -> list[Move]:
    """Set what is left over of a material against buying, and return what the flow moves."""
    quoted = [quote for one in rows for quote in one.item.quotes]
    if not quoted or not any(one.lots for one in rows):
        return []
    price, content = bought.rest_unit(quoted)
    worth = price * (1_000_000 - market.terms.rest_ppm) // 1_000_000
    spare = [
        _Spare(one.item.plan.site_id, lot.quantity // content, lot.usable_until)
        for one in rows
        for lot in surplus(one.item, today=today)
        if lot.quantity >= content
    ]
    lacks = [lack for one in rows for lack in _lacks(one, content=content, today=today)]
    if not spare or not lacks:
        return []
    grams = rows[0].item.grams(content)
    now = chances.span(rows[0].item.plan.calendar, around=today).arrival(today.toordinal(), ROAD_DAYS)
    arcs: list[Arc] = []
    ways: list[tuple[_Spare, _Lack]] = []
    first = len(spare)
    for number, lack in enumerate(lacks):
        for at in _donors(spare, lack=lack, market=market, now=now):
            road = market.road(spare[at].site, lack.site)
            assert road is not None  # noqa: S101 - donors without one are left out
            share = _share(road, grams=grams, packs=min(spare[at].packs, lack.packs), market=market)
            arcs.append(Arc(tail=at, head=first + number, cost=worth + share))
            ways.append((spare[at], lack))
    supplier, sink = first + len(lacks), first + len(lacks) + 1
    arcs += [Arc(tail=at, head=sink, cost=0) for at in range(first)]
    arcs += [Arc(tail=supplier, head=first + n, cost=lack.unit_cost) for n, lack in enumerate(lacks)]
    arcs.append(Arc(tail=supplier, head=sink, cost=0))
    needed, there = sum(lack.packs for lack in lacks), sum(one.packs for one in spare)
    supplies = [one.packs for one in spare] + [-lack.packs for lack in lacks] + [needed, -there]
    solved = flows.cheapest(arcs, supplies=supplies) if ways else None
    if solved is None:
        return []
    return [
        _move(way, packs=packs, content=content, worth=worth, item=rows[0].item, today=today)
        for way, packs in zip(ways, solved[1], strict=False)
        if packs
    ]


def _lacks(row: Bought, *, content: int, today: date) -> list[_Lack]:
    found = []
    worked = chances.span(row.item.plan.calendar, around=today)
    for lot in row.lots:
        for demand in row.demands[lot.first : lot.last + 1]:
            packs = -(-demand.quantity // content)
            unit = (lot.cost * demand.quantity) // (lot.quantity * packs)
            wanted = worked.back(demand.day, row.item.plan.safety_days)
            found.append(_Lack(row.item.plan.site_id, packs, demand.day, wanted, unit))
    return found


def _donors(spare: Sequence[_Spare], *, lack: _Lack, market: Market, now: int) -> list[int]:
    """Name the stock that can be there in time and still be used, the nearest and the largest first."""
    fit = [
        at
        for at, one in enumerate(spare)
        if one.site != lack.site
        and now <= lack.wanted
        and (one.until is None or one.until.toordinal() >= lack.day)
        and market.road(one.site, lack.site) is not None
    ]

    def nearness(at: int) -> tuple[int, int, int, int]:
        road = market.road(spare[at].site, lack.site) or Road(trip=0)
        return (road.trip, road.tonne, -spare[at].packs, at)

    return sorted(fit, key=nearness)[:MOST_DONORS]


def _share(road: Road, *, grams: int, packs: int, market: Market) -> int:
    """The part of a trip that a pack bears when the trip is well filled, and its own carriage."""
    van = market.terms.van_g
    trip = road.trip * grams // van if van and grams else road.trip // max(1, packs)
    return trip + road.carriage(grams)


def _move(
    way: tuple[_Spare, _Lack], *, packs: int, content: int, worth: int, item: Item, today: date
) -> Move:
    one, lack = way
    worked = chances.span(item.plan.calendar, around=today)
    return Move(
        material=item.plan.material,
        source=one.site,
        target=lack.site,
        quantity=packs * content,
        content=content,
        send_day=max(today.toordinal(), worked.back(lack.wanted, ROAD_DAYS)),
        arrival=lack.wanted,
        need_day=lack.day,
        usable_until=one.until,
        avoided=packs * lack.unit_cost,
        worth=packs * worth,
    )


def _try(
    moves: Sequence[Move], *, plan: Sequence[Bought], market: Market, today: date
) -> tuple[Trip, tuple[Bought, ...]]:
    """Plan the target with a trip: what it saves after its freight and the worth of what goes."""
    items = [row.item for row in plan]
    road = market.road(moves[0].source, moves[0].target)
    assert road is not None  # noqa: S101 - moves go by roads whose cost is known
    trip = Trip(moves=tuple(moves), freight=road.trip, saving=0)
    by_name = {item.plan.material: item for item in items}
    grams = sum(max(1, by_name[move.material].grams(move.quantity)) for move in moves)
    paid = road.trip * bought.trucks(grams, market.terms.van_g) + road.carriage(grams)
    spent = paid + sum(move.worth for move in moves)
    if sum(move.avoided for move in moves) <= spent:
        return trip, tuple(plan)
    after = at_site.plan(with_moves(items, trips=[trip]), market=market, today=today)
    before = bought.cost(plan, market=market, today=today)
    saving = before - bought.cost(after, market=market, today=today) - spent
    return replace(trip, saving=saving, freight=paid), after
