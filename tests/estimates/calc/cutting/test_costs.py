"""Costs that whole bars can have, by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from estimates.calc.cutting import costs, problem
from estimates.calc.cutting.facts import Stock
from tests.estimates.calc.cutting import tasks


@pytest.mark.parametrize(
    ("stocks", "bound", "lifted"),
    [
        # Whole bars of 12 m.
        ([(12_000, None)], 12_001, 24_000),
        ([(12_000, None)], 24_000, 24_000),
        ([(12_000, None)], 0, 0),
        # One of 12 m and any number of 9 m: 12, 9 + 9, 12 + 9, 9 + 9 + 9.
        ([(12_000, 1), (9_000, None)], 9_001, 12_000),
        ([(12_000, 1), (9_000, None)], 12_001, 18_000),
        ([(12_000, 1), (9_000, None)], 21_001, 27_000),
        # Nothing can be bought: three bars are all there is, so that the bound stays.
        ([(12_000, 3)], 36_001, 48_000),
    ],
)
def test_bound_is_lifted_to_the_next_sum_of_bars(stocks, bound, lifted):
    rows = tuple(Stock(label=str(length), length_mm=length, available=number) for length, number in stocks)
    ready = problem.ready(replace(tasks.task({1000: 1}), stocks=rows))
    assert costs.lifted(ready, Fraction(bound), remaining=ready.everything()) == lifted


def test_bound_stays_where_rests_have_a_credit():
    ready = problem.ready(tasks.task({1000: 1}, credit_percent=50))
    assert costs.lifted(ready, Fraction(12_001), remaining=ready.everything()) == 12_001
