"""The search of one size, and beside it what other ways of buying would take."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from estimates.calc.cutting import buying, planning
from estimates.calc.cutting.buying import Advice, Habit
from estimates.calc.cutting.facts import Clock, Plan, Progress, Task
from inventory.models import CuttingPattern, CuttingPlan
from inventory.services.cutting import inputs

BUY = CuttingPattern.Origin.BUY.value


@dataclass(frozen=True)
class Search:
    """How long is searched [s], by which clock, and who is told."""

    clock: Clock
    seconds: float
    progress: Callable[[Progress], None]


def search(
    task: Task, *, size: Mapping[str, Any], plan: CuttingPlan, mg_per_mm: int, search: Search
) -> tuple[Plan, dict[str, Any] | None]:
    """Find the plan of a size, and the purchase advice as plain data; None when nothing can be bought.

    Raises: ValueError when the pieces cannot be cut from what there is.
    """
    habit = _habit(size, plan=plan)
    if habit is None:
        solved = planning.solve(task, clock=search.clock, seconds=search.seconds, progress=search.progress)
        return solved, None
    found = buying.advise(
        task,
        today=habit,
        mg_per_mm=mg_per_mm,
        clock=search.clock,
        seconds=search.seconds,
        progress=search.progress,
    )
    return found.plan, _plain(found, habit=habit)


def _habit(size: Mapping[str, Any], *, plan: CuttingPlan) -> Habit | None:
    """Say how the firm buys without a plan: its usual length, or the longest one that can be bought."""
    lengths = sorted(one["length_mm"] for one in size["stocks"] if one["origin"] == BUY)
    usual = plan.settings.get("habit", {})
    if not lengths or "percent" not in usual:
        return None
    length = round(usual.get("length_mm", 0))
    chosen = length if length in lengths else lengths[-1]
    return Habit(label=inputs.label(BUY, chosen), percent=usual["percent"])


def _plain(found: Advice, *, habit: Habit) -> dict[str, Any]:
    ways = {
        "mix": found.mix,
        "one_length": found.one_length,
        "first_fit": found.first_fit,
        "by_percent": found.by_percent,
    }
    return {
        "usual_mm": int(habit.label.removeprefix(f"{BUY} ")),
        "percent": habit.percent,
        "ways": {
            name: None
            if way is None
            else asdict(way)
            | {"bars": [[int(label.removeprefix(f"{BUY} ")), number] for label, number in way.bars]}
            for name, way in ways.items()
        },
    }
