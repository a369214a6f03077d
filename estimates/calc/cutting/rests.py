"""The second aim: at the same cost, rests that can be used again, in few long offcuts."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from estimates.calc.cutting import patterns, rounding
from estimates.calc.cutting import problem as problems
from estimates.calc.cutting.columns import Aim, Master, Relaxed
from estimates.calc.cutting.facts import Kind, Piece
from estimates.calc.cutting.patterns import Choice
from estimates.calc.cutting.problem import Cut, Cuts, Problem
from estimates.calc.cutting.watch import Watch

_TRIES: Final = 8
_FINE: Final = 100
_NODES: Final = 20


def worth(problem: Problem, cuts: Cuts) -> int:
    """What the rests are worth [mm]: each rest by what it is longer than the shortest one that is kept.

    An offcut that is taken from store counts against it in the same way. So one long rest is worth more than
    two that are together as long, and of the offcuts in store short ones are taken first.

    Source: derived: a rest just long enough to keep is worth no more than scrap.

    Args:
        problem: the problem.
        cuts: how many bars are cut how.

    Returns:
        The worth [mm], less than 0 if more goes out of store than comes in.
    """
    keep = problem.task.keep_mm
    total = 0
    for cut, bars in cuts.items():
        stock = problem.stocks[cut[0]]
        taken = max(0, stock.length_mm - keep) if stock.kind is Kind.OFFCUT else 0
        total += (max(0, problem.remainder(cut) - keep) - taken) * bars
    return total


def lengthened(
    problem: Problem, *, best: Counter[Cut], relaxed: Relaxed, watch: Watch
) -> tuple[Counter[Cut], list[Cut]]:
    """Looks for cuts of the same cost that leave one long rest, which is cut like a piece.

    Source: derived: halving between the longest rest so far and the longest that the cost leaves room for.

    Args:
        problem: the problem.
        best: the best cuts so far; their cost is kept.
        relaxed: the linear program's answer.
        watch: says when to stop.

    Returns:
        The cuts whose rests are worth most, and all patterns seen.
    """
    seen = dict.fromkeys([*relaxed.cuts, *best])
    cost = problem.total(best)
    low, likely, high = _range(problem, best, spare=cost - relaxed.cost)
    fine = max(1, high // _FINE)
    # First nearly as long as the linear program promises; if that goes, a little longer; then halving.
    middles = iter([likely - fine] if likely - fine > low else [])
    for _ in range(_TRIES):
        if high - low <= fine or watch.over():
            break
        middle = next(middles, (low + high + 1) // 2)
        found = _with_rest(problem, rest_mm=middle, cost=cost, pool=list(seen), watch=watch)
        if found is None:
            high = middle - 1
        else:
            seen.update(dict.fromkeys(found))
            low = max(problem.remainder(cut) for cut in found)
            best = max((best, found), key=lambda cuts: worth(problem, cuts))
            middles = iter([low + fine] if middle == likely - fine else [])
    return best, list(seen)


def _longest(problem: Problem, *, cost: float) -> Aim:
    """The second aim as the linear program has it, in the shortest rest that is kept."""
    keep = problem.task.keep_mm
    return Aim(
        fixed=tuple(
            max(0.0, stock.length_mm / keep - 1) if stock.kind is Kind.OFFCUT else 0.0
            for stock in problem.stocks
        ),
        reward=lambda rests: np.maximum(0.0, rests / keep - 1),
        most=cost / problem.unit + 1e-9,
    )


def _range(problem: Problem, cuts: Cuts, *, spare: float) -> tuple[int, int, int]:
    """The longest rest of the cuts, what the linear program leaves room for, and the longest there can be.

    Where bars have several prices the room, counted in the cheapest of them, may be longer than any bar.
    """
    used = [problem.stocks[stock] for stock, _ in cuts]
    longest = max(stock.length_mm for stock in used) - problem.spans[-1]
    low = max(problem.task.keep_mm - 1, *(problem.remainder(cut) for cut in cuts))
    per_mm = min((stock.price / stock.length_mm for stock in used if stock.price), default=0.0)
    total = sum(problem.remainder(cut) * bars for cut, bars in cuts.items())
    most = min(longest, total)
    return low, min(int(spare / per_mm), most) if per_mm else 0, most


def _with_rest(
    problem: Problem, *, rest_mm: int, cost: float, pool: Iterable[Cut], watch: Watch
) -> Counter[Cut] | None:
    """Cuts of at most this cost that leave a rest of this length; None if none are found."""
    rest = Piece(mark="rest", length_mm=rest_mm, count=1)
    asked = problems.ready(replace(problem.task, pieces=(*problem.task.pieces, rest)))
    place = asked.sizes.index(rest_mm)
    known = rest_mm in problem.sizes
    start = [cut if known else (cut[0], (*cut[1][:place], 0, *cut[1][place:])) for cut in pool]
    everything = asked.everything()
    first = rounding.completed(asked, fixed=Counter(), remaining=everything)
    relaxed = Master(asked, remaining=everything, start=[*start, *first]).generate(watch)
    if relaxed.bound > cost + 1e-6:
        return None
    found = rounding.rounded(asked, relaxed=relaxed, remaining=everything)
    found = rounding.dived(asked, relaxed=relaxed, best=found, bound=cost, dives=1, watch=watch)
    if asked.total(found) > cost + 1e-6:
        return None
    return _without(found, place=place, known=known)


def _without(found: Counter[Cut], *, place: int, known: bool) -> Counter[Cut]:
    """The cuts without the piece that stood for the rest."""
    holder = min((cut for cut in found if cut[1][place]), key=lambda cut: (sum(cut[1]), cut))
    kept: Counter[Cut] = Counter()
    for cut, bars in found.items():
        counts = list(cut[1])
        kept[cut[0], tuple(counts)] += bars - (cut == holder)
        if cut == holder:
            counts[place] -= 1
            kept[cut[0], tuple(counts)] += 1
    if not known:
        kept = Counter(
            {(stock, (*counts[:place], *counts[place + 1 :])): bars for (stock, counts), bars in kept.items()}
        )
    # A bar that held nothing but the rest is not begun at all.
    return +Counter({cut: bars for cut, bars in kept.items() if any(cut[1])})


def chosen(problem: Problem, *, best: Counter[Cut], pool: Sequence[Cut], watch: Watch) -> Counter[Cut]:
    """Chooses stocks and patterns so that rests are worth most, at no more cost.

    Source: derived: column generation for this aim, then the integer program over the patterns.

    Args:
        problem: the problem.
        best: the best cuts so far.
        pool: patterns to begin with.
        watch: says when to stop.

    Returns:
        Cuts whose rests are worth no less than those of `best`.
    """
    aim = _longest(problem, cost=problem.total(best))
    start = [*best, *pool]
    relaxed = Master(problem, remaining=problem.everything(), start=start, aim=aim).generate(watch)
    cuts = list(dict.fromkeys([*best, *relaxed.cuts]))
    choice = Choice(problem, exact=False)
    choice.ask(lambda cut: problem.cost(cut) / problem.unit, most=problem.total(best) / problem.unit + 1e-9)
    for cut in cuts:
        choice.pattern(cut, cost=-worth(problem, {cut: 1}) / problem.task.keep_mm)
    found = choice.choose(cuts, best=best, nodes=_NODES, watch=watch)
    trimmed = best if found is None else patterns.trimmed(problem, found)
    return max((best, trimmed), key=lambda each: worth(problem, each))
