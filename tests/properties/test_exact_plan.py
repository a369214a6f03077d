"""The exact plan of a small site costs what trying every number of packs and trucks finds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from random import Random

import pytest
from ortools.graph.python.min_cost_flow import SimpleMinCostFlow

from inventory.calc.reorder import at_site, exact
from inventory.calc.reorder.exact import Limits
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.market import Item, Market, Seller, Terms
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import EVERY_DAY

TODAY = date(2025, 3, 3)
CASES, FULL_CASES = 40, 500
SLACK = 60
"""1/10,000 minor units that rounding each part of a cost down may leave between two sums."""


@dataclass(frozen=True)
class Case:
    """A small site, in plain figures: what trying every way works with."""

    needs: tuple[tuple[tuple[int, int], ...], ...]
    offers: tuple[tuple[tuple[int, int, int, tuple[tuple[int, int], ...], bool], ...], ...]
    trips: dict[int, tuple[int, int]]
    keep_ppm: int
    rest_ppm: int
    life: int | None
    least: int = 0
    weekdays: frozenset[int] = frozenset()
    left: int | None = None

    def delivery(self, day: int) -> int:
        """The last day, of those on which sellers deliver, on which something comes for a day."""
        while self.weekdays and (TODAY + timedelta(days=day)).weekday() not in self.weekdays:
            day -= 1
        return day


def drawn(seed: int) -> Case:
    """Draw one or two materials with two or three needs, one or two sellers, trucks and sometimes breaks."""
    draw = Random(seed)  # noqa: S311 - repeatable, nothing secret
    materials = draw.choice((1, 1, 2))
    needs = tuple(
        tuple((day, draw.randint(20, 140)) for day in sorted(draw.sample(range(10, 40), 3 - (materials > 1))))
        for _ in range(materials)
    )
    sellers = draw.choice((1, 2)) if materials == 1 else 1
    offers = []
    for _material in range(materials):
        rows = []
        for seller in range(1, sellers + 1):
            price, content = draw.randint(300, 900) * 100, draw.choice((50, 70, 100))
            breaks = ((1, price), (3, price * 9 // 10)) if draw.random() < 0.3 else ((1, price),)
            minimum = 2 if draw.random() < 0.2 else 1
            rows.append((seller, content, minimum, breaks, draw.random() < 0.3))
        offers.append(tuple(rows))
    trips = {seller: (draw.choice((0, 20_000, 90_000)), draw.choice((120, 300))) for seller in (1, 2)}
    return Case(
        needs, tuple(offers), trips, draw.choice((0, 400_000, 3_000_000)), draw.choice((0, 400_000)),
        draw.choice((None, 12)), **_terms(draw, offers),
    )  # fmt: skip


def _terms(draw: Random, offers) -> dict[str, object]:
    """Draw what sellers ask in every second case: a least order, days on which they come, an agreed total."""
    pack_price = offers[0][0][3][0][1]
    if draw.random() < 0.5:
        return {}
    return {
        "least": draw.choice((0, pack_price * 3 // 2, pack_price * 3)),
        "weekdays": draw.choice((frozenset(), frozenset({1, 4}), frozenset({2}))),
        "left": draw.choice((None, 1, 3)) if len(offers[0]) == 2 and len(offers) == 1 else None,
    }


def modelled(case: Case):
    """The same as the plan takes it: a need may be brought on its own day or an earlier one; kilograms."""
    market = Market(
        terms=Terms(keep_ppm=case.keep_ppm, rest_ppm=case.rest_ppm),
        sellers={
            key: Seller(
                key=key,
                trip_cost=cost,
                truck_g=most * 1_000,
                least_order=case.least,
                delivery_days=case.weekdays,
            )
            for key, (cost, most) in case.trips.items()
        },
    )
    items = [
        Item(
            plan=PlanItem(
                site_id=1,
                material=f"m{number}",
                needs=tuple(
                    Need(key=f"{day}", quantity=quantity, day=TODAY + timedelta(days=day))
                    for day, quantity in needs
                ),
                supply=Supply(life_days=case.life),
                calendar=EVERY_DAY,
            ),
            quotes=tuple(
                Quote(
                    key=seller,
                    seller=seller,
                    content=content,
                    minimum_packs=minimum,
                    incremental=incremental,
                    breaks=tuple(Break(packs=packs, pack_price=price) for packs, price in breaks),
                    most_packs=case.left if seller == 2 else None,
                )
                for seller, content, minimum, breaks, incremental in offers
            ),
            unit_mg=1_000_000,
        )
        for number, (needs, offers) in enumerate(zip(case.needs, case.offers, strict=True))
    ]
    return items, market


def least(case: Case) -> float:
    """The cost of the best of all ways: every number of packs on every day of a need from every seller."""
    days = sorted({case.delivery(day) for needs in case.needs for day, _quantity in needs})
    options = [
        list(_options(needs, offers, days=days, case=case))
        for needs, offers in zip(case.needs, case.offers, strict=True)
    ]
    best = float("inf")
    for chosen in product(*options):
        cost = sum(option[0] for option in chosen)
        if cost >= best:
            continue
        loads: dict[tuple[int, int], int] = {}
        values: dict[tuple[int, int], int] = {}
        for _cost, masses in chosen:
            for slot, mass, price in masses:
                loads[slot] = loads.get(slot, 0) + mass
                values[slot] = values.get(slot, 0) + price
        if any(value < case.least for value in values.values()):
            continue
        trips = sum(
            case.trips[s][0] * -(-mass // case.trips[s][1]) for (s, _day), mass in loads.items() if mass
        )
        best = min(best, cost + trips)
    return best


def _options(needs, offers, *, days, case):
    """Every way to buy one material: its cost without trips, and its masses by seller and day."""
    total = sum(quantity for _day, quantity in needs)
    own = [case.delivery(day) for day, _quantity in needs]
    shared = {seller: case.least or trip[0] for seller, trip in case.trips.items()}
    slots = [(offer, day) for offer in offers for day in days if day in own or shared[offer[0]]]
    slots = [slot for slot in slots if slot[1] <= own[-1]]
    most = [
        max(
            -(-sum(q for d, q in needs if d >= day) // offer[1]),
            offer[2],
            offer[3][-1][0],
            -(-case.least // offer[3][-1][1]),
        )
        for offer, day in slots
    ]
    spare = max(offer[1] * (3 + len(needs) * (case.least // offer[3][-1][1])) for offer in offers)
    worth = min((min(p for _n, p in offer[3]) / offer[1]) for offer in offers)
    for packs in product(*(range(n + 1) for n in most)):
        bought = sum(n * offer[1] for n, (offer, _day) in zip(packs, slots, strict=True))
        if not total <= bought <= total + spare:
            continue
        if any(0 < n < offer[2] for n, (offer, _day) in zip(packs, slots, strict=True)):
            continue
        agreed = sum(n for n, (offer, _day) in zip(packs, slots, strict=True) if offer[0] == 2)
        if case.left is not None and agreed > case.left:
            continue
        kept = _kept(needs, packs, slots, case)
        if kept is None:
            continue
        price = sum(_price(n, offer) for n, (offer, _day) in zip(packs, slots, strict=True))
        rest = worth * (bought - total) * case.rest_ppm / 1e6
        masses = [((o[0], d), n * o[1], _price(n, o)) for n, (o, d) in zip(packs, slots, strict=True) if n]
        yield price + kept + rest, masses


def _price(packs, offer):
    _seller, _content, _minimum, breaks, incremental = offer
    if not incremental:
        return packs * max((n, p) for n, p in breaks if n <= max(packs, 1))[1]
    if len(breaks) == 1 or packs <= breaks[1][0]:
        return packs * breaks[0][1]
    return breaks[1][0] * breaks[0][1] + (packs - breaks[1][0]) * breaks[1][1]


def _kept(needs, packs, slots, case):
    """The least cost of keeping over every way in which lots may be used up, None when none serves all."""
    lots = [
        (n * o[1], d, min(p for _n, p in o[3]) / o[1], n if case.least else 0)
        for n, (o, d) in zip(packs, slots, strict=True)
        if n
    ]
    flow = SimpleMinCostFlow()
    rates = {}
    for at, (units, came, unit, serving) in enumerate(lots):
        flow.set_node_supply(at, units)
        for number, (day, quantity) in enumerate(needs):
            if came <= day and (case.life is None or day - came <= case.life):
                rate = unit * (day - came) * case.keep_ppm / 1e6 / 365
                arc = flow.add_arc_with_capacity_and_unit_cost(
                    at, len(lots) + number, quantity, round(rate * 1e6)
                )
                rates[arc] = rate
        flow.add_arc_with_capacity_and_unit_cost(at, len(lots) + len(needs), units - serving, 0)
    for number, (_day, quantity) in enumerate(needs):
        flow.set_node_supply(len(lots) + number, -quantity)
    total = sum(lot[0] for lot in lots)
    flow.set_node_supply(len(lots) + len(needs), sum(quantity for _day, quantity in needs) - total)
    if flow.solve() != flow.OPTIMAL:
        return None
    return sum(flow.flow(arc) * rate for arc, rate in rates.items())


@pytest.mark.long
def test_the_exact_plan_is_the_best_of_all(full_size):
    for seed in range(FULL_CASES if full_size else CASES):
        case = drawn(seed)
        items, market = modelled(case)
        first = at_site.plan(items, market=market, today=TODAY)
        found = exact.improve(first, market=market, today=TODAY, limits=Limits(seconds=20))
        best = least(case)
        _hold(first, case, seed)
        _hold(found.rows, case, seed)
        assert found.proven, seed
        assert found.cost == pytest.approx(best, abs=SLACK), seed
        assert found.bound <= found.cost, seed
        assert found.bound == pytest.approx(best, abs=SLACK), seed


def _hold(rows, case: Case, seed: int) -> None:
    """What the sellers ask is kept to in every plan."""
    values: dict[tuple[int, int], int] = {}
    packs: dict[int, int] = {}
    for lot in [lot for row in rows for lot in row.lots]:
        slot = (lot.chance.quote.seller, lot.chance.arrival)
        values[slot] = values.get(slot, 0) + lot.price
        packs[slot[0]] = packs.get(slot[0], 0) + lot.packs
        assert not case.weekdays or date.fromordinal(slot[1]).weekday() in case.weekdays, seed
        assert lot.packs >= lot.chance.quote.minimum_packs, seed
    assert all(value >= case.least for value in values.values()), seed
    assert case.left is None or packs.get(2, 0) <= case.left, seed


def test_the_same_facts_give_the_same_exact_plan():
    items, market = modelled(drawn(3))
    first = at_site.plan(items, market=market, today=TODAY)
    found = [exact.improve(first, market=market, today=TODAY, limits=Limits(seconds=20)) for _ in range(2)]
    assert found[0] == found[1]
