"""Cutting plans of several classes, beside first fit by length and OR-Tools CP-SAT on the same tasks.

Time is processor time of this process. In the small size one task of each class is planned; with --full more
than 60, and the targets are asserted: bars of slabs (40 lengths, 3,000 pieces) proven on 19 of 20 in 1 s and
never more than a bar above the bound; 150 lengths and 20,000 pieces in 5 s; offcuts with credit within 0.2 %
in 3 s.
"""

from __future__ import annotations

import statistics
import time
from dataclasses import dataclass, replace
from math import ceil

import pytest
from ortools.sat.python import cp_model

from estimates.calc.cutting import checking, planning
from estimates.calc.cutting.facts import Plan, Stock, Task
from tests.benchmarks import report
from tests.estimates.calc.cutting import tasks

pytestmark = pytest.mark.long
SAME_TIME = 10
"""CP-SAT gets so many times the seconds that the plan was allowed, up to `CP_SAT_SECONDS`."""
CP_SAT_SECONDS = 5
CP_SAT_COUNTS = 100_000
"""A model with more counts than this is not even built for it."""


@dataclass(frozen=True)
class Run:
    """A task planned three ways: the plan, seconds to its best cost and in all; cost by the others."""

    task: Task
    plan: Plan
    seconds_to_best: float
    seconds: float
    first_fit: float
    cp_sat: float | None

    @property
    def bars_above(self):
        """How many of the longest bars the plan may be above its bound."""
        return ceil(
            (self.plan.cost - self.plan.bound - 1e-6) / max(stock.price for stock in self.task.stocks)
        )


def _run(task, *, seconds, cp_sat_seconds):
    start = time.process_time()
    told = []
    plan = planning.solve(task, clock=time.process_time, seconds=seconds, progress=told.append)
    spent = time.process_time() - start
    to_best = next(step.seconds for step in told if step.cost <= plan.cost and step.bound >= plan.bound)
    assert checking.check(task, plan) == ()
    plain = planning.first_fit(task, clock=time.process_time)
    bars = sum(pattern.bars for pattern in plain.patterns)
    return Run(task, plan, to_best, spent, plain.cost, _cp_sat(task, bars=bars, seconds=cp_sat_seconds))


def _cp_sat(task, *, bars, seconds):
    """The cost of the best plan that CP-SAT finds bar by bar; None if it finds none."""
    if bars * len(task.pieces) > CP_SAT_COUNTS:
        return None
    model = cp_model.CpModel()
    made, costs = [[] for _ in task.pieces], []
    for stock in task.stocks:
        for _ in range(bars if stock.available is None else stock.available):
            used = model.new_bool_var("")
            counts = [model.new_int_var(0, piece.count, "") for piece in task.pieces]
            lengths = [piece.length_mm for piece in task.pieces]
            model.add(
                sum(length * count for length, count in zip(lengths, counts, strict=True))
                <= stock.length_mm * used
            )
            for row, count in zip(made, counts, strict=True):
                row.append(count)
            costs.append(used * stock.price)
    for row, piece in zip(made, task.pieces, strict=True):
        model.add(sum(row) == piece.count)
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    found = solver.solve(model) in {cp_model.OPTIMAL, cp_model.FEASIBLE}
    return solver.objective_value if found else None


def _several_lengths(seed):
    given = tasks.task(tasks.slab_bars(seed))
    stocks = tuple(Stock(label=f"{long}", length_mm=long) for long in (12_000, 9_000, 7_500))
    return replace(given, stocks=stocks)


CLASSES = {
    "bars of slabs, 40 lengths, 3,000 pieces": (lambda n: tasks.task(tasks.slab_bars(n)), 20, 1),
    "the same on a grid of 10 mm": (lambda n: tasks.task(tasks.slab_bars(n, grid=10)), 8, 1),
    "the same with a blade of 4 mm": (
        lambda n: tasks.task(tasks.slab_bars(n), stock=12_000, blade_mm=4),
        4,
        1,
    ),
    "the same, three lengths to buy": (_several_lengths, 4, 3),
    "150 lengths, 20,000 pieces": (lambda n: tasks.task(tasks.slab_bars(n, sizes=150, pieces=20_000)), 4, 5),
    "offcuts with credit": (tasks.offcut_job, 6, 3),
    "triplets of 60": (lambda n: tasks.task(tasks.triplets(n, number=60), stock=1000), 8, 3),
    "uniform, 250 pieces": (lambda n: tasks.task(tasks.uniform(n, number=250), stock=150, keep_mm=50), 6, 3),
    "narrow, 100 pieces": (lambda n: tasks.task(tasks.narrow(n), stock=1000), 6, 3),
}


@pytest.mark.parametrize("title", CLASSES)
def test_plans_of_a_class(title, full_size, record_property, capsys):
    make, number, seconds = CLASSES[title]
    number = number if full_size else 1
    cp_sat_seconds = min(SAME_TIME * seconds, CP_SAT_SECONDS) if full_size else 1
    runs = [_run(make(seed), seconds=seconds, cp_sat_seconds=cp_sat_seconds) for seed in range(1, number + 1)]
    report.show(capsys, record_property, title=title, figures=_figures(runs))
    assert all(run.plan.cost <= run.first_fit for run in runs)
    assert all(run.plan.cost <= run.cp_sat for run in runs if run.cp_sat is not None)
    if full_size:
        _assert_targets(title, runs)


def _figures(runs):
    compared = [run for run in runs if run.cp_sat is not None]
    return {
        "tasks": len(runs),
        "proven optimal": sum(run.plan.proven for run in runs),
        "most bars above the bound": max(run.bars_above for run in runs),
        "largest gap [%]": f"{max(run.plan.gap for run in runs) * 100:.4f}",
        "first fit costs more, mean [%]": _more(runs, [run.first_fit for run in runs]),
        "processor time to best cost and bound, median [s]": statistics.median(
            run.seconds_to_best for run in runs
        ),
        "the same, most [s]": max(run.seconds_to_best for run in runs),
        "processor time with long rests and few patterns, most [s]": max(run.seconds for run in runs),
        "CP-SAT found a plan": f"{len(compared)} of {len(runs)}",
        "CP-SAT costs more, mean of those [%]": _more(compared, [run.cp_sat for run in compared]),
    }


def _more(runs, costs):
    """By how many percent the costs are more than those of the plans, in the mean."""
    return (
        statistics.mean(cost / run.plan.cost - 1 for run, cost in zip(runs, costs, strict=True)) * 100
        if runs
        else "-"
    )


def _assert_targets(title, runs):
    if "credit" in title:
        assert max(run.plan.gap for run in runs) < 0.002
        return
    assert max(run.bars_above for run in runs) <= 1
    if "20,000" in title:
        assert all(run.plan.proven for run in runs)
    if title.startswith("bars of slabs"):
        assert sum(run.plan.proven for run in runs) >= 19
