"""First fit by decreasing length: how a fitter without a plan cuts; no other plan may be worse."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimates.calc.cutting.facts import Kind
from estimates.calc.cutting.problem import Cut, Problem, Remaining


@dataclass(slots=True)
class _Group:
    """Bars that are cut alike so far."""

    stock: int
    room: int
    counts: Counter[int]
    bars: int


def cuts(problem: Problem, *, remaining: Remaining) -> Counter[Cut]:
    """Cuts the longest pieces first, each from the first bar that has room for it.

    Offcuts are begun before bars, shorter ones first; then bars in store; then those that cost least by
    length. In the end each bar is changed for the cheapest stock that still holds what is cut from it.

    Source: common practice: first fit decreasing (Johnson 1973), here with stocks of several lengths.

    Args:
        problem: the problem.
        remaining: pieces wanted and stock left.

    Returns:
        How many bars are cut how.

    Raises:
        ValueError: the stock does not hold a piece.
    """
    best: Counter[Cut] | None = None
    for main in _mains(remaining.left):
        found = _shortened(problem, _fitted(problem, remaining=remaining, main=main), left=remaining.left)
        if best is None or problem.total(found) < problem.total(best):
            best = found
    return best if best is not None else Counter()


def _mains(left: Sequence[int | None]) -> Iterable[int | None]:
    """The stocks of which most bars may be taken: each that has no limit, in turn."""
    return [index for index, number in enumerate(left) if number is None] or [None]


def _order(problem: Problem, *, main: int | None) -> list[int]:
    """Stocks in the order in which they are begun."""

    def rank(index: int) -> tuple[int, float, int]:
        stock = problem.stocks[index]
        if index == problem.shortfall:
            return (9, 0, index)
        if stock.kind is Kind.OFFCUT:
            return (0, stock.length_mm, index)
        limited = stock.available is not None
        return (1 if limited else 2 if index == main else 3, stock.price / stock.length_mm, index)

    return sorted(range(len(problem.stocks)), key=rank)


def _fitted(problem: Problem, *, remaining: Remaining, main: int | None) -> list[_Group]:
    order, stock_left, groups = _order(problem, main=main), list(remaining.left), list[_Group]()
    for size, number in enumerate(remaining.demand):
        wanted = number
        span = problem.spans[size]
        after: list[_Group] = []
        for group in groups:
            wanted = _filled(after, group, size=size, span=span, wanted=wanted)
        for stock in order:
            if not wanted:
                break
            wanted = _begun(after, problem, stock, stock_left=stock_left, size=size, wanted=wanted)
        if wanted:
            raise ValueError(f"no stock is left for pieces of {problem.sizes[size]} mm; add stock")
        groups = after
    return groups


def _filled(after: list[_Group], group: _Group, *, size: int, span: int, wanted: int) -> int:
    """Cuts what fits from a group of bars, which may part it in three, and says what is still wanted."""
    fits = group.room // span
    full, part = divmod(min(wanted, fits * group.bars), fits) if fits else (0, 0)
    for each, bars in ((fits, full), (part, int(part > 0)), (0, group.bars - full - int(part > 0))):
        if bars:
            counts = Counter(group.counts)
            if each:
                counts[size] = each
            after.append(_Group(group.stock, group.room - each * span, counts, bars))
    return wanted - fits * full - part


def _begun(
    after: list[_Group],
    problem: Problem,
    stock: int,
    *,
    stock_left: list[int | None],
    size: int,
    wanted: int,
) -> int:
    """Begins as many bars of a stock as the pieces need, and says what is still wanted."""
    span, room, available = problem.spans[size], problem.rooms[stock], stock_left[stock]
    fits = room // span
    if not fits or available == 0:
        return wanted
    bars = -(-wanted // fits)
    if available is not None:
        bars = min(bars, available)
        stock_left[stock] = available - bars
    return _filled(after, _Group(stock, room, Counter(), bars), size=size, span=span, wanted=wanted)


def _shortened(problem: Problem, groups: Iterable[_Group], *, left: Sequence[int | None]) -> Counter[Cut]:
    """Each bar changed for the cheapest stock without a limit that holds what is cut from it."""
    found: Counter[Cut] = Counter()
    for group in groups:
        counts = tuple(group.counts[size] for size in range(len(problem.sizes)))
        used = problem.rooms[group.stock] - group.room
        choices = [
            (index, counts)
            for index, number in enumerate(left)
            if index == group.stock or (number is None and problem.rooms[index] >= used)
        ]
        best = min(choices, key=lambda cut: (problem.cost(cut), cut[0] != group.stock, cut[0]))
        found[best] += group.bars
    return found
