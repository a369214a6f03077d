"""Flows of least cost through a net: what goes from whom to whom."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from inventory.calc.reorder.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A way from a node to another: cost of a unit and how many units it takes, None for any."""

    tail: int
    head: int
    cost: int
    most: int | None = None


def cheapest(arcs: Sequence[Arc], *, supplies: Sequence[int]) -> tuple[int, tuple[int, ...]] | None:
    """Work out the flow of least cost.

    Supplies are whole, so that a corner of the linear program is whole too.
    Source: minimum-cost flow as a linear program (its matrix is totally unimodular: Hoffman & Kruskal 1956).

    Args:
        arcs: the ways.
        supplies: units that each node gives (above 0) or takes (below 0), adding up to 0.

    Returns:
        Cost and units on each arc, None when the net cannot carry it.

    >>> cheapest([Arc(tail=0, head=1, cost=3), Arc(tail=0, head=1, cost=2, most=4)], supplies=[5, -5])
    (11, (1, 4))
    """
    if sum(supplies):
        raise ValueError(f"supplies add up to {sum(supplies)} and must add up to 0")
    program = Program()
    for supply in supplies:
        program.row(float(supply), float(supply))
    for arc in arcs:
        most = None if arc.most is None else float(arc.most)
        program.column(float(arc.cost), ((arc.tail, 1.0), (arc.head, -1.0)), most=most)
    found = program.solve()
    if found.values is None:
        return None
    units = tuple(int(value) for value in np.rint(found.values))
    return sum(arc.cost * count for arc, count in zip(arcs, units, strict=True)), units
