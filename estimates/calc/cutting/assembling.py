"""From how bars are cut to the plan that is shown: marks given back to the pieces, sums, bound and gap."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from estimates.calc.cutting import fewer
from estimates.calc.cutting.facts import Ended, Kind, Method, Pattern, Plan
from estimates.calc.cutting.problem import Cuts, Problem

_NOTHING: Final = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How a search went: the method that found the cuts, the proven bound on cost, why and when it ended."""

    method: Method
    bound: float
    ended: Ended
    seconds: float


def plan(problem: Problem, cuts: Cuts, *, outcome: Outcome) -> Plan:
    """Makes the plan from the cuts.

    Source: derived: cut stock = pieces + kept rests + scrap + blade.

    Args:
        problem: the problem that was solved.
        cuts: how many bars are cut how; every size exactly as often as wanted.
        outcome: bound on the cost, method, end.

    Returns:
        The plan, its patterns in the order of stocks, longest pieces first.
    """
    patterns = tuple(_patterns(problem, cuts))
    stocks, keep = problem.stocks, problem.task.keep_mm
    bars = sum(p.bars for p in patterns if stocks[p.stock].kind is Kind.BAR)
    rests = [p.remainder_mm for p in patterns for _ in range(p.bars)]
    cut_mm = sum(stocks[p.stock].length_mm * p.bars for p in patterns)
    pieces_mm = sum(piece.length_mm * piece.count for piece in problem.task.pieces)
    cost = problem.total(cuts)
    bound = min(outcome.bound, cost)
    most = problem.task.max_patterns
    return Plan(
        patterns=patterns,
        new_bars=bars,
        new_mm=sum(stocks[p.stock].length_mm * p.bars for p in patterns if stocks[p.stock].kind is Kind.BAR),
        offcuts_used=sum(p.bars for p in patterns) - bars,
        kept_mm=tuple(sorted((rest for rest in rests if rest >= keep), reverse=True)),
        scrap_mm=sum(rest for rest in rests if rest < keep),
        blade_mm=cut_mm - pieces_mm - sum(rests),
        cost=cost,
        bound=bound,
        bound_bars=_bound_bars(problem, bound=bound),
        gap=(cost - bound) / cost if cost > bound else 0.0,
        proven=cost - bound <= max(1.0, cost) * _NOTHING,
        patterns_kept=most is None or fewer.different(cuts) <= most,
        method=outcome.method,
        ended=outcome.ended,
        seconds=outcome.seconds,
    )


def _bound_bars(problem: Problem, *, bound: float) -> int | None:
    """The least number of new bars by the bound, where new bars have one length and nothing else counts."""
    bars = [stock for stock in problem.task.stocks if stock.kind is Kind.BAR]
    priced = any(stock.price for stock in problem.stocks if stock.kind is Kind.OFFCUT)
    dearest = max((stock.price for stock in bars), default=0)
    if len({stock.length_mm for stock in bars}) != 1 or not dearest or priced or problem.credit:
        return None
    return -int(-(bound - 1e-6) // dearest)


def _patterns(problem: Problem, cuts: Cuts) -> Iterator[Pattern]:
    """Patterns by piece: where several marks have one length, the marks are served one after the other."""
    waiting = [
        [[index, piece.count] for index, piece in enumerate(problem.task.pieces) if piece.length_mm == size]
        for size in problem.sizes
    ]
    for cut in sorted(cuts, key=lambda cut: (cut[0], tuple(-count for count in cut[1]))):
        left = cuts[cut]
        while left:
            counts, bars = _served(problem, cut[1], waiting=waiting, bars=left)
            yield Pattern(stock=cut[0], counts=counts, bars=bars, remainder_mm=problem.remainder(cut))
            left -= bars


def _served(
    problem: Problem, counts: tuple[int, ...], *, waiting: list[list[list[int]]], bars: int
) -> tuple[tuple[int, ...], int]:
    """The marks of the next bars, and for how many bars they are the same; takes them off those that wait."""
    by_piece = [0] * len(problem.task.pieces)
    alike = bars
    for size, count in enumerate(counts):
        taken = 0
        for index, number in waiting[size]:
            if taken == count:
                break
            by_piece[index] = min(count - taken, number)
            taken += by_piece[index]
            alike = min(alike, number // by_piece[index])
    for size in range(len(counts)):
        for entry in waiting[size]:
            entry[1] -= by_piece[entry[0]] * alike
        waiting[size] = [entry for entry in waiting[size] if entry[1]]
    return tuple(by_piece), alike
