"""From bars that are not whole to whole ones: rounding down and cutting the rest anew, once or many times."""

from collections import Counter
from typing import Final

from estimates.calc.cutting import first_fit
from estimates.calc.cutting.columns import Master, Relaxed
from estimates.calc.cutting.problem import Cut, Problem, Remaining
from estimates.calc.cutting.watch import Watch

_NEARLY: Final = 1e-6
_SURE: Final = 0.9


def rounded(problem: Problem, *, relaxed: Relaxed, remaining: Remaining) -> Counter[Cut]:
    """The better of two ways to round: down, or down and then up where it fits; the rest by first fit.

    Source: common practice: residual heuristics of cutting stock (Wäscher and Gau 1996).

    Args:
        problem: the problem.
        relaxed: the linear program's answer.
        remaining: what was wanted of it.

    Returns:
        How many bars are cut how.
    """
    down = _down(relaxed, remaining=remaining)
    up = Counter(down)
    left = remaining.after(down)
    for cut, _ in _by_fraction(relaxed):
        if left.most(cut) > 0:
            up[cut] += 1
            left = left.after({cut: 1})
    both = (completed(problem, fixed=found, remaining=remaining) for found in (down, up))
    return min(both, key=problem.total)


def completed(problem: Problem, *, fixed: Counter[Cut], remaining: Remaining) -> Counter[Cut]:
    """Bars that are settled, and the rest by first fit.

    Source: common practice.

    Args:
        problem: the problem.
        fixed: the bars that are settled.
        remaining: what was wanted of them and of the rest.

    Returns:
        How many bars are cut how.
    """
    return fixed + first_fit.cuts(problem, remaining=remaining.after(fixed))


def dived(
    problem: Problem, *, relaxed: Relaxed, best: Counter[Cut], bound: float, dives: int, watch: Watch
) -> Counter[Cut]:
    """Settles some bars, solves the linear program for the rest, and so on; several times with another begin.

    Source: common practice: diving with column generation.

    Args:
        problem: the problem.
        relaxed: the linear program's answer for the whole problem.
        best: the best cuts so far.
        bound: cost that is good enough.
        dives: how many times.
        watch: says when to stop.

    Returns:
        The best cuts found, never worse than `best`.
    """
    for skipped in range(dives):
        if watch.over() or problem.total(best) <= bound:
            break
        best = _dive(problem, relaxed=relaxed, best=best, skipped=skipped, watch=watch)
    return best


def _dive(
    problem: Problem, *, relaxed: Relaxed, best: Counter[Cut], skipped: int, watch: Watch
) -> Counter[Cut]:
    remaining, fixed = problem.everything(), Counter[Cut]()
    while any(remaining.demand) and not watch.over():
        step = _step(relaxed, remaining=remaining, skipped=skipped)
        fixed, remaining, skipped = fixed + step, remaining.after(step), 0
        rest = first_fit.cuts(problem, remaining=remaining)
        if problem.total(fixed + rest) < problem.total(best):
            best = fixed + rest
        if not any(remaining.demand):
            break
        start = [cut for cut in relaxed.cuts if remaining.most(cut) > 0]
        relaxed = Master(problem, remaining=remaining, start=[*start, *rest]).generate(watch)
        if problem.total(fixed) + relaxed.bound >= problem.total(best):
            break
    return best


def _step(relaxed: Relaxed, *, remaining: Remaining, skipped: int) -> Counter[Cut]:
    """The whole bars, and of the others those that are nearly whole, at least one kind."""
    found = _down(relaxed, remaining=remaining)
    left = remaining.after(found)
    for rank, (cut, fraction) in enumerate(_by_fraction(relaxed)[skipped:]):
        if (rank == 0 or fraction > _SURE) and left.most(cut) > 0:
            found[cut] += 1
            left = left.after({cut: 1})
    return found


def _down(relaxed: Relaxed, *, remaining: Remaining) -> Counter[Cut]:
    """The whole bars of the linear program, never more pieces than wanted."""
    found: Counter[Cut] = Counter()
    left = remaining
    for cut, number in zip(relaxed.cuts, relaxed.bars, strict=True):
        bars = min(int(number + _NEARLY), left.most(cut)) if number >= 1 - _NEARLY else 0
        if bars > 0:
            found[cut] += bars
            left = left.after({cut: bars})
    return found


def _by_fraction(relaxed: Relaxed) -> list[tuple[Cut, float]]:
    """Patterns with a part of a bar, and that part, greatest part first."""
    parts = ((cut, float(number % 1)) for cut, number in zip(relaxed.cuts, relaxed.bars, strict=True))
    found = [(cut, part) for cut, part in parts if _NEARLY < part < 1 - _NEARLY]
    return sorted(found, key=lambda each: -each[1])
