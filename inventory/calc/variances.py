"""Why a material cost more or less than planned: the quantity used, and the price paid for it."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from inventory.calc import money

WHOLE_BP = 10_000
"""Basis points in a whole: a permitted variation of 3 % is 300."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PermittedVariation:
    """How far use may lie from the design before it is a finding.

    Args:
        over_bp: permitted excess in basis points of the allowed quantity, 0 or more.
        under_bp: permitted shortfall in basis points of the allowed quantity, 0 to 10,000.
        source: where the figures come from.
    """

    over_bp: int
    under_bp: int
    source: str

    def __post_init__(self) -> None:
        if self.over_bp < 0:
            raise ValueError(f"permitted excess {self.over_bp} must be 0 basis points or more")
        if not 0 <= self.under_bp <= WHOLE_BP:
            raise ValueError(
                f"permitted shortfall {self.under_bp} must lie between 0 and {WHOLE_BP} basis points"
            )


class Finding(StrEnum):
    """How use lies against the design. Under-use is a finding as over-use is: an alarm about quality."""

    WITHIN = "within"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Difference of cost by cause, in minor units: above 0 is dearer than planned."""

    usage: int
    price: int

    @property
    def total(self) -> int:
        """Both causes together, in minor units."""
        return self.usage + self.price


def judge(used: int, *, allowed: int, variation: PermittedVariation) -> Finding:
    """Say whether use lies within the permitted variation, limits included, in exact integers.

    Source: common practice of public works: theoretical and actual consumption with a permitted variation.

    Args:
        used: stock units really used, 0 or more.
        allowed: stock units that the bill allows (net and allowance), 0 or more.
        variation: the permitted variation.

    Returns:
        `within`, `over` or `under`.

    Raises:
        ValueError: a quantity is negative.

    >>> cement = PermittedVariation(over_bp=300, under_bp=300, source="contract, schedule of variations")
    >>> [str(judge(kg, allowed=1000, variation=cement)) for kg in (969, 970, 1030, 1031)]
    ['under', 'within', 'within', 'over']
    """
    for name, quantity in (("used", used), ("allowed", allowed)):
        if quantity < 0:
            raise ValueError(f"{name} quantity {quantity} must be 0 or more")
    if used * WHOLE_BP > allowed * (WHOLE_BP + variation.over_bp):
        return Finding.OVER
    if used * WHOLE_BP < allowed * (WHOLE_BP - variation.under_bp):
        return Finding.UNDER
    return Finding.WITHIN


def split(cost: int, *, used: int, budget: int, rate: int, per: int | Fraction) -> Split:
    """Split the difference between cost and budget into usage and price, exactly.

    usage = (used - allowed) x estimate price; price = used x (actual - estimate price). The quantity used is
    priced once at the estimate rate; usage = that amount - budget and price = cost - that amount, so that
    budget + usage + price = cost to the minor unit.
    Source: common practice (standard costing: usage and price variance of materials).

    Args:
        cost: minor units that the quantity used really cost.
        used: stock units used, 0 or more.
        budget: minor units planned for the allowed quantity at the estimate rate.
        rate: estimate rate, 1/10,000 minor units per unit of trade, 0 or more.
        per: stock units in one unit of trade, above 0.

    Returns:
        Both variances in minor units, above 0 when dearer.

    Raises:
        ValueError: the quantity or the rate is negative or `per` is not above 0.

    Allowed 100 bags at 8.00, used 108 at 8.50:

    >>> split(91_800, used=108, budget=80_000, rate=8_000_000, per=1)
    Split(usage=6400, price=5400)
    """
    if used < 0:
        raise ValueError(f"used quantity {used} must be 0 or more")
    at_estimate = money.amount(used, rate=rate, per=per)
    return Split(usage=at_estimate - budget, price=cost - at_estimate)
