"""The flow along the bar alone, begun from first fit: published optima, and it steps aside when too large."""

import time
from dataclasses import replace

import pytest

from estimates.calc.cutting import arcs, first_fit, problem, watch
from estimates.calc.cutting.facts import Stock
from tests.estimates.calc.cutting import tasks


def solved(given, *, bound=0.0, seconds=60):
    ready = problem.ready(given)
    best = first_fit.cuts(ready, remaining=ready.everything())
    cuts, proven = arcs.solved(ready, best=best, bound=bound, watch=watch.Watch(time.monotonic, seconds))
    left = ready.everything().after(cuts)
    assert set(left.demand) == {0}
    assert all(number is None or number >= 0 for number in left.left)
    return ready.total(cuts), proven


@pytest.mark.parametrize(
    ("stock", "lengths", "bars"),
    [
        # Fourer, Gay and Kernighan; Winston; a counter-example to rounding up; Falkenauer's triplets.
        (110, {20: 48, 45: 35, 50: 24, 55: 10, 75: 8}, 47),
        (17, {9: 15, 5: 20, 3: 25}, 19),
        (132, {44: 2, 33: 3, 12: 6}, 3),
        (1000, tasks.triplets(1, number=15), 5),
    ],
)
def test_flow_alone_finds_and_proves_the_published_optimum(stock, lengths, bars):
    assert solved(tasks.task(lengths, stock=stock, keep_mm=stock)) == (bars * stock, bars * stock)


def test_flow_with_offcuts_and_a_stock_shorter_than_every_piece():
    # 7 + 5 fill the bar; the second 5 comes from the offcut of 5.1 m; the one of 2 m holds nothing.
    given = tasks.task({7000: 1, 5000: 2}, offcuts=(5100, 2000))
    assert solved(given) == (12_000, 12_000)


def test_flow_with_two_lengths_to_buy():
    stocks = (Stock(label="12 m", length_mm=12_000), Stock(label="9 m", length_mm=9_000))
    assert solved(replace(tasks.task({7400: 2, 4400: 6}), stocks=stocks)) == (42_000, 42_000)


def test_flow_that_is_too_large_or_too_late_changes_nothing():
    large = tasks.task(tasks.slab_bars(1))
    assert solved(large, bound=7.0) == (825 * 12_000, 7.0)
    assert solved(tasks.task({20: 48, 45: 35}, stock=110), bound=7.0, seconds=0)[1] == 7.0
