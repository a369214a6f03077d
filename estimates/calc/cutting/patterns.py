"""Integer programs over a given set of patterns, and pieces too many taken out again."""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from estimates.calc.cutting.highs import INFINITY, Floats, Program
from estimates.calc.cutting.problem import Cut, Cuts, Problem
from estimates.calc.cutting.watch import Watch

_NODES: Final = 100


class Choice(Program):
    """A program whose columns are patterns: rows for the sizes, then the stocks, then what is asked for."""

    def __init__(self, problem: Problem, *, exact: bool) -> None:
        """Begins without patterns; `exact`: as many pieces as wanted, else at least as many."""
        super().__init__()
        self.problem = problem
        self._exact = exact
        limits = [INFINITY if stock.available is None else float(stock.available) for stock in problem.stocks]
        self.rows(problem.demand, problem.demand if exact else [INFINITY] * len(problem.demand))
        self.rows([-INFINITY] * len(limits), limits)
        self._asked: list[Callable[[Cut], float]] = []

    def ask(self, value: Callable[[Cut], float], *, least: float = -INFINITY, most: float = INFINITY) -> None:
        """Asks that the sum of a value of the patterns lies within bounds; before patterns are added."""
        self.rows([least], [most])
        self._asked.append(value)

    def pattern(self, cut: Cut, *, cost: float, rows: Sequence[tuple[int, float]] = ()) -> None:
        """Adds a pattern with its cost, and entries in rows of the caller's own."""
        sizes, stocks = len(self.problem.sizes), len(self.problem.stocks)
        entries = [(size, float(count)) for size, count in enumerate(cut[1]) if count]
        entries.append((sizes + cut[0], 1.0))
        entries += [(sizes + stocks + row, value(cut)) for row, value in enumerate(self._asked) if value(cut)]
        self.column(cost, [*entries, *rows], most=float(self.longest_run(cut)) if rows else INFINITY)

    def longest_run(self, cut: Cut) -> int:
        """How many bars one pattern may serve: until its first size is done, or its last."""
        if self._exact:
            return self.problem.everything().most(cut)
        return max(
            -(-want // count) for want, count in zip(self.problem.demand, cut[1], strict=True) if count
        )

    def choose(
        self, cuts: Sequence[Cut], *, best: Cuts, nodes: int, watch: Watch, target: float = -INFINITY
    ) -> Counter[Cut] | None:
        """How many bars are cut by each of the patterns that were added; None if nothing was found."""
        start = np.array([float(best.get(cut, 0)) for cut in cuts])
        found = self.improve(watch=watch, nodes=nodes, start=start, target=target).values
        return None if found is None else counted(cuts, found)


def cheapest(
    problem: Problem, *, cuts: Sequence[Cut], best: Counter[Cut], bound: float, watch: Watch
) -> Counter[Cut]:
    """Chooses how many bars are cut by each of the given patterns, at the least cost.

    Source: common practice: the integer program over the columns of Gilmore and Gomory's linear one.

    Args:
        problem: the problem.
        cuts: the patterns.
        best: the best cuts so far.
        bound: cost that cannot be bettered.
        watch: says when to stop.

    Returns:
        The best cuts found, never worse than `best`.
    """
    pool = list(dict.fromkeys([*cuts, *best]))
    choice = Choice(problem, exact=False)
    for cut in pool:
        choice.pattern(cut, cost=problem.cost(cut) / problem.unit)
    target = bound / problem.unit + 1e-6
    found = choice.choose(pool, best=best, nodes=_NODES, watch=watch, target=target)
    return best if found is None else better(problem, best, trimmed(problem, found))


def counted(pool: Sequence[Cut], values: Floats) -> Counter[Cut]:
    """The solver's answer as cuts.

    Source: derived.

    Args:
        pool: patterns in the order of the columns.
        values: bars of each.

    Returns:
        How many bars are cut how.
    """
    return Counter({cut: int(number) for cut, number in zip(pool, values, strict=True) if number > 0})


def better(problem: Problem, first: Counter[Cut], second: Counter[Cut]) -> Counter[Cut]:
    """The one that costs less; the first, if both cost the same.

    Source: derived.

    Args:
        problem: the problem.
        first: cuts.
        second: other cuts.

    Returns:
        One of them.
    """
    return second if problem.total(second) < problem.total(first) - 1e-9 else first


def trimmed(problem: Problem, cuts: Cuts) -> Counter[Cut]:
    """Takes out the pieces that are cut too many, first from the bars that give fewest pieces.

    Source: derived.

    Args:
        problem: the problem.
        cuts: bars that give at least the pieces wanted.

    Returns:
        Bars that give exactly the pieces wanted.
    """
    found = Counter(cuts)
    for size, wanted in enumerate(problem.demand):
        surplus = sum(counts[size] * bars for (_, counts), bars in found.items()) - wanted
        while surplus > 0:
            cut = min((cut for cut in found if cut[1][size]), key=lambda cut: (sum(cut[1]), cut))
            taken = min(surplus, cut[1][size])
            bars = min(found[cut], surplus // taken)
            counts = list(cut[1])
            counts[size] -= taken
            found[cut] -= bars
            if any(counts):
                found[cut[0], tuple(counts)] += bars
            found += Counter()
            surplus -= taken * bars
    return found
