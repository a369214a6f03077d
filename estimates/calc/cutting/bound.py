"""The lower bound on the cost of any plan, worked out in whole numbers, so that no rounding touches it."""

from fractions import Fraction
from math import floor
from typing import Final

import numpy as np
import numpy.typing as npt

from estimates.calc.cutting import costs
from estimates.calc.cutting.highs import Floats
from estimates.calc.cutting.pricing import Knapsack
from estimates.calc.cutting.problem import Problem, Remaining

_EXACT: Final = 2**40


def proven(problem: Problem, *, remaining: Remaining, knapsack: Knapsack, worths: Floats) -> float:
    """A bound on the cost of cutting what remains, from worths of the pieces; any worths give a true one.

    Source: derived: weak duality. For any worths y of the pieces, cost >= sum of y × wanted + sum over stocks
    of number × min(0, least of cost - worth of what is cut from one). Worths are lowered first so that
    nothing that can be bought without limit costs less than what is cut from it (Farley 1990).

    Args:
        problem: the problem.
        remaining: what is wanted, and stock left.
        knapsack: the knapsack of what is wanted.
        worths: worth of a piece of each size, in the dearest price.

    Returns:
        The bound, lifted to a cost that whole bars can have.
    """
    table = knapsack.fill(worths)
    lowered = [
        _lowered(problem, stock, knapsack=knapsack, table=table)
        for stock, left in enumerate(remaining.left)
        if left is None
    ]
    whole = np.floor(worths * min([1.0, *lowered]) * _EXACT).astype(np.int64)
    exact = knapsack.exact(whole)
    total = sum(int(worth) * want for worth, want in zip(whole, remaining.demand, strict=True))
    for stock, left in enumerate(remaining.left):
        least = min(0, _least(problem, stock, knapsack=knapsack, exact=exact))
        total += least * (sum(remaining.demand) if left is None else left)
    return costs.lifted(problem, Fraction(total) * Fraction(problem.unit) / _EXACT, remaining=remaining)


def _credits(problem: Problem, stock: int, *, knapsack: Knapsack) -> Floats:
    """The credit for the rest of a stock by how far it is used; without credit, used to the end alone."""
    if not problem.credit:
        return np.zeros(1)
    rests = knapsack.rests_mm(stock)
    return np.where(rests >= problem.task.keep_mm, rests, 0.0) * problem.credit / problem.unit


def _lowered(problem: Problem, stock: int, *, knapsack: Knapsack, table: Floats) -> float:
    """The share of the worths at which no pattern of a stock is worth more than it costs."""
    end = knapsack.ends[stock]
    prices = problem.stocks[stock].price / problem.unit - _credits(problem, stock, knapsack=knapsack)
    worths = table[end + 1 - len(prices) : end + 1]
    return float(np.min(prices / np.maximum(worths, prices)))


def _least(problem: Problem, stock: int, *, knapsack: Knapsack, exact: npt.NDArray[np.int64]) -> int:
    """The least of cost - worth of the patterns of a stock."""
    end = knapsack.ends[stock]
    price = floor(Fraction(problem.stocks[stock].price) / Fraction(problem.unit) * _EXACT)
    credits_ = np.ceil(_credits(problem, stock, knapsack=knapsack) * _EXACT).astype(np.int64)
    return price - int(np.max(exact[end + 1 - len(credits_) : end + 1] + credits_))
