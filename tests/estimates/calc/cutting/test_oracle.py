"""Fifty small random tasks, solved by OR-Tools CP-SAT bar by bar as well: the same least cost."""

import random

import pytest

from estimates.calc.cutting import checking
from estimates.calc.cutting.facts import Kind, Piece, Stock, Task
from tests.estimates.calc.cutting import oracle, tasks


def _stocks(chance, long, *, several, offcuts):
    stocks = [Stock(label="bar", length_mm=long)]
    if several:
        stocks.append(Stock(label="short bar", length_mm=long * 3 // 4))
    for number in range(chance.randint(1, 4) if offcuts else 0):
        length = chance.randint(long // 10, long * 7 // 10)
        available = chance.randint(1, 2)
        stocks.append(
            Stock(label=f"offcut {number}", length_mm=length, kind=Kind.OFFCUT, available=available)
        )
    return tuple(stocks)


def _small(seed):
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    long = chance.choice([12_000, 9_000, 6_000]) if seed % 5 else 1_000
    lengths = {
        chance.randint(long // 12, long * 9 // 10)
        if chance.random() < 0.6
        else chance.randint(long // 4, long // 2)
        for _ in range(chance.randint(2, 6))
    }
    pieces = tuple(
        Piece(mark=str(size), length_mm=size, count=chance.randint(1, 4)) for size in sorted(lengths)
    )
    stocks = _stocks(chance, long, several=seed % 2 == 1, offcuts=seed % 3 > 0)
    return Task(stocks=stocks, pieces=pieces, keep_mm=long // 10, blade_mm=chance.choice([0, 0, 3, 5]))


@pytest.mark.parametrize("seed", range(50))
def test_least_cost_is_that_of_an_independent_solver(seed):
    given = _small(seed)
    plan = tasks.solved(given)
    assert checking.check(given, plan) == ()
    assert (plan.cost, plan.proven) == (oracle.least_cost(given, bars=plan.new_bars + 2), True)


@pytest.mark.parametrize("seed", range(8))
def test_credit_for_rests_is_that_of_an_independent_solver(seed):
    chance = random.Random(seed)  # noqa: S311 - a test repeats it
    wanted = {chance.randint(700, 3_300): chance.randint(1, 3) for _ in range(2)}
    given = tasks.task(
        wanted, stock=6_000, offcuts=(chance.randint(1_500, 4_000),), keep_mm=1_200, credit_percent=70
    )
    plan = tasks.solved(given)
    least = oracle.least_cost(given, bars=plan.new_bars + 1)
    assert checking.check(given, plan) == ()
    assert (plan.cost, plan.proven) == (pytest.approx(least, abs=1e-6), True)


@pytest.mark.parametrize("seed", range(10))
def test_bars_in_store_that_do_not_suffice_are_refused(seed):
    given = _small(seed)
    bars = tasks.solved(given).new_bars
    for number in (bars, max(bars - 1, 0)):
        short = Task(
            stocks=(Stock(label="bar", length_mm=given.stocks[0].length_mm, available=number),),
            pieces=given.pieces,
            keep_mm=given.keep_mm,
            blade_mm=given.blade_mm,
        )
        least = oracle.least_cost(short, bars=number)
        if least is None:
            with pytest.raises(ValueError, match=r"lacks room|longer stock"):
                tasks.solved(short)
        else:
            assert tasks.solved(short).cost == least
