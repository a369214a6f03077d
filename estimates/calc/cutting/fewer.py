"""The third aim: few different patterns, at the same cost and with rests of the same worth."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import numpy as np

from estimates.calc.cutting.highs import INFINITY
from estimates.calc.cutting.patterns import Choice, counted, trimmed
from estimates.calc.cutting.pricing import Knapsack
from estimates.calc.cutting.problem import Cut, Problem
from estimates.calc.cutting.rests import worth
from estimates.calc.cutting.watch import Watch

_NODES: Final = 1
_MOST_PATTERNS: Final = 100
_NODES_LIMITED: Final = 200
_RUN_PATTERNS: Final = 400
_RUNS_LEAST: Final = 8


def fewest(problem: Problem, *, best: Counter[Cut], pool: Sequence[Cut], watch: Watch) -> Counter[Cut]:
    """Chooses among given patterns so that fewest are used, at no more cost and with rests worth no less.

    Source: common practice: minimisation of set-ups as an integer program with one switch for each pattern.

    Args:
        problem: the problem.
        best: the best cuts so far.
        pool: the patterns.
        watch: says when to stop.

    Returns:
        Cuts with no more patterns than `best`; `best` itself if there are too many for the program to gain.
    """
    cuts = _usable(problem, [*best, *pool])
    if len(cuts) > _MOST_PATTERNS:
        return best
    choice = Choice(problem, exact=True)
    choice.ask(lambda cut: problem.cost(cut) / problem.unit, most=problem.total(best) / problem.unit + 1e-9)
    choice.ask(lambda cut: float(worth(problem, {cut: 1})), least=worth(problem, best))
    _switched(choice, cuts, costs=[0.0] * len(cuts), price=1.0)
    start = np.array([float(best[cut]) for cut in cuts] + [float(cut in best) for cut in cuts])
    values = choice.improve(watch=watch, nodes=_NODES, start=start).values
    found = best if values is None else counted(cuts, values[: len(cuts)])
    return found if len(found) < len(best) else best


def limited(
    problem: Problem, *, best: Counter[Cut], pool: Sequence[Cut], most: int, watch: Watch
) -> Counter[Cut] | None:
    """The cheapest cuts with at most so many patterns.

    Source: common practice: as `fewest`, with the number of switches limited and patterns made for long runs.

    Args:
        problem: the problem.
        best: cuts with more patterns.
        pool: the patterns.
        most: how many patterns there may be; a bar that gives a part of a pattern's pieces counts with it.
        watch: says when to stop.

    Returns:
        The cuts; None if none are found.
    """
    choice = Choice(problem, exact=False)
    cuts = _usable(problem, [*best, *pool, *_for_runs(problem)])
    first = choice.getNumRow()
    choice.rows([-INFINITY], [float(most)])
    costs = [problem.cost(cut) / problem.unit for cut in cuts]
    _switched(choice, cuts, costs=costs, price=0.0, switches_row=first)
    values = choice.improve(watch=watch, nodes=_NODES_LIMITED).values
    return None if values is None else trimmed(problem, counted(cuts, values[: len(cuts)]))


def different(cuts: Iterable[Cut]) -> int:
    """How many patterns there are, where one that is a part of another from the same stock counts with it.

    Source: derived: for such a bar the stops stay as they are, and fewer pieces are cut.

    Args:
        cuts: the patterns.

    Returns:
        Their number.

    >>> different([(0, (2, 1)), (0, (2, 0)), (1, (2, 0))])
    2
    """
    rows = list(dict.fromkeys(cuts))
    return sum(not any(cut != row and _holds(row, cut) for row in rows) for cut in rows)


def _holds(whole: Cut, part: Cut) -> bool:
    return whole[0] == part[0] and all(most >= count for most, count in zip(whole[1], part[1], strict=True))


def _usable(problem: Problem, cuts: Sequence[Cut]) -> list[Cut]:
    everything = problem.everything()
    return [cut for cut in dict.fromkeys(cuts) if everything.most(cut) > 0]


def _switched(
    choice: Choice,
    cuts: Sequence[Cut],
    *,
    costs: Sequence[float],
    price: float,
    switches_row: int | None = None,
) -> None:
    """Adds the patterns, and for each a switch that must be on for it to be used."""
    first = choice.getNumRow()
    choice.rows([-INFINITY] * len(cuts), [0.0] * len(cuts))
    for index, cut in enumerate(cuts):
        choice.pattern(cut, cost=costs[index], rows=[(first + index, 1.0)])
    for index, cut in enumerate(cuts):
        counted_in = [] if switches_row is None else [(switches_row, 1.0)]
        choice.column(price, [*counted_in, (first + index, -float(choice.longest_run(cut)))], most=1.0)


def _for_runs(problem: Problem) -> Iterator[Cut]:
    """Full patterns for runs of several lengths: for each size one that holds it."""
    number = max(_RUNS_LEAST, _RUN_PATTERNS // len(problem.sizes))
    longest = max(problem.demand)
    runs = sorted({max(1, round(longest * (step / number) ** 2)) for step in range(1, number + 1)})
    lengths = np.array(problem.spans, dtype=np.float64)
    for run in runs:
        demand = [-(-wanted // run) for wanted in problem.demand]
        knapsack = Knapsack(problem, demand=demand)
        knapsack.fill(lengths)
        for stock, end in enumerate(knapsack.ends):
            for size, span in enumerate(knapsack.spans):
                counts = list(knapsack.counts(end - span)) if span <= end else [0] * len(demand)
                counts[size] += 1
                if span <= end and counts[size] <= demand[size]:
                    yield stock, tuple(counts)
