"""How much to bring for a pour of uncertain use: the cost of running short against that of a rest."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, pi, sqrt
from statistics import NormalDist

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stakes:
    """What is at stake for one unit.

    Args:
        short: cost of a unit that lacks, above 0.
        left: cost of a unit that is left over, above 0.
    """

    short: float
    left: float

    def __post_init__(self) -> None:
        if self.short <= 0 or self.left <= 0:
            raise ValueError(f"cost of a unit short {self.short} and left {self.left} must be above 0")

    @property
    def service(self) -> float:
        """The probability of enough that pays: short / (short + left)."""
        return self.short / (self.short + self.left)


def normal(stakes: Stakes, *, mean: float, deviation: float) -> tuple[float, float]:
    """Work out the quantity for a use that is normally distributed, and the expected cost of being wrong.

    Source: newsvendor, Snyder & Shen, Fundamentals of Supply Chain Theory, 2nd edition, 4.3.

    Args:
        stakes: what is at stake for a unit.
        mean: mean use in units.
        deviation: its standard deviation, above 0.

    Returns:
        Quantity in units, expected cost.

    >>> [round(figure, 4) for figure in normal(Stakes(short=0.70, left=0.18), mean=50, deviation=8)]
    [56.604, 1.9976]
    """
    z = _STANDARD.inv_cdf(stakes.service)
    cost = (stakes.short + stakes.left) * deviation * exp(-z * z / 2) / sqrt(2 * pi)
    return mean + z * deviation, cost


def discrete(stakes: Stakes, *, chances: Sequence[tuple[int, float]]) -> tuple[int, float]:
    """Work out the quantity for a use that takes whole values.

    Source: newsvendor, Snyder & Shen, Fundamentals of Supply Chain Theory, 2nd edition, 4.3.2.6.

    Args:
        stakes: what is at stake for a unit.
        chances: (use in units, probability), with rising use; the probabilities add up to 1.

    Returns:
        Least quantity that is enough with the probability that pays, expected cost.

    >>> discrete(Stakes(short=1, left=1), chances=[(1, 0.25), (2, 0.5), (3, 0.25)])
    (2, 0.5)
    """
    running, quantity = 0.0, chances[-1][0]
    for use, chance in chances:
        running += chance
        if running >= stakes.service - 1e-12:
            quantity = use
            break
    cost = sum(
        chance * (stakes.short * max(0, use - quantity) + stakes.left * max(0, quantity - use))
        for use, chance in chances
    )
    return quantity, cost


def uneven_supply(stakes: Stakes, *, use: float, low: float, high: float) -> float:
    """Work out what to order when the use is known and a delivery differs from its order by an even chance.

    Source: newsvendor with additive yield, Snyder & Shen, 2nd edition, 9.3.2: order use less the quantile
    of the difference at left / (short + left).

    Args:
        stakes: what is at stake for a unit.
        use: known use in units.
        low: least difference between delivery and order, units.
        high: greatest difference, above `low`.

    Returns:
        Units to order.

    >>> round(uneven_supply(Stakes(short=75, left=15), use=1.5, low=-0.5, high=0.5), 4)
    1.8333
    """
    return use - (low + (high - low) * (1 - stakes.service))


def for_pour(need: int, *, spread: float, stop_cost: float, left: float) -> int:
    """Work out the reserve of a pour: a fixed cost when it stands, against the cost of each unit left over.

    Use = need × e, with ln e normal about 0. The quantity q is best where stop × density(q) = left × F(q), on
    the falling side.
    Source: derived: newsvendor with a fixed penalty; first-order condition, solved by halving.

    Args:
        need: mean use in stock units, expected loss included, above 0.
        spread: standard deviation of the logarithm of the use, 0 or more (0.04: about 4 %).
        stop_cost: cost of a pour that stands, 0 or more.
        left: cost of a stock unit left over, above 0, in the same money.

    Returns:
        Stock units beyond the need, 0 or more.

    Of 122 bags at 400, of which a bag left over loses 160, with 4 % and 30,000 for a pour that stands:

    >>> for_pour(122, spread=0.04, stop_cost=30_000, left=160)
    12
    """
    if need <= 0 or left <= 0 or spread < 0 or stop_cost < 0:
        raise ValueError(
            f"need {need} and loss {left} must be above 0, spread {spread} and stop {stop_cost} 0+"
        )
    if not spread or not stop_cost:
        return 0

    def gain(z: float) -> float:
        """Worth of one unit more at z deviations, less its cost."""
        density = exp(-z * z / 2) / sqrt(2 * pi) / (spread * need * exp(z * spread))
        return stop_cost * density - left * _STANDARD.cdf(z)

    low, high = 0.0, 6.0
    if gain(low) <= 0:
        return 0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if gain(middle) > 0 else (low, middle)
    return max(0, round(need * (exp(low * spread) - 1)))


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
