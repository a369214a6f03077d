"""Materials that share a truck: against a published example's formula and against an independent program."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from math import sqrt
from random import Random

import numpy as np
import pytest
from scipy import optimize, sparse

from inventory.calc.reorder import bought, firm, improving
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.improving import Budget
from inventory.calc.reorder.market import Item, Market, Seller, Terms
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import EVERY_DAY

TODAY = date(2025, 3, 3)
SOON = 10
"""Days until the first need, so that every order is in time."""


def items(needs, *, price):
    """One item for each row of needs, used day by day; kept at its price, one unit to a pack."""
    return [
        Item(
            plan=PlanItem(
                site_id=1,
                material=f"m{number}",
                needs=tuple(
                    Need(key=f"{day}", quantity=units, day=TODAY + timedelta(days=SOON + day))
                    for day, units in enumerate(row)
                    if units
                ),
                calendar=EVERY_DAY,
            ),
            quotes=(Quote(key=number, seller=1, content=1, breaks=(Break(packs=1, pack_price=price),)),),
            unit_mg=1_000,
        )
        for number, row in enumerate(needs)
    ]


def cost_beside_price(rows, *, market):
    """What trips and keeping cost; the price is the same for every plan that buys what is needed."""
    return bought.cost(rows, market=market, today=TODAY) - sum(lot.price for row in rows for lot in row.lots)


def test_trips_of_four_items_as_the_published_rule_has_them():
    # Silver, Pyke & Peterson 1998, Inventory Management and Production Planning and Scheduling, the example
    # of joint replenishment (instance `spp_jrp` of the library stockpyl): 40 a trip, 0.24 a year to keep a
    # unit; 86,000, 12,500, 1,400 and 3,000 units a year. Its rule, without a cost for each line, which the
    # plan does not know: all items on every trip, one in T = sqrt(2 K / sum of h × rate) = 0.0569 years =
    # 20.8 days, for K / T + T / 2 × sum of h × rate = 1,405.6 a year.
    rates, keep, trip = (86_000, 12_500, 1_400, 3_000), 0.24, 40
    worth = keep * sum(rates)
    interval, published = sqrt(2 * trip / worth) * 365, sqrt(2 * trip * worth)
    trips_in_all, unit = 6, 1_000_000
    days = round(trips_in_all * interval)
    needs = [
        [round(rate * (day + 1) / 365) - round(rate * day / 365) for day in range(days)] for rate in rates
    ]
    market = Market(terms=Terms(keep_ppm=240_000), sellers={1: Seller(key=1, trip_cost=trip * unit)})
    plan = firm.first(items(needs, price=unit), market=market, today=TODAY)
    arrivals = {tuple(sorted({lot.chance.arrival for lot in row.lots})) for row in plan.sites[1]}
    [shared] = arrivals  # every item rides on every trip
    assert len(shared) == trips_in_all
    gaps = [after - before for before, after in pairwise(shared)]
    assert all(abs(gap - interval) <= 1 for gap in gaps)
    # A day's use is not kept on its own day, so that keeping costs half a day of use less than the rule says.
    a_year = cost_beside_price(plan.sites[1], market=market) / unit * 365 / days
    assert a_year == pytest.approx(published - worth / 365 / 2, rel=0.01)


@pytest.mark.parametrize("seed", range(6))
def test_shared_trips_beside_the_least_that_an_independent_program_finds(seed):
    # Three materials, ten days, trucks of a thousand units; the program of scipy knows nothing of the plan's.
    draw = Random(seed)  # noqa: S311 - repeatable, nothing secret
    needs = [[draw.choice((0, 0, draw.randint(50, 700))) for _ in range(10)] for _ in range(3)]
    price, trip, ppm, truck = 365_000, draw.choice((30_000, 120_000, 400_000)), 200_000, 1_000
    market = Market(terms=Terms(keep_ppm=ppm), sellers={1: Seller(key=1, trip_cost=trip, truck_g=truck)})
    rows = items(needs, price=price)
    first = firm.first(rows, market=market, today=TODAY)
    better = improving.improve(
        rows, first=first, market=market, today=TODAY, budget=Budget(clock=lambda: 0.0, seconds=60)
    )
    least = _least(needs, trip=trip, keep=price * ppm / 1e6 / 365, truck=truck)
    costs = [cost_beside_price(plan.sites[1], market=market) for plan in (first, better.plan)]
    assert costs[1] == pytest.approx(least, rel=2e-3)
    assert costs[0] >= least * (1 - 1e-6)


def _least(needs, *, trip, keep, truck):
    """Least cost of trips and keeping: what comes on each day, what is kept overnight, trucks of each day."""
    kinds, days = len(needs), len(needs[0])
    # Columns: x[k, t] what comes, s[k, t] what is kept after the day, y[t] trucks.
    size = 2 * kinds * days + days
    costs = np.concatenate([np.zeros(kinds * days), np.full(kinds * days, keep), np.full(days, float(trip))])
    balance = sparse.lil_matrix((kinds * days, size))
    for k in range(kinds):
        for t in range(days):
            row = k * days + t
            balance[row, row] = 1
            balance[row, kinds * days + row] = -1
            if t:
                balance[row, kinds * days + row - 1] = 1
    load = sparse.lil_matrix((days, size))
    for t in range(days):
        for k in range(kinds):
            load[t, k * days + t] = 1
        load[t, 2 * kinds * days + t] = -truck
    demand = np.array([units for row in needs for units in row], dtype=float)
    found = optimize.milp(
        costs,
        constraints=[
            optimize.LinearConstraint(balance.tocsr(), demand, demand),
            optimize.LinearConstraint(load.tocsr(), -np.inf, 0),
        ],
        integrality=np.concatenate([np.zeros(2 * kinds * days), np.ones(days)]),
        options={"mip_rel_gap": 1e-6},
    )
    assert found.success
    return found.fun
