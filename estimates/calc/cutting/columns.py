"""Column generation: the linear program over all patterns, which gives the bound and patterns to build on."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Final

import numpy as np
import numpy.typing as npt

from estimates.calc.cutting import costs
from estimates.calc.cutting.highs import INFINITY, Floats, Program
from estimates.calc.cutting.pricing import Knapsack
from estimates.calc.cutting.problem import Cut, Problem, Remaining
from estimates.calc.cutting.watch import Watch

_MORE_PER_ROUND: Final = 24
_TOLERANCE: Final = 1e-7
_EXACT: Final = 2**40


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The linear program's answer: patterns, bars of each (not whole), cost and the proven bound on it."""

    cuts: tuple[Cut, ...]
    bars: Floats
    cost: float
    bound: float


class Master:
    """The linear program: every size as often as wanted, no stock more often than there is."""

    def __init__(self, problem: Problem, *, remaining: Remaining, start: Iterable[Cut]) -> None:
        self._problem = problem
        self._remaining = remaining
        self._knapsack = Knapsack(problem, demand=remaining.demand)
        self._limited = [stock for stock, number in enumerate(remaining.left) if number is not None]
        self._row = {stock: len(problem.sizes) + row for row, stock in enumerate(self._limited)}
        self._program = Program()
        self._program.rows(remaining.demand, [INFINITY] * len(remaining.demand))
        most = [remaining.left[stock] or 0 for stock in self._limited]
        self._program.rows([-INFINITY] * len(most), most)
        self._credits = {
            stock: self._knapsack.credits(stock) / problem.unit
            for stock in range(len(problem.stocks))
            if problem.credit
        }
        self.cuts: dict[Cut, None] = {}
        for cut in start:
            self._add(cut)

    def _add(self, cut: Cut) -> bool:
        if cut in self.cuts or not any(cut[1]):
            return False
        self.cuts[cut] = None
        entries = [(size, float(count)) for size, count in enumerate(cut[1]) if count]
        if cut[0] in self._row:
            entries.append((self._row[cut[0]], 1.0))
        self._program.column(self._problem.cost(cut) / self._problem.unit, entries)
        return True

    def generate(self, watch: Watch) -> Relaxed:
        """Adds patterns until none would lower the cost, or until the watch says so."""
        while True:
            cost, bars, worths = self._program.relax()
            pieces = np.maximum(worths[: len(self._problem.sizes)], 0.0)
            if watch.over() or not self._improve(pieces, worths):
                bound = self._bound(pieces)
                return Relaxed(tuple(self.cuts), bars, cost * self._problem.unit, bound)

    def _improve(self, pieces: Floats, worths: Floats) -> bool:
        """Adds the patterns that would lower the cost most, and says whether there were any."""
        table = self._knapsack.fill(pieces)
        new = 0
        for stock in range(len(self._problem.stocks)):
            if self._remaining.left[stock] != 0:
                spare = float(worths[self._row[stock]]) if stock in self._row else 0.0
                for cut in self._candidates(stock, table=table, pieces=pieces):
                    worth = sum(pieces[size] * count for size, count in enumerate(cut[1]) if count)
                    if worth + spare - self._problem.cost(cut) / self._problem.unit > _TOLERANCE:
                        new += self._add(cut)
        return new > 0

    def _candidates(self, stock: int, *, table: Floats, pieces: Floats) -> Iterator[Cut]:
        """The best pattern of a stock, and the best ones that hold a certain size for certain."""
        end = self._knapsack.ends[stock]
        if self._credits:
            yield stock, self._knapsack.counts(int(np.argmax(table[: end + 1] + self._credits[stock])))
        yield stock, self._knapsack.counts(end)
        spans = self._knapsack.spans
        demand = self._remaining.demand
        fitting = [size for size, span in enumerate(spans) if span <= end and demand[size]]
        fitting.sort(key=lambda size: -(table[end - spans[size]] + pieces[size]))
        for size in fitting[: max(2, _MORE_PER_ROUND // len(self._problem.stocks))]:
            counts = list(self._knapsack.counts(end - spans[size]))
            counts[size] += 1
            if counts[size] <= demand[size]:
                yield stock, tuple(counts)

    def _bound(self, pieces: Floats) -> float:
        """A bound on the cost that holds whatever the solver's rounding, in whole numbers.

        By weak duality: for any worths y of the pieces, cost >= sum of y × wanted + sum over stocks of
        number × min(0, lowest of cost - worth of what is cut from one).
        """
        table = self._knapsack.fill(pieces)
        scale = min(
            (
                1.0,
                *(
                    self._scale(stock, table)
                    for stock, left in enumerate(self._remaining.left)
                    if left is None
                ),
            )
        )
        whole = np.floor(pieces * scale * _EXACT).astype(np.int64)
        exact = self._knapsack.exact(whole)
        total = Fraction(
            sum(int(worth) * want for worth, want in zip(whole, self._remaining.demand, strict=True))
        )
        pieces_wanted = sum(self._remaining.demand)
        for stock, left in enumerate(self._remaining.left):
            total += min(0, self._least(stock, exact)) * (pieces_wanted if left is None else left)
        bound = total * Fraction(self._problem.unit) / _EXACT
        return costs.lifted(self._problem, bound, remaining=self._remaining)

    def _scale(self, stock: int, table: Floats) -> float:
        """By how much worths must be lowered so that no pattern of a stock is worth more than it costs."""
        end = self._knapsack.ends[stock]
        price = self._problem.stocks[stock].price / self._problem.unit
        prices = price - self._credits[stock] if self._credits else np.array([price])
        worths = table[: end + 1] if self._credits else table[end : end + 1]
        return float(np.min(prices / np.maximum(worths, prices)))

    def _least(self, stock: int, exact: npt.NDArray[np.int64]) -> int:
        """The least of cost - worth of the patterns of a stock."""
        end = self._knapsack.ends[stock]
        price = floor(Fraction(self._problem.stocks[stock].price) / Fraction(self._problem.unit) * _EXACT)
        if not self._credits:
            return price - int(exact[end])
        credits_ = np.ceil(self._credits[stock] * _EXACT).astype(np.int64)
        return price - int(np.max(exact[: end + 1] + credits_))
