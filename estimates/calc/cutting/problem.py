"""A task in the form that the search works on: equal lengths joined, blade reckoned in, faults refused."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import Final

from estimates.calc.cutting.facts import Kind, Stock, Task

Cut = tuple[int, tuple[int, ...]]
Cuts = Mapping[Cut, int]

_LONGEST_MM: Final = 30_000
_MOST: Final = 1_000_000
_SHORTFALL_TIMES: Final = 100


@dataclass(frozen=True, slots=True)
class Problem:
    """A task made ready: distinct sizes [mm], longest first, and how many of each.

    A `Cut` is a stock's index and how many of each size it gives; `Cuts` say how many bars are cut so.
    `rooms` and `spans` are the lengths of stocks and sizes with one blade added to each: what is cut from a
    bar fits if its spans fit the room. `shortfall` is the index of a stock that nobody has, by which it is
    found out that the stock does not suffice; None where bars can be bought that hold every piece.
    """

    task: Task
    stocks: tuple[Stock, ...]
    sizes: tuple[int, ...]
    demand: tuple[int, ...]
    rooms: tuple[int, ...]
    spans: tuple[int, ...]
    shortfall: int | None
    credit: float

    @property
    def unit(self) -> float:
        """The dearest price: costs are reckoned in it, so that the solver works with numbers near 1."""
        return max(stock.price for stock in self.stocks[: len(self.task.stocks)]) or 1.0

    def everything(self) -> "Remaining":
        """All that is wanted, and all stock."""
        return Remaining(self.demand, tuple(stock.available for stock in self.stocks))

    def remainder(self, cut: Cut) -> int:
        """What is left of a bar after its last cut [mm]."""
        stock, counts = cut
        used = sum(span * count for span, count in zip(self.spans, counts, strict=True))
        return max(0, self.stocks[stock].length_mm - used)

    def cost(self, cut: Cut) -> float:
        """Price of the bar less the credit for a rest that is kept."""
        left = self.remainder(cut)
        kept = left if left >= self.task.keep_mm else 0
        return self.stocks[cut[0]].price - self.credit * kept

    def total(self, cuts: Cuts) -> float:
        """Cost of all bars."""
        return sum(self.cost(cut) * bars for cut, bars in cuts.items())


@dataclass(frozen=True, slots=True)
class Remaining:
    """What is still wanted of each size, and left of each stock (None: as many as needed)."""

    demand: tuple[int, ...]
    left: tuple[int | None, ...]

    def after(self, cuts: Cuts) -> "Remaining":
        """What remains when bars are cut so."""
        demand, left = list(self.demand), list(self.left)
        for (stock, counts), bars in cuts.items():
            number = left[stock]
            if number is not None:
                left[stock] = number - bars
            for size, count in enumerate(counts):
                demand[size] -= count * bars
        return Remaining(tuple(demand), tuple(left))

    def most(self, cut: Cut) -> int:
        """How many bars may be cut so."""
        number = self.left[cut[0]]
        by_pieces = min(wanted // count for wanted, count in zip(self.demand, cut[1], strict=True) if count)
        return by_pieces if number is None else min(by_pieces, number)


def ready(task: Task) -> Problem:
    """Makes a task ready for the search.

    Source: derived: n pieces from a bar need n - 1 cuts, or n if something is left, so that pieces and bars
    with one blade added to each are cut without a blade.

    Args:
        task: stock and pieces [mm].

    Returns:
        The problem with equal lengths joined.

    Raises:
        ValueError: every fault of the task, each with its mark or label, value, bound and remedy.
    """
    faults = tuple(_faults(task))
    if faults:
        raise ValueError("; ".join(faults))
    wanted: Counter[int] = Counter()
    for piece in task.pieces:
        wanted[piece.length_mm] += piece.count
    sizes = tuple(sorted(wanted, reverse=True))
    bought = [stock.length_mm for stock in task.stocks if stock.available is None]
    cheapest = min(
        (stock.price / stock.length_mm for stock in task.stocks if stock.kind is Kind.BAR), default=0
    )
    credit = cheapest * task.credit_percent / 100
    stocks, shortfall = (
        tuple(_priced(stock, credit=credit, keep_mm=task.keep_mm) for stock in task.stocks),
        None,
    )
    if sizes and max(bought, default=0) < sizes[0]:
        stocks, shortfall = (*stocks, _nobodys(stocks)), len(stocks)
    return Problem(
        task=task,
        stocks=stocks,
        sizes=sizes,
        demand=tuple(wanted[size] for size in sizes),
        rooms=tuple(stock.length_mm + task.blade_mm for stock in stocks),
        spans=tuple(size + task.blade_mm for size in sizes),
        shortfall=shortfall,
        credit=credit,
    )


def _priced(stock: Stock, *, credit: float, keep_mm: int) -> Stock:
    """A stock at its price; an offcut at no less than its credit in store, or cutting it would earn."""
    own = ceil(credit * stock.length_mm) if stock.kind is Kind.OFFCUT and stock.length_mm >= keep_mm else 0
    return replace(stock, cost=max(stock.price, own))


def _nobodys(stocks: Iterable[Stock]) -> Stock:
    """A stock as long as the longest and far dearer than any, which no plan takes if it can do without."""
    longest = max(stock.length_mm for stock in stocks)
    dearest = max(longest, *(stock.price for stock in stocks))
    return Stock(label="", length_mm=longest, cost=dearest * _SHORTFALL_TIMES)


def _faults(task: Task) -> Iterator[str]:
    yield from _faults_of_stock(task)
    longest = max((stock.length_mm for stock in task.stocks if stock.available != 0), default=0)
    for piece in task.pieces:
        yield from _range(f"piece {piece.mark}: length", piece.length_mm, unit=" mm", most=_LONGEST_MM)
        yield from _range(f"piece {piece.mark}: count", piece.count, most=_MOST)
        if task.stocks and piece.length_mm > longest:
            yield (
                f"piece {piece.mark}: length {piece.length_mm} mm is more than the longest stock, "
                f"{longest} mm; add longer stock, or lap the bar and enter its parts"
            )
    yield from _range("blade", task.blade_mm, unit=" mm", least=0, most=100)
    yield from _range("shortest kept rest", task.keep_mm, unit=" mm", most=_LONGEST_MM)
    yield from _range("credit", task.credit_percent, unit=" %", least=0, most=99)
    if task.max_patterns is not None:
        yield from _range("number of patterns", task.max_patterns, most=_MOST)


def _faults_of_stock(task: Task) -> Iterator[str]:
    if not task.pieces:
        yield "no piece is given; name at least one"
    if not task.stocks:
        yield "no stock is given; name at least one length that can be bought"
    for stock in task.stocks:
        yield from _range(f"stock {stock.label}: length", stock.length_mm, unit=" mm", most=_LONGEST_MM)
        if stock.available is not None:
            yield from _range(f"stock {stock.label}: number", stock.available, least=0, most=_MOST)
        if stock.kind is Kind.OFFCUT and stock.available is None:
            yield f"stock {stock.label}: offcuts cannot be bought; say how many are in store"
        if stock.price < 0 or (stock.available is None and stock.price == 0):
            yield f"stock {stock.label}: cost {stock.price} of what is bought must be more than 0; correct it"


def _range(name: str, value: int, *, unit: str = "", least: int = 1, most: int) -> Iterator[str]:
    if not isinstance(value, int) or isinstance(value, bool):
        yield f"{name} {value!r} must be a whole number from {least} to {most}{unit}; round it"
    elif not least <= value <= most:
        yield f"{name} {value}{unit} must be from {least} to {most}{unit}; correct it"
