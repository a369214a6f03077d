"""The probability of running short, against the distributions of scipy and against drawing it many times."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

import pytest
from scipy import stats

from inventory.calc.reorder import chances, shortage
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.facts import Lot as Stock
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.lateness import Record
from inventory.calc.reorder.market import Item, Market, Seller
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.shortage import Due
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import EVERY_DAY

TODAY = date(2025, 3, 3)
DAY = date(2025, 3, 14)
RECORD = Record(late=(0.7, 0.2, 0.1), shares=((0.8, 0.25), (1.0, 0.75)), seen=12, pooled=40)
QUOTE = Quote(key=1, seller=1, content=50, breaks=(Break(packs=1, pack_price=4_000),), lead_days=3)


def item(*needs, stock=0, spread=0.0):
    plan = PlanItem(
        site_id=1,
        material="cement",
        needs=tuple(Need(key=f"n{n}", quantity=q, day=day) for n, (q, day) in enumerate(needs)),
        supply=Supply(stock=(Stock(quantity=stock),) if stock else ()),
        calendar=EVERY_DAY,
    )
    return Item(plan=plan, quotes=(QUOTE,), spread=spread)


def outlook(one, *, dues=()):
    market = Market(sellers={1: Seller(key=1, record=RECORD)})
    return shortage.of_item(Bought(item=one), market=market, today=TODAY, dues=dues)


def due(quantity, promised, record=RECORD):
    return Due(quantity=quantity, promised=promised.toordinal(), seller=1, record=record)


def test_loads_in_or_out_are_a_binomial():
    worked = chances.span(EVERY_DAY, around=TODAY)
    record = Record(late=(0.7, 0.3), seen=9, pooled=9)
    found = shortage.by_day([due(50, DAY, record)] * 6, day=DAY.toordinal(), grid=50, worked=worked)
    assert list(found) == pytest.approx([stats.binom.pmf(n, 6, 0.7) for n in range(7)])


@pytest.mark.parametrize("stock", [900, 1_000, 1_080])
def test_stock_alone_is_short_as_the_lognormal_says(stock):
    [found] = outlook(item((1_000, DAY), stock=stock, spread=0.04))
    assert found.short == pytest.approx(stats.lognorm(s=0.04, scale=1_000).sf(stock))


def test_two_needs_and_three_loads_as_drawn_sixty_thousand_times():
    # Each load promised one day before, on, and two days before the second need; uses vary by 5 %.
    needs = ((600, date(2025, 3, 8)), (900, DAY))
    loads = [(500, date(2025, 3, 12)), (400, date(2025, 3, 13)), (300, DAY)]
    found = outlook(item(*needs, stock=500, spread=0.05), dues=[due(*load) for load in loads])
    draw = Random(7)  # noqa: S311 - repeatable, nothing secret
    rounds, short = 60_000, 0
    for _ in range(rounds):
        have = 500.0
        for quantity, promised in loads:
            late = draw.choices((0, 1, 2), weights=RECORD.late)[0]
            share = draw.choices((0.8, 1.0), weights=(0.25, 0.75))[0]
            have += quantity * share // 50 * 50 if promised.toordinal() + late <= DAY.toordinal() else 0
        short += have < sum(quantity * draw.lognormvariate(0, 0.05) for quantity, _day in needs)
    assert found[1].short == pytest.approx(short / rounds, abs=0.007)
    assert [(one.seller, one.seen, one.pooled, one.known) for one in found[1].behind] == [(1, 12, 40, True)]


def test_what_nobody_ever_delivered_is_not_known():
    unknown = Record(seen=0, pooled=0)
    [found] = outlook(item((100, DAY)), dues=[due(100, DAY, unknown)])
    assert found.short is None
    few = replace(RECORD, seen=4)
    [found] = outlook(item((100, DAY)), dues=[due(100, DAY, few)])
    assert [one.known for one in found.behind] == [False]
    assert found.short == pytest.approx(1 - 0.7 * 0.75)


def test_nothing_ordered_is_sure_to_be_short_and_says_what_can_be_done_until_when():
    # 480 of 50 are ten packs; three days of lead before the 14th is the 11th.
    [found] = outlook(item((480, DAY)))
    assert (found.short, found.without) == (1.0, 1.0)
    [remedy] = found.remedies
    assert (remedy.last_day, remedy.packs, remedy.cost) == (date(2025, 3, 11), 10, 40_000)
