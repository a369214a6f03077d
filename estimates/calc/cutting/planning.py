"""The search for the best cutting plan: a ladder of methods, climbed while the plan is above its bound."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from estimates.calc.cutting import arcs, assembling, fewer, in_store, patterns, problem, rests, rounding
from estimates.calc.cutting import first_fit as by_length
from estimates.calc.cutting.columns import Master, Relaxed
from estimates.calc.cutting.facts import Clock, Ended, Kind, Method, Plan, Progress, Task
from estimates.calc.cutting.problem import Cut, Cuts, Problem
from estimates.calc.cutting.watch import Watch

_DIVES: Final = 6


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

    Source: common practice: column generation (Gilmore and Gomory 1961, 1963), rounding and diving, integer
    program over the patterns found, arc-flow (Valério de Carvalho 1999); never worse than first fit.

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
    watch = Watch(clock, seconds, progress, cancelled)
    search = _Search(problem.ready(task), watch)
    search.climb()
    if any(cut[0] == search.problem.shortfall for cut in search.best):
        raise ValueError(_short(search.problem, search.best))
    cuts = in_store.first(search.problem, search.best)
    outcome = assembling.Outcome(
        method=search.method, bound=search.bound, ended=watch.ended, seconds=watch.seconds
    )
    return assembling.plan(search.problem, cuts, outcome=outcome)


def first_fit(task: Task, *, clock: Clock) -> Plan:
    """The plan of a fitter who cuts the longest pieces first, to compare with; its bound is not worked out.

    Source: common practice: first fit decreasing.

    Args:
        task: stock and pieces of one bar size [mm].
        clock: a monotonic clock [s].

    Returns:
        The plan, with a bound of 0.

    Raises:
        ValueError: every fault of the task; or stock that does not suffice, cut in this way.
    """
    begun = clock()
    ready = problem.ready(task)
    cuts = by_length.cuts(ready, remaining=ready.everything())
    if any(stock == ready.shortfall for stock, _ in cuts):
        raise ValueError(_short(ready, cuts))
    seconds = clock() - begun
    outcome = assembling.Outcome(method=Method.FIRST_FIT, bound=0.0, ended=Ended.DONE, seconds=seconds)
    return assembling.plan(ready, cuts, outcome=outcome)


@dataclass(slots=True)
class _Search:
    """The best cuts so far, the method that found them, and the bound on the cost."""

    problem: Problem
    watch: Watch
    best: Counter[Cut] = field(default_factory=Counter)
    method: Method = Method.FIRST_FIT
    bound: float = 0.0

    def climb(self) -> None:
        """Tries one method after the other while the best cuts cost more than the bound."""
        everything = self.problem.everything()
        self.best = by_length.cuts(self.problem, remaining=everything)
        self._tell("first fit by length")
        master = Master(self.problem, remaining=everything, start=self.best)
        relaxed = master.generate(self.watch)
        self.bound = relaxed.bound
        self._tell("linear program over all patterns")
        found = rounding.rounded(self.problem, relaxed=relaxed, remaining=everything)
        self._take(found, method=Method.ROUNDING)
        if self._open():
            found = rounding.dived(
                self.problem,
                relaxed=relaxed,
                best=self.best,
                bound=self.bound,
                dives=_DIVES,
                watch=self.watch,
            )
            self._take(found, method=Method.DIVING)
        if self._open():
            found = patterns.cheapest(
                self.problem, cuts=relaxed.cuts, best=self.best, bound=self.bound, watch=self.watch
            )
            self._take(found, method=Method.COLUMNS)
        if self._open():
            found, self.bound = arcs.solved(self.problem, best=self.best, bound=self.bound, watch=self.watch)
            self._take(found, method=Method.ARCS)
        if not any(stock == self.problem.shortfall for stock, _ in self.best):
            self._tidy(relaxed)

    def _tidy(self, relaxed: Relaxed) -> None:
        """At the cost that was reached: long rests, and few patterns."""
        at_hand = [cut for cut, bars in zip(relaxed.cuts, relaxed.bars, strict=True) if bars > 0]
        if not self.watch.over() and not self.problem.credit:
            self._tell("long rests")
            at_hand += self.best
            self.best, seen = rests.lengthened(
                self.problem, best=self.best, relaxed=relaxed, watch=self.watch
            )
            if len(self.problem.stocks) > 1 and not self.watch.over():
                self.best = rests.chosen(self.problem, best=self.best, pool=seen, watch=self.watch)
        if not self.watch.over():
            self._tell("few patterns")
            self.best = fewer.fewest(self.problem, best=self.best, pool=at_hand, watch=self.watch)
        most = self.problem.task.max_patterns
        if most is not None and fewer.different(self.best) > most and not self.watch.over():
            found = fewer.limited(self.problem, best=self.best, pool=at_hand, most=most, watch=self.watch)
            self.best = found if found is not None else self.best

    def _open(self) -> bool:
        return not self.watch.over() and self.problem.total(self.best) > self.bound + 1e-6

    def _take(self, cuts: Counter[Cut], *, method: Method) -> None:
        """Keeps the cuts if they are better than the best."""
        if self.problem.total(cuts) < self.problem.total(self.best) - 1e-9:
            self.best, self.method = cuts, method
        self._tell(method.value)

    def _tell(self, doing: str) -> None:
        stocks = self.problem.stocks
        bars = sum(number for (stock, _), number in self.best.items() if stocks[stock].kind is Kind.BAR)
        self.watch.tell(doing, cost=self.problem.total(self.best), new_bars=bars, bound=self.bound)


def _short(ready: Problem, found: Cuts) -> str:
    """Says for which pieces the stock does not suffice."""
    lacking: Counter[int] = Counter()
    for (stock, counts), bars in found.items():
        if stock == ready.shortfall:
            lacking.update(
                {size: count * bars for size, count in zip(ready.sizes, counts, strict=True) if count}
            )
    words = ", ".join(f"{count} of {size} mm" for size, count in sorted(lacking.items(), reverse=True))
    return f"the stock does not suffice in any plan found: it lacks room for {words}; add stock, or buy some"
