"""Costs that a plan can have: they go by whole bars, so a bound between two of them is lifted."""

from collections import defaultdict
from fractions import Fraction
from math import ceil, gcd, inf
from typing import Final

import numpy as np

from estimates.calc.cutting.problem import Problem, Remaining

_MOST_SUMS: Final = 200_000
_LEEWAY: Final = Fraction(1, 10**6)


def lifted(problem: Problem, bound: Fraction, *, remaining: Remaining) -> float:
    """The least cost that whole bars can have and that is not below the bound.

    Source: derived: cost = sum of price × number of bars, no stock more often than there is.

    Args:
        problem: the problem.
        bound: a lower bound on the cost.
        remaining: the stock that is left.

    Returns:
        The lifted bound; the bound itself if rests have a credit, so that costs lie dense.
    """
    most = _most(problem, remaining=remaining)
    grain = gcd(*most)
    if problem.credit or not grain:
        return float(bound)
    by_grain = max(0, ceil(bound / grain - _LEEWAY) * grain)
    return float(_by_bars(most, at_least=by_grain))


def _most(problem: Problem, *, remaining: Remaining) -> dict[int, float]:
    """How many bars there are of each price, infinitely many of what can be bought."""
    most: defaultdict[int, float] = defaultdict(float)
    for index, (stock, left) in enumerate(zip(problem.stocks, remaining.left, strict=True)):
        if stock.price and index != problem.shortfall:
            most[stock.price] += inf if left is None else left
    return dict(most)


def _by_bars(most: dict[int, float], *, at_least: int) -> int:
    """The least sum of whole bars not below `at_least`; that itself if there are too many sums to try."""
    *others, last = sorted(most, key=lambda price: (most[price], -price))
    sums = np.zeros(1, dtype=np.int64)
    for price in others:
        number = int(min(most[price], -(-at_least // price)))
        if len(sums) * (number + 1) > _MOST_SUMS:
            return at_least
        sums = np.unique((sums[:, None] + price * np.arange(number + 1)[None, :]).ravel())
    missing = np.maximum(0, -(-(at_least - sums) // last))
    possible = missing <= most[last]
    return int(np.min((sums + missing * last)[possible])) if possible.any() else at_least
