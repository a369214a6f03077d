"""The improved plan: never dearer than the first, the same for the same facts, near its bound in its time."""

from __future__ import annotations

import time
from datetime import date, timedelta
from random import Random

import pytest

from inventory.calc.reorder import firm, improving
from inventory.calc.reorder.facts import Lot as Stock
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.improving import Budget
from inventory.calc.reorder.market import Item, Market, Seller, Terms
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar

TODAY = date(2025, 3, 3)
SUNDAYS_OFF = Calendar(days_off=frozenset({6}))
UNIT = 10_000
SELLERS = {
    1: Seller(key=1, trip_cost=900 * UNIT, truck_g=3_000_000),
    2: Seller(key=2, trip_cost=3_800 * UNIT, truck_g=16_000_000),
    3: Seller(key=3, trip_cost=2_800 * UNIT, truck_g=10_000_000),
}
LEADS = {1: 1, 2: 3, 3: 5}
GAP_PPM = 10_000
SECONDS = 20


def stopped():
    """A clock that stands: time never ends the search, only nodes do."""
    return 0.0


def items(draw: Random, *, site: int, materials: int, pours: int, days: int) -> list[Item]:
    """Draw a site: pours within some days, each material offered by two of three suppliers."""
    dates = sorted(draw.sample(range(8, days), pours))
    return [
        Item(
            plan=PlanItem(
                site_id=site,
                material=f"m{number:02}",
                needs=tuple(
                    Need(key=f"{day}", quantity=draw.randint(300, 6_000), day=TODAY + timedelta(days=day))
                    for day in dates
                ),
                supply=Supply(
                    stock=(Stock(quantity=draw.randint(1, 4_000)),), life_days=None if number else 60
                ),
                safety_days=1,
                calendar=SUNDAYS_OFF,
            ),
            quotes=tuple(_quote(draw, seller=seller) for seller in draw.sample((1, 2, 3), 2)),
            unit_mg=1_000_000,
        )
        for number in range(materials)
    ]


def _quote(draw: Random, *, seller: int) -> Quote:
    price = draw.randint(300, 700) * UNIT
    breaks = (Break(packs=1, pack_price=price), Break(packs=40, pack_price=price * 97 // 100))
    return Quote(
        key=seller,
        seller=seller,
        content=50,
        breaks=breaks if draw.random() < 0.3 else breaks[:1],
        lead_days=LEADS[seller],
        minimum_packs=5 if draw.random() < 0.2 else 1,
    )


def market(**terms) -> Market:
    return Market(terms=Terms(keep_ppm=140_000, rest_ppm=400_000, **terms), sellers=SELLERS)


@pytest.mark.parametrize("seed", range(3))
def test_the_improved_plan_is_never_dearer_and_always_the_same(seed):
    draw = Random(seed)  # noqa: S311 - repeatable, nothing secret
    rows = [one for site in (1, 2) for one in items(draw, site=site, materials=3, pours=4, days=70)]
    terms = market(freight=700 * UNIT, week_budget=None if seed else 3_000_000 * UNIT)
    first = firm.first(rows, market=terms, today=TODAY)
    budget = Budget(clock=stopped, seconds=60, nodes=30)
    found = [improving.improve(rows, first=first, market=terms, today=TODAY, budget=budget) for _ in range(2)]
    assert found[0] == found[1]
    assert not found[0].timed_out
    assert found[0].plan.cost <= found[0].first_cost == first.cost
    assert found[0].plan.cost == firm.cost(
        found[0].plan.sites, found[0].plan.trips, market=terms, today=TODAY
    )
    assert 0 <= found[0].bound <= found[0].window_cost


def test_without_time_the_first_plan_stands():
    rows = items(Random(1), site=1, materials=2, pours=3, days=30)  # noqa: S311 - repeatable, nothing secret
    first = firm.first(rows, market=market(), today=TODAY)
    budget = Budget(clock=stopped, seconds=0)
    found = improving.improve(rows, first=first, market=market(), today=TODAY, budget=budget)
    assert (found.plan.sites, found.timed_out, found.proven) == (first.sites, True, False)


@pytest.mark.long
def test_a_site_of_thirty_days_comes_near_its_bound(full_size):
    # Thirty materials in twenty seconds in full; here fewer, in fewer.
    materials, seconds = (30, SECONDS) if full_size else (4, 4)
    rows = items(Random(5), site=1, materials=materials, pours=6, days=30)  # noqa: S311 - repeatable
    first = firm.first(rows, market=market(stop_cost=30_000 * UNIT), today=TODAY)
    budget = Budget(clock=time.monotonic, seconds=seconds, nodes=100_000)
    found = improving.improve(
        rows, first=first, market=market(stop_cost=30_000 * UNIT), today=TODAY, budget=budget
    )
    assert found.gap_ppm <= GAP_PPM
    assert found.plan.cost <= first.cost
