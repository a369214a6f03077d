"""Which lengths of bar to buy: the best mix beside three ways that firms buy today."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil
from typing import Final

from estimates.calc.cutting import planning
from estimates.calc.cutting.facts import Clock, Plan, Progress, Stock, Task

_MOST_PERCENT: Final = 100
_HAIR: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """How a firm buys without a plan: the label of the one length, and the percentage added to the pieces."""

    label: str
    percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """What one way of buying takes.

    `bars` are (label, number) of what is bought, `mass_g` its nominal mass, `cost` what it costs in the unit
    of `Stock.cost`. `kept_g` is the mass of the rests that go back into store, None where nobody has
    planned the cutting. `suffices` is False if the pieces cannot be cut from it.
    """

    bars: tuple[tuple[str, int], ...]
    mass_g: int
    cost: int
    kept_g: int | None
    suffices: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """The best mix with its cutting plan, and for comparison one length alone, bought in three ways.

    `one_length` is planned as well; `first_fit` is cut longest piece first; `by_percent` is the length of the
    pieces and a percentage in whole bars. Each is None if that length does not hold the longest piece.
    """

    plan: Plan
    mix: Purchase
    one_length: Purchase | None
    first_fit: Purchase | None
    by_percent: Purchase | None


def saving_g(advice: Advice, other: Purchase) -> int:
    """How much less steel the best mix buys than another way [g].

    Source: derived: difference of what is bought.

    Args:
        advice: the advice.
        other: one of its other ways.

    Returns:
        The saving [g], less than 0 if the other way buys less: because it does not suffice, or because the
        mix was chosen by cost.
    """
    return other.mass_g - advice.mix.mass_g


def advise(
    task: Task,
    *,
    today: Habit,
    mg_per_mm: int,
    clock: Clock,
    seconds: float,
    progress: Callable[[Progress], None] | None = None,
) -> Advice:
    """Finds the mix of lengths to buy, and what other ways of buying take for the same pieces.

    Source: derived: each way is worked out on the same pieces and the same stock in hand; buying by percent
    takes (length of the pieces × (1 + percent / 100) - length of the stock in hand) in whole bars.

    Args:
        task: the pieces, the stock in hand, and every length that can be bought (`available` None).
        today: how the firm buys without a plan.
        mg_per_mm: nominal mass of the bar [mg/mm], which is g/m.
        clock: a monotonic clock [s].
        seconds: time for the search [s]: half of it for the mix, half for the one length.
        progress: is told where the search stands.

    Returns:
        The advice.

    Raises:
        ValueError: every fault of the task; a length that cannot be bought; a percentage below 0; no mass.
    """
    bar = _usual(task, today=today, mg_per_mm=mg_per_mm)
    plan = planning.solve(task, clock=clock, seconds=seconds / 2, progress=progress)
    mix = _purchase(task, plan, mg_per_mm=mg_per_mm)
    if bar.length_mm < max(piece.length_mm for piece in task.pieces):
        return Advice(plan=plan, mix=mix, one_length=None, first_fit=None, by_percent=None)
    alone = replace(task, stocks=tuple(s for s in task.stocks if s.available is not None or s == bar))
    planned = planning.solve(alone, clock=clock, seconds=seconds / 2, progress=progress)
    plain = planning.first_fit(alone, clock=clock)
    least = sum(pattern.bars for pattern in planned.patterns if alone.stocks[pattern.stock] == bar)
    return Advice(
        plan=plan,
        mix=mix,
        one_length=_purchase(alone, planned, mg_per_mm=mg_per_mm),
        first_fit=_purchase(alone, plain, mg_per_mm=mg_per_mm),
        by_percent=_by_percent(task, bar=bar, percent=today.percent, least=least, mg_per_mm=mg_per_mm),
    )


def _usual(task: Task, *, today: Habit, mg_per_mm: int) -> Stock:
    faults = []
    bar = next((s for s in task.stocks if s.label == today.label and s.available is None), None)
    if bar is None:
        faults.append(f"the length {today.label} that is bought today must be one that can be bought; add it")
    if not 0 <= today.percent <= _MOST_PERCENT:
        faults.append(f"the allowance of {today.percent:g} % must be from 0 to {_MOST_PERCENT} %; correct it")
    if mg_per_mm < 1:
        faults.append(f"the mass of the bar, {mg_per_mm} g/m, must be more than 0; take it from the profile")
    if bar is None or faults:
        raise ValueError("; ".join(faults))
    return bar


def _purchase(task: Task, plan: Plan, *, mg_per_mm: int) -> Purchase:
    bought: Counter[int] = Counter()
    for pattern in plan.patterns:
        if task.stocks[pattern.stock].available is None:
            bought[pattern.stock] += pattern.bars
    return Purchase(
        bars=tuple((task.stocks[stock].label, bars) for stock, bars in sorted(bought.items())),
        mass_g=_mass_g(sum(task.stocks[s].length_mm * n for s, n in bought.items()), mg_per_mm=mg_per_mm),
        cost=sum(task.stocks[stock].price * bars for stock, bars in bought.items()),
        kept_g=_mass_g(sum(plan.kept_mm), mg_per_mm=mg_per_mm),
        suffices=True,
    )


def _by_percent(task: Task, *, bar: Stock, percent: float, least: int, mg_per_mm: int) -> Purchase:
    net = sum(piece.length_mm * piece.count for piece in task.pieces)
    in_hand = sum(s.length_mm * s.available for s in task.stocks if s.available is not None)
    # A hair of floating point must not buy a bar.
    bars = max(0, ceil((net * (1 + percent / 100) - in_hand) / bar.length_mm - _HAIR))
    return Purchase(
        bars=((bar.label, bars),) if bars else (),
        mass_g=_mass_g(bar.length_mm * bars, mg_per_mm=mg_per_mm),
        cost=bar.price * bars,
        kept_g=None,
        suffices=bars >= least,
    )


def _mass_g(length_mm: int, *, mg_per_mm: int) -> int:
    return round(length_mm * mg_per_mm / 1000)
