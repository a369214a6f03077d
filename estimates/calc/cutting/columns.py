"""Column generation: the linear program over all patterns, which gives the bound and patterns to build on."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from estimates.calc.cutting import bound
from estimates.calc.cutting.highs import INFINITY, Floats, Program
from estimates.calc.cutting.pricing import Knapsack
from estimates.calc.cutting.problem import Cut, Problem, Remaining
from estimates.calc.cutting.watch import Watch

_MORE_PER_ROUND: Final = 24
_TOLERANCE: Final = 1e-7


@dataclass(frozen=True, slots=True)
class Aim:
    """What a bar costs: `fixed` for each stock, less the `reward` for its rest [mm], if there is one.

    `most` is what all stock may cost by its price, in the dearest price; None for no limit.
    """

    fixed: tuple[float, ...]
    reward: Callable[[Floats], Floats] | None = None
    most: float | None = None


def least_cost(problem: Problem) -> Aim:
    """The first aim: price of the stock less the credit for rests that are kept.

    Source: derived.

    Args:
        problem: the problem.

    Returns:
        The aim, in the dearest price.
    """
    keep, credit = problem.task.keep_mm, problem.credit / problem.unit
    return Aim(
        fixed=tuple(stock.price / problem.unit for stock in problem.stocks),
        reward=(lambda rests: np.where(rests >= keep, rests * credit, 0.0)) if credit else None,
    )


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The linear program's answer: patterns, bars of each (not whole), cost and the proven bound on it."""

    cuts: tuple[Cut, ...]
    bars: Floats
    cost: float
    bound: float


class Master:
    """The linear program: every size as often as wanted, no stock more often than there is."""

    def __init__(
        self, problem: Problem, *, remaining: Remaining, start: Iterable[Cut], aim: Aim | None = None
    ) -> None:
        self._problem = problem
        self._remaining = remaining
        self._aim = aim or least_cost(problem)
        self._knapsack = Knapsack(problem, demand=remaining.demand)
        limited = [stock for stock, number in enumerate(remaining.left) if number is not None]
        self._row = {stock: len(problem.sizes) + row for row, stock in enumerate(limited)}
        self._program = Program()
        self._program.rows(remaining.demand, [INFINITY] * len(remaining.demand))
        self._program.rows([-INFINITY] * len(limited), [remaining.left[stock] or 0 for stock in limited])
        if self._aim.most is not None:
            self._program.rows([-INFINITY], [self._aim.most])
        self._rewards = [self._reward(stock) for stock in range(len(problem.stocks))]
        self.cuts: dict[Cut, None] = {}
        for cut in start:
            self._add(cut)

    def _reward(self, stock: int) -> Floats | None:
        """The reward for the rest of a stock by how far it is used."""
        return None if self._aim.reward is None else self._aim.reward(self._knapsack.rests_mm(stock))

    def _cost(self, cut: Cut) -> float:
        if self._aim.reward is None:
            return self._aim.fixed[cut[0]]
        rest = np.array([float(self._problem.remainder(cut))])
        return self._aim.fixed[cut[0]] - float(self._aim.reward(rest)[0])

    def _add(self, cut: Cut) -> bool:
        if cut in self.cuts or not any(cut[1]):
            return False
        self.cuts[cut] = None
        entries = [(size, float(count)) for size, count in enumerate(cut[1]) if count]
        if cut[0] in self._row:
            entries.append((self._row[cut[0]], 1.0))
        price = self._problem.stocks[cut[0]].price / self._problem.unit
        if self._aim.most is not None and price:
            entries.append((len(self._problem.sizes) + len(self._row), price))
        self._program.column(self._cost(cut), entries)
        return True

    def generate(self, watch: Watch) -> Relaxed:
        """Adds patterns until none would lower the cost, or until the watch says so.

        The bound is 0 for another aim than the least cost.
        """
        problem = self._problem
        while True:
            cost, bars, worths = self._program.relax()
            pieces = np.maximum(worths[: len(problem.sizes)], 0.0)
            if watch.over() or not self._improve(pieces, worths):
                break
        least = 0.0
        if self._aim.most is None:
            least = bound.proven(problem, remaining=self._remaining, knapsack=self._knapsack, worths=pieces)
        return Relaxed(tuple(self.cuts), bars, cost * problem.unit, least)

    def _improve(self, pieces: Floats, worths: Floats) -> bool:
        """Adds the patterns that would lower the cost most, and says whether there were any."""
        table = self._knapsack.fill(pieces)
        new = 0
        for stock, left in enumerate(self._remaining.left):
            spare = float(worths[self._row[stock]]) if stock in self._row else 0.0
            if self._aim.most is not None:
                spare += float(worths[-1]) * self._problem.stocks[stock].price / self._problem.unit
            for cut in self._candidates(stock, table=table, pieces=pieces) if left != 0 else ():
                worth = sum(pieces[size] * count for size, count in enumerate(cut[1]) if count)
                if worth + spare - self._cost(cut) > _TOLERANCE:
                    new += self._add(cut)
        return new > 0

    def _candidates(self, stock: int, *, table: Floats, pieces: Floats) -> Iterator[Cut]:
        """The best pattern of a stock, and the best ones that hold a certain size for certain."""
        end = self._knapsack.ends[stock]
        reward = self._rewards[stock]
        if reward is not None:
            yield stock, self._knapsack.counts(int(np.argmax(table[: end + 1] + reward)))
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
