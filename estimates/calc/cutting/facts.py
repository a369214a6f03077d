"""What a cutting plan is made from and what it says: one bar size and grade at a time, whole millimetres."""

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum

Clock = Callable[[], float]


class Kind(StrEnum):
    """What a stock length is: a bar as the mill makes it, or the rest of one that was cut before."""

    BAR = "bar"
    OFFCUT = "offcut"


class Method(StrEnum):
    """The step of the ladder that found the plan, in the order in which they are tried."""

    FIRST_FIT = "first fit by length"
    ROUNDING = "rounded linear program"
    DIVING = "fixing bars one group at a time"
    COLUMNS = "integer program over the patterns found"
    ARCS = "integer program over all patterns"


class Ended(StrEnum):
    """Why the search ended: nothing was left to try, the time was up, or somebody stopped it."""

    DONE = "done"
    TIME = "time"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A piece to be cut: its mark, its cutting length [mm] and how many. Two marks may have one length."""

    mark: str
    length_mm: int
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Bars or offcuts of one length [mm].

    `label` is for the caller, to find its lot again. `available` is how many there are; None: as many as are
    needed can be bought. `cost` is what one of them costs the plan, in whole units of the caller's choice (g,
    minor units of money); None: its length in mm for a bar, nothing for an offcut, so that the plan takes the
    least length of new steel. Where rests have a credit, an offcut costs at least its own.
    """

    label: str
    length_mm: int
    kind: Kind = Kind.BAR
    available: int | None = None
    cost: int | None = None

    @property
    def price(self) -> int:
        """The cost that counts: as given, or the length of a bar [mm] and nothing for an offcut."""
        if self.cost is not None:
            return self.cost
        return self.length_mm if self.kind is Kind.BAR else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be cut from what, all of one bar size and grade.

    `blade_mm` is lost at each cut; `keep_mm` is the shortest rest that goes back into store. `max_patterns`
    limits how many different patterns the plan may have; a bar that gives only a part of the pieces of
    another pattern, from the same stock, counts with that one. `credit_percent` is the worth of a kept
    millimetre in percent of the cheapest new millimetre: 0, as a rule, so that least new steel comes first.
    """

    stocks: tuple[Stock, ...]
    pieces: tuple[Piece, ...]
    keep_mm: int
    blade_mm: int = 0
    max_patterns: int | None = None
    credit_percent: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """How `bars` bars of `task.stocks[stock]` are cut, all alike.

    Each gives `counts[i]` pieces of `task.pieces[i]`; `remainder_mm` is left of each bar after
    the last cut, kept or scrap.
    """

    stock: int
    counts: tuple[int, ...]
    bars: int
    remainder_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A cutting plan and how good it is.

    `new_bars` and `new_mm` count stock of kind bar, in store or bought; `offcuts_used` the offcuts taken.
    `kept_mm` are the lengths of the new offcuts, longest first; `scrap_mm` and `blade_mm` what is lost. Cut
    stock = pieces + kept + scrap + blade. `cost` is what the stock costs less the credit for what is kept,
    in the unit of `Stock.cost` (mm of new steel by default); no plan can cost less than `bound`, and no plan
    can need fewer new bars than `bound_bars` (None where bars of several lengths are mixed). `gap` is
    (cost - bound) / cost. `proven` says that no plan costs less. `patterns_kept` is False if no plan was
    found within `Task.max_patterns`, where patterns that differ in marks but not in lengths count as one.
    """

    patterns: tuple[Pattern, ...]
    new_bars: int
    new_mm: int
    offcuts_used: int
    kept_mm: tuple[int, ...]
    scrap_mm: int
    blade_mm: int
    cost: float
    bound: float
    bound_bars: int | None
    gap: float
    proven: bool
    patterns_kept: bool
    method: Method
    ended: Ended
    seconds: float = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """Where a search stands: what it does, the best plan's cost and new bars, the bound, seconds spent."""

    doing: str
    cost: float
    new_bars: int
    bound: float
    seconds: float
