"""How much to have ready for a pour of uncertain use and short loads: standing against what is left over."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, exp, floor, log
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

_STANDARD = NormalDist()

WHOLE = ((1.0, 1.0),)
"""Every load comes whole."""

FINEST = 0.0005
"""Step of the quantities that are compared, as a part of the need."""
MOST_TIMES = 3.0
"""Times the need beyond which no quantity is looked at."""
FAR = 6.0
"""Deviations beyond which a use is not looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsure:
    """How unsure a pour's use and its loads are.

    Args:
        spread: standard deviation of the logarithm of the use, 0 or more (0.04: about 4 %).
        shares: probability of each share of what is ordered that is there in time, (share, probability).
    """

    spread: float = 0.0
    shares: tuple[tuple[float, float], ...] = WHOLE

    def __post_init__(self) -> None:
        if self.spread < 0:
            raise ValueError(f"spread {self.spread} of the use must be 0 or more")

    @property
    def sure(self) -> bool:
        """Whether use and loads are as billed and ordered."""
        return not self.spread and self.shares == WHOLE


def for_pour(need: int, *, unsure: Unsure, stop_cost: float, left: float) -> int:
    """Work out the reserve of a pour: a fixed cost when it stands, against the cost of each unit left over.

    Of the quantities q from the need on, the one whose stop × P(q × share < use) + left × E(q × share - use)+
    is least; use = need × e, with ln e normal about 0.
    Source: derived: newsvendor with a fixed penalty and a random yield that multiplies the order (the problem
    of Snyder & Shen, Fundamentals of Supply Chain Theory, 2nd edition, 9.3, with another penalty); every
    quantity in steps of half a thousandth is tried.

    Args:
        need: mean use in stock units, expected loss included, above 0.
        unsure: spread of the use, and shares of the loads.
        stop_cost: cost of a pour that stands, 0 or more.
        left: cost of a stock unit left over, above 0, in the same money.

    Returns:
        Stock units beyond the need, 0 or more.

    Of 122 bags at 400, of which a bag left over loses 160, with 4 % and 30,000 for a pour that stands; and
    the same when one load in ten brings nine tenths:

    >>> [for_pour(122, unsure=Unsure(spread=0.04, shares=shares), stop_cost=30_000, left=160)
    ...     for shares in (WHOLE, ((0.9, 0.1), (1.0, 0.9)))]
    [12, 18]
    """
    if need <= 0 or left <= 0 or stop_cost < 0:
        raise ValueError(f"need {need} and loss {left} must be above 0, stop {stop_cost} 0 or more")
    if unsure.sure or not stop_cost:
        return 0
    table = _table(unsure)
    best = need * float(table.times[np.argmin(table.short * stop_cost + table.over * (left * need))])

    def cost(quantity: int) -> float:
        short, over = _expected(quantity / need, unsure=unsure)
        return stop_cost * short + left * need * over

    return min(need, max(need, floor(best)), ceil(best - 1e-6), key=cost) - need


@dataclass(frozen=True, slots=True)
class _Table:
    """Quantities as times of the need, the chance that each is short, and what it leaves over on average."""

    times: npt.NDArray[np.float64]
    short: npt.NDArray[np.float64]
    over: npt.NDArray[np.float64]


@lru_cache(maxsize=256)
def _table(unsure: Unsure) -> _Table:
    spread = unsure.spread
    shares = [(share, chance) for share, chance in unsure.shares if chance]
    least = min((share for share, _chance in shares if share), default=1.0)
    top = min(MOST_TIMES, exp(FAR * spread) / least)
    whole = [1 / share for share, _chance in shares if share and 1 / share <= top]
    times = np.unique(np.concatenate([np.arange(1.0, top + FINEST, FINEST), np.array(whole)]))
    found = np.array([_expected(float(one), unsure=unsure) for one in times])
    return _Table(times, found[:, 0], found[:, 1])


def _expected(times: float, *, unsure: Unsure) -> tuple[float, float]:
    """Chance that an order of so many times the need is short, and what it leaves over on average."""
    short = over = 0.0
    for share, chance in unsure.shares:
        one_short, one_over = _of_times(times * share, spread=unsure.spread)
        short += chance * one_short
        over += chance * one_over
    return short, over


def _of_times(times: float, *, spread: float) -> tuple[float, float]:
    """Chance that so many times the need are short, and what they leave over on average, in needs."""
    if not spread:
        return (0.0 if times >= 1 - 1e-9 else 1.0), max(0.0, times - 1)
    if times <= 0:
        return 1.0, 0.0
    at = log(times) / spread
    under = _STANDARD.cdf(at)
    return 1 - under, times * under - exp(spread * spread / 2) * _STANDARD.cdf(at - spread)


def not_made_good(
    shares: Sequence[tuple[float, float]], *, late: Sequence[float], days: int
) -> tuple[tuple[float, float], ...]:
    """Tell which shares of a load count, when what lacks can be bought again in time unless the load is late.

    Source: derived: a load found short counts only when it comes later than leaves the time to make it good.

    Args:
        shares: probability of each share of a load, (share, probability), adding up to 1.
        late: probability of each number of working days late, from 0 on.
        days: working days late up to which a load leaves that time; below 0 when none does.

    Returns:
        Probability of each share, with rising share.

    One load in ten brings half, one in five is late:

    >>> not_made_good([(0.5, 0.1), (1.0, 0.9)], late=(0.8, 0.2), days=0)
    ((0.5, 0.02), (1.0, 0.98))
    """
    too_late = max(0.0, 1.0 - sum(late[: days + 1])) if days >= 0 else 1.0
    counted = [(share, chance * too_late) for share, chance in shares if share < 1]
    rest = 1.0 - sum(chance for _share, chance in counted)
    found = [(share, round(chance, 9)) for share, chance in counted if chance > 1e-9]
    return (*found, (1.0, round(rest, 9)))


def chance_of_enough(have: float, *, need: float, spread: float) -> float:
    """Tell how likely a quantity is enough for a pour.

    Source: derived: the use is need × e, ln e normal about 0 with the spread.

    Args:
        have: stock units there, 0 or more.
        need: mean use in stock units, above 0.
        spread: standard deviation of the logarithm of the use.

    Returns:
        A probability.

    >>> [round(chance_of_enough(n, need=100, spread=0.04), 3) for n in (0, 96, 100, 108)]
    [0.0, 0.154, 0.5, 0.973]
    """
    if have <= 0:
        return 0.0
    if not spread:
        return 1.0 if have >= need else 0.0
    return _STANDARD.cdf(log(have / need) / spread)
