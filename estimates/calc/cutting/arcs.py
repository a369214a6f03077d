"""The integer program over all patterns at once, as flow along the bar: exact, for small problems."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Final

import numpy as np

from estimates.calc.cutting import costs
from estimates.calc.cutting.highs import INFINITY, Floats, Program
from estimates.calc.cutting.patterns import better, trimmed
from estimates.calc.cutting.pricing import Knapsack
from estimates.calc.cutting.problem import Cut, Problem
from estimates.calc.cutting.watch import Watch

_MOST_ARCS: Final = 8_000
_ARCS_A_SECOND: Final = 2_000
_NODES: Final = 2_000
_LOSS: Final = -1
_TRUST: Final = 1e-9


@dataclass(slots=True)
class _Graph:
    """Arcs (from, to, size) along the bar, size -1 for loss, and (node, stock, cost) where bars end."""

    arcs: list[tuple[int, int, int]] = field(default_factory=list)
    ends: list[tuple[int, int, float]] = field(default_factory=list)


def solved(problem: Problem, *, best: Counter[Cut], bound: float, watch: Watch) -> tuple[Counter[Cut], float]:
    """Solves the problem as flow, if it is small enough.

    Source: common practice: arc-flow formulation of Valério de Carvalho (1999), with several stock lengths.

    Args:
        problem: the problem.
        best: the best cuts so far.
        bound: the bound so far.
        watch: says when to stop.

    Returns:
        The best cuts, never worse than `best`, and the bound, never lower than `bound`.
    """
    graph = _graph(problem)
    # Between two looks at the watch the solver may work for this long.
    if graph is None or not watch.enough(len(graph.arcs) / _ARCS_A_SECOND):
        return best, bound
    program = _program(problem, graph)
    target = bound / problem.unit + 1e-6
    found = program.improve(watch=watch, nodes=_NODES, target=target)
    if found.values is not None:
        best = better(problem, best, trimmed(problem, _paths(problem, graph, found.values)))
    seen = Fraction(max(0.0, found.bound) * problem.unit * (1 - _TRUST))
    proven = costs.lifted(problem, seen, remaining=problem.everything())
    return best, max(bound, min(proven, problem.total(best)))


def _graph(problem: Problem) -> _Graph | None:
    """The arcs by which any pattern is reached, longest pieces first; None if they are too many."""
    knapsack = Knapsack(problem, demand=problem.demand)
    most = max(knapsack.ends)
    reached = np.zeros(most + 1, dtype=bool)
    reached[0] = True
    graph = _Graph()
    for size, span in enumerate(knapsack.spans):
        tails, step = np.zeros(most + 1, dtype=bool), reached.copy()
        for _ in range(min(problem.demand[size], most // span)):
            tails |= step
            step = np.concatenate((np.zeros(span, dtype=bool), step[:-span]))
            reached |= step
        graph.arcs += [
            (int(tail), int(tail) + span, size) for tail in np.flatnonzero(tails[: most + 1 - span])
        ]
        if len(graph.arcs) > _MOST_ARCS:
            return None
    nodes = [int(node) for node in np.flatnonzero(reached)]
    graph.arcs += [(low, high, _LOSS) for low, high in pairwise(nodes)]
    for stock in range(len(problem.stocks)):
        graph.ends += _ends(problem, stock, nodes=nodes, knapsack=knapsack)
    return graph if len(graph.arcs) + len(graph.ends) <= _MOST_ARCS else None


def _ends(
    problem: Problem, stock: int, *, nodes: Sequence[int], knapsack: Knapsack
) -> Iterator[tuple[int, int, float]]:
    """Where a bar of a stock may end: as far as it goes, and earlier where its rest has a credit."""
    inside = [node for node in nodes if 0 < node <= knapsack.ends[stock]]
    rests, price = knapsack.rests_mm(stock), problem.stocks[stock].price
    for node in inside:
        credit = problem.credit * float(rests[node]) if rests[node] >= problem.task.keep_mm else 0.0
        if credit or node == inside[-1]:
            yield node, stock, (price - credit) / problem.unit


def _program(problem: Problem, graph: _Graph) -> Program:
    """Rows: what flows into a node flows out; every size as often as wanted. Columns: arcs, then stocks."""
    nodes = sorted({node for tail, head, _ in graph.arcs for node in (tail, head)})
    row = {node: index for index, node in enumerate(nodes)}
    program = Program()
    program.rows([0.0] * len(nodes), [0.0] * len(nodes))
    program.rows(problem.demand, [INFINITY] * len(problem.demand))
    for tail, head, size in graph.arcs:
        entries = [(row[tail], -1.0), (row[head], 1.0)]
        if size != _LOSS:
            entries.append((len(nodes) + size, 1.0))
        program.column(0.0, entries)
    limits = [INFINITY if stock.available is None else float(stock.available) for stock in problem.stocks]
    program.rows([-INFINITY] * len(limits), limits)
    for end, stock, cost in graph.ends:
        program.column(
            cost, [(row[end], -1.0), (row[0], 1.0), (len(nodes) + len(problem.demand) + stock, 1.0)]
        )
    return program


def _paths(problem: Problem, graph: _Graph, values: Floats) -> Counter[Cut]:
    """The flow taken apart into bars."""
    flow: defaultdict[int, list[list[int]]] = defaultdict(list)
    for (tail, head, size), number in zip(graph.arcs, values[: len(graph.arcs)], strict=True):
        if number > 0:
            flow[head].append([tail, size, int(number)])
    found: Counter[Cut] = Counter()
    bars = sorted(zip(graph.ends, values[len(graph.arcs) :], strict=True))
    for (end, stock, _), number in bars:
        for _bar in range(int(number)):
            found[stock, _path(flow, end=end, sizes=len(problem.sizes))] += 1
    return Counter({cut: number for cut, number in found.items() if any(cut[1])})


def _path(flow: defaultdict[int, list[list[int]]], *, end: int, sizes: int) -> tuple[int, ...]:
    """One unit of flow, followed from the end of a bar back to its begin and taken away."""
    counts = [0] * sizes
    node = end
    while node:
        arc = next(arc for arc in flow[node] if arc[2] > 0)
        arc[2] -= 1
        node = arc[0]
        if arc[1] != _LOSS:
            counts[arc[1]] += 1
    return tuple(counts)
