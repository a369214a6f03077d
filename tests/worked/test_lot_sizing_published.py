"""Lot sizing against published examples, and against trying every way out."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from inventory.calc.reorder import flows, lateness, quotes, reserve, sizing
from inventory.calc.reorder.flows import Arc
from inventory.calc.reorder.quotes import Break, Quote, Steady
from inventory.calc.reorder.reserve import Stakes
from inventory.calc.reorder.sizing import Chance, Demand, Period, Rules

WW_1958 = (
    (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56),
    (85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114),
)


def periods(demand, *, order_cost, keep_cost, prices=None):
    costs = order_cost if isinstance(order_cost, tuple) else (order_cost,) * len(demand)
    return [
        Period(demand=d, order_cost=k, keep_cost=keep_cost, unit_cost=c)
        for d, k, c in zip(demand, costs, prices or (0,) * len(demand), strict=True)
    ]


# Wagner & Whitin 1958, Management Science 5(1) (figures as remembered, worked again with a general library);
# Snyder & Shen, Fundamentals of Supply Chain Theory, 2nd edition, Example 3.9 and Problems 3.27, 3.29; the
# fifth is the instance `scmo_ww_hw_c` of the library stockpyl 1.0.2 (answers copied from its tests); Nahmias,
# Production and Operations Analysis, the Wagner-Whitin example of the chapter on lot sizing.
@pytest.mark.parametrize(
    ("demand", "order_cost", "keep_cost", "prices", "cost", "orders"),
    [
        (*WW_1958, 1, None, 864, ((1, 98), (3, 97), (5, 121), (8, 112), (10, 67), (11, 135))),
        ((90, 120, 80, 70), 500, 2, None, 1380, ((1, 210), (3, 150))),
        ((150, 100, 80, 200), 120, 0.8, None, 424, ((1, 150), (2, 180), (4, 200))),
        ((730, 580, 445, 650, 880), 100, 0.1, None, 423, ((1, 1310), (3, 1095), (5, 880))),
        ((400, 500, 500, 1100, 900), 100, 0.1, (3, 1, 4, 6, 6), 4940, ((1, 400), (2, 3000))),
        ((52, 87, 23, 56), 75, 1, None, 248, ((1, 52), (2, 110), (4, 56))),
    ],
)
def test_wagner_whitin_published(demand, order_cost, keep_cost, prices, cost, orders):
    found = sizing.wagner_whitin(periods(demand, order_cost=order_cost, keep_cost=keep_cost, prices=prices))
    assert found == (pytest.approx(cost), orders)


# Trying every subset of the twelve periods as order periods gives the same figures.
@pytest.mark.parametrize(("most_age", "cost"), [(0, 1234), (1, 901), (2, 864), (3, 864), (None, 864)])
def test_an_age_limit_costs_what_trying_every_set_of_orders_says(most_age, cost):
    demand, order_cost = WW_1958
    least = min(
        total
        for chosen in product((False, True), repeat=11)
        if (total := _cost_of((True, *chosen), demand, order_cost, most_age)) is not None
    )
    found = sizing.wagner_whitin(periods(demand, order_cost=order_cost, keep_cost=1), most_age=most_age)
    assert found[0] == least == cost


def _cost_of(chosen, demand, order_cost, most_age):
    total, since = 0, 0
    for at, (is_order, units, setup) in enumerate(zip(chosen, demand, order_cost, strict=True)):
        since = at if is_order else since
        if most_age is not None and at - since > most_age:
            return None
        total += (setup if is_order else 0) + units * (at - since)
    return total


def test_days_without_a_need_do_not_part_the_lots():
    # Segerstedt, Abdul-Jalbar & Samuelsson 2023, Axioms 12(7), 661: on days without demand the textbook's
    # stopping rule orders each need apart (2,400); 60, 50, 55, 45, 60, 50 every sixth day with 400 for an
    # order and 1 a day cost 2,070: 110, 100, 110.
    price = 365_000_000
    quote = Quote(key=1, seller=1, content=1, breaks=(Break(packs=1, pack_price=price),))
    needs = [
        Demand(
            day=6 * n + 1,
            quantity=units,
            chances=(Chance(quote=quote, order_day=6 * n + 1, arrival=6 * n + 1),),
        )
        for n, units in enumerate((60, 50, 55, 45, 60, 50))
    ]
    rules = Rules(trip_cost=lambda _chance, _quantity: 400, keep_ppm=1)
    lots = sizing.cheapest(needs, rules=rules)
    assert [(lot.quantity, lot.chance.arrival) for lot in lots] == [(110, 1), (100, 13), (110, 25)]
    assert sum(lot.trip + lot.keeping for lot in lots) == 2070


@pytest.mark.parametrize("seed", range(40))
def test_packs_breaks_and_days_beat_no_plan_that_trying_finds(seed):
    # Every way to part five needs into lots of whole packs, with its own arithmetic.
    draw = Random(seed)  # noqa: S311 - repeatable, nothing secret
    days = sorted(draw.sample(range(10, 90), 5))
    units = [draw.randint(20, 400) for _ in days]
    content, price, trip, ppm = (
        draw.choice((1, 25, 50)),
        draw.randint(50, 400),
        draw.randint(0, 40_000),
        200_000,
    )
    quote = Quote(key=1, seller=1, content=content, breaks=(Break(packs=1, pack_price=price * content),))
    needs = [
        Demand(day=d, quantity=q, chances=(Chance(quote=quote, order_day=d, arrival=d),))
        for d, q in zip(days, units, strict=True)
    ]
    life = draw.choice((None, 200))
    rules = Rules(trip_cost=lambda _chance, _quantity: trip, keep_ppm=ppm, life_days=life)
    lots = sizing.cheapest(needs, rules=rules)
    least = min(_parted(cut, days, units, (content, price, trip, ppm)) for cut in product((0, 1), repeat=4))
    assert sum(lot.price + lot.trip for lot in lots) + _keeping(
        lots, days, units, price, ppm
    ) == pytest.approx(least, abs=5)


def _parted(cuts, days, units, terms):
    content, price, trip, ppm = terms
    starts = [0] + [at + 1 for at, cut in enumerate(cuts) if cut]
    total, have = 0.0, 0
    layers: list[list[int]] = []
    for first, end in zip(starts, [*starts[1:], len(days)], strict=True):
        lack = sum(units[first:end]) - have
        if lack > 0:
            packs = -(-lack // content)
            total += packs * content * price + trip
            have += packs * content
            layers.append([days[first], packs * content])
        for at in range(first, end):
            total += _use(layers, days[at], units[at], price, ppm)
            have -= units[at]
    return total


def _keeping(lots, days, units, price, ppm):
    layers = [[lot.chance.arrival, lot.quantity] for lot in lots]
    return sum(_use(layers, day, need, price, ppm) for day, need in zip(days, units, strict=True))


def _use(layers, day, need, price, ppm):
    cost = 0.0
    for layer in layers:
        used = min(layer[1], need)
        layer[1] -= used
        need -= used
        cost += used * (day - layer[0]) * price * ppm / 1e6 / 365
    return cost


CASINGS = Steady(rate=1300, order_cost=8, interest=0.3)
CARS = Steady(rate=182_500, order_cost=2250, interest=0.25)


# Snyder & Shen, 2nd edition, Examples 3.5 and 3.7, Problems 3.12(a) and (b); figures as in the tests of the
# library stockpyl 1.0.2.
@pytest.mark.parametrize(
    ("worth", "prices", "incremental", "lot", "cost"),
    [
        (CASINGS, ((0, 0.75), (400, 0.72), (800, 0.68)), False, 800, 978.60),
        (CASINGS, ((0, 0.75), (400, 0.72), (800, 0.68)), True, 304.047, 1043.411),
        (CARS, ((0, 1490), (1200, 1220), (2400, 1100)), False, 2400, 201_251_093.75),
        (CARS, ((0, 1490), (1200, 1220), (2400, 1100)), True, 28_553.0607, 208_678_591.68),
    ],
)
def test_price_breaks_published(worth, prices, incremental, lot, cost):
    found = quotes.steady_lot(worth, prices=prices, incremental=incremental)
    assert found == (pytest.approx(lot, rel=1e-6), pytest.approx(cost, rel=1e-6))


# Snyder & Shen, 2nd edition, Examples 4.1 and 4.3, Problem 4.1; figures as in the tests of stockpyl 1.0.2.
@pytest.mark.parametrize(
    ("left", "short", "mean", "deviation", "quantity", "cost"),
    [(0.18, 0.70, 50, 8, 56.604, 1.9976), (43, 79, 900, 60, 922.721, 2718.197)],
)
def test_newsvendor_normal_published(left, short, mean, deviation, quantity, cost):
    found = reserve.normal(Stakes(short=short, left=left), mean=mean, deviation=deviation)
    assert found == (pytest.approx(quantity, abs=6e-4), pytest.approx(cost, abs=6e-4))


def test_newsvendor_discrete_published():
    # Snyder & Shen, 2nd edition, Problem 4.7(b).
    chances = list(enumerate((0.25, 0.05, 0.10, 0.20, 0.15, 0.10, 0.10, 0.05), start=1))
    found = reserve.discrete(Stakes(short=1e6, left=0.5e6), chances=chances)
    assert found == (5, pytest.approx(1_225_000))


def test_newsvendor_poisson_published():
    # Snyder & Shen, 2nd edition, Problem 4.8(a): Poisson of mean 18; probabilities of scipy.
    scipy_stats = pytest.importorskip("scipy.stats")
    chances = [(n, float(scipy_stats.poisson.pmf(n, 18))) for n in range(120)]
    found = reserve.discrete(Stakes(short=270, left=200), chances=chances)
    assert found == (19, pytest.approx(786.088, abs=1e-3))


@pytest.mark.parametrize(
    ("use", "left", "short", "low", "high", "order"),
    [(1.5, 15, 75, -0.5, 0.5, 1.8333), (25, 150, 1200, -5, 0, 29.444)],
)
def test_newsvendor_with_uneven_supply_published(use, left, short, low, high, order):
    # Snyder & Shen, 2nd edition, Example 9.6 and Problem 9.5.
    found = reserve.uneven_supply(Stakes(short=short, left=left), use=use, low=low, high=high)
    assert found == pytest.approx(order, abs=6e-4)


@pytest.mark.parametrize("need", [122, 6_120_000])
def test_reserve_of_a_pour_costs_least_of_all_reserves(need):
    # Every reserve tried with the lognormal of scipy: the expected cost of standing and of what is left.
    scipy_stats = pytest.importorskip("scipy.stats")
    spread, stop, left = 0.04, 30_000, 160 * 122 / need
    use = scipy_stats.lognorm(s=spread, scale=need)

    def cost(quantity):
        over = left * use.expect(lambda x: quantity - x, lb=0, ub=quantity)
        return stop * use.sf(quantity) + over

    found = reserve.for_pour(need, spread=spread, stop_cost=stop, left=left)
    step = max(1, need // 122)
    costs = [cost(need + found + shift * step) for shift in (-2, -1, 0, 1, 2)]
    assert min(costs) == costs[2]


def test_bars_of_no_spread_need_no_reserve():
    assert reserve.for_pour(40, spread=0, stop_cost=30_000, left=1) == 0


def test_normal_approximation_published():
    # Chopra & Meindl, Supply Chain Management: 2,500 a day, 500, seven days give or take seven, 90 %.
    varying = lateness.Varying(use=2500, use_deviation=500, lead=7, lead_deviation=7)
    assert lateness.safety_stock(varying, service=0.9) == (
        pytest.approx(17_550, abs=0.5),
        pytest.approx(22_491, abs=0.5),
    )


# Winston, Operations Research, Powerco: three plants, four cities, least cost 1,020 (as remembered; an exact
# flow solver says the same).
POWERCO = ((8, 6, 10, 9), (9, 12, 13, 7), (14, 9, 16, 5))


def test_transport_published():
    arcs = [
        Arc(tail=plant, head=3 + city, cost=cost)
        for plant, row in enumerate(POWERCO)
        for city, cost in enumerate(row)
    ]
    cost, units = flows.cheapest(arcs, supplies=[35, 50, 40, -45, -20, -30, -30])
    assert (cost, sum(units)) == (1020, 125)


def test_flow_published():
    # Example of the documentation of OR-Tools for minimum-cost flows: 150.
    columns = (
        (0, 0, 1, 1, 1, 2, 2, 3, 4),
        (1, 2, 2, 3, 4, 3, 4, 4, 2),
        (15, 8, 20, 4, 10, 15, 4, 20, 5),
        (4, 4, 2, 2, 6, 1, 3, 2, 3),
    )
    arcs = [Arc(tail=t, head=h, most=m, cost=c) for t, h, m, c in zip(*columns, strict=True)]
    found = flows.cheapest(arcs, supplies=[20, 0, 0, -5, -15])
    assert found is not None
    assert found[0] == 150


def test_a_net_that_cannot_carry_it_says_so():
    assert flows.cheapest([Arc(tail=0, head=1, cost=1, most=4)], supplies=[5, -5]) is None
