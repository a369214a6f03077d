"""The third aim: few different patterns, at the same cost and with rests of the same worth."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from estimates.calc.cutting.highs import INFINITY
from estimates.calc.cutting.patterns import Choice, counted
from estimates.calc.cutting.problem import Cut, Problem
from estimates.calc.cutting.rests import worth
from estimates.calc.cutting.watch import Watch

_NODES: Final = 1
_NODES_LIMITED: Final = 200


def fewest(problem: Problem, *, best: Counter[Cut], pool: Sequence[Cut], watch: Watch) -> Counter[Cut]:
    """Chooses among given patterns so that fewest are used, at no more cost and with rests worth no less.

    Source: common practice: minimisation of set-ups as an integer program with one switch for each pattern.

    Args:
        problem: the problem.
        best: the best cuts so far.
        pool: the patterns.
        watch: says when to stop.

    Returns:
        Cuts with no more patterns than `best`.
    """
    choice = Choice(problem, exact=True)
    choice.ask(lambda cut: problem.cost(cut) / problem.unit, most=problem.total(best) / problem.unit + 1e-9)
    choice.ask(lambda cut: float(worth(problem, {cut: 1})), least=worth(problem, best))
    cuts = _usable(problem, [*best, *pool])
    _switched(choice, cuts, costs=[0.0] * len(cuts), price=1.0)
    start = np.array([float(best[cut]) for cut in cuts] + [float(cut in best) for cut in cuts])
    values = choice.improve(watch=watch, nodes=_NODES, start=start).values
    found = best if values is None else counted(cuts, values[: len(cuts)])
    return found if len(found) < len(best) else best


def limited(
    problem: Problem, *, best: Counter[Cut], pool: Sequence[Cut], most: int, watch: Watch
) -> Counter[Cut] | None:
    """The cheapest cuts with at most so many patterns.

    Source: common practice: as `fewest`, with the number of switches limited.

    Args:
        problem: the problem.
        best: cuts with more patterns.
        pool: the patterns.
        most: how many patterns there may be.
        watch: says when to stop.

    Returns:
        The cuts; None if none are found.
    """
    choice = Choice(problem, exact=True)
    cuts = _usable(problem, [*best, *pool, *_finishing(problem)])
    first = choice.getNumRow()
    choice.rows([-INFINITY], [float(most)])
    _switched(
        choice, cuts, costs=[problem.cost(cut) / problem.unit for cut in cuts], price=0.0, switches_row=first
    )
    values = choice.improve(watch=watch, nodes=_NODES_LIMITED).values
    return None if values is None else counted(cuts, values[: len(cuts)])


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
    everything = choice.problem.everything()
    first = choice.getNumRow()
    choice.rows([-INFINITY] * len(cuts), [0.0] * len(cuts))
    for index, cut in enumerate(cuts):
        choice.pattern(cut, cost=costs[index], rows=[(first + index, 1.0)])
    for index, cut in enumerate(cuts):
        counted_in = [] if switches_row is None else [(switches_row, 1.0)]
        choice.column(price, [*counted_in, (first + index, -float(everything.most(cut)))], most=1.0)


def _finishing(problem: Problem) -> Iterator[Cut]:
    """Patterns that finish all their sizes at once in the same number of bars."""
    for bars in range(1, max(problem.demand) + 1):
        shares = [
            (problem.spans[size] * (wanted // bars), size)
            for size, wanted in enumerate(problem.demand)
            if wanted % bars == 0
        ]
        for stock, room in enumerate(problem.rooms):
            yield from _packed(problem, stock, room=room, shares=sorted(shares, reverse=True), bars=bars)


def _packed(
    problem: Problem, stock: int, *, room: int, shares: Sequence[tuple[int, int]], bars: int
) -> Iterator[Cut]:
    """The shares that fit a bar, first fit by length."""
    opened: list[tuple[int, list[int]]] = []
    for length, size in shares:
        if length > room:
            continue
        place = next((index for index, (left, _) in enumerate(opened) if left >= length), None)
        left, counts = opened.pop(place) if place is not None else (room, [0] * len(problem.sizes))
        counts[size] = problem.demand[size] // bars
        opened.insert(place if place is not None else len(opened), (left - length, counts))
    for _, counts in opened:
        yield stock, tuple(counts)
