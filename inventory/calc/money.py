"""Money from quantities and rates: the arithmetic of estimates, and the way back from an amount to a rate."""

from fractions import Fraction

from estimates.calc.money import (
    GRAMS_PER_MASS_UNIT,
    RATE_PARTS,
    STOCK_PER_UNIT,
    amount,
    half_even,
    share,
    stock_per,
)

__all__ = [
    "GRAMS_PER_MASS_UNIT",
    "RATE_PARTS",
    "STOCK_PER_UNIT",
    "amount",
    "half_even",
    "rate_from_amount",
    "share",
    "stock_per",
]


def rate_from_amount(total: int, *, quantity: int, per: int | Fraction) -> int:
    """Tell at which rate a quantity was bought, rounded half to even to 1/10,000 minor unit.

    Source: derived: rate = amount x 10,000 x per / quantity.

    Args:
        total: minor units paid for the whole quantity, 0 or more.
        quantity: stock units, above 0.
        per: stock units in one unit of trade, above 0.

    Returns:
        1/10,000 minor units per unit of trade, 0 or more.

    Raises:
        ValueError: the amount is negative, or the quantity or `per` is not above 0.

    A 50 kg bag for 397.50 is 7.95 per kg:

    >>> rate_from_amount(39_750, quantity=50_000, per=1_000)
    7950000
    """
    if total < 0:
        raise ValueError(f"amount {total} must be 0 or more")
    if quantity <= 0:
        raise ValueError(f"quantity {quantity} must be above 0")
    if per <= 0:
        raise ValueError(f"stock units per unit of trade {per} must be above 0")
    return half_even(total * RATE_PARTS * per.numerator, denominator=quantity * per.denominator)
