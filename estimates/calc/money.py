"""Money from quantities and rates, in exact integers: nothing here is ever a float.

A quantity is an integer of the material's stock unit (g, mm, cm3, cm2, piece), an amount an integer of the
currency's minor unit, and a rate an integer of 1/10,000 minor unit for one unit of trade (kg, t, m, m3, L,
m2, no).
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

RATE_PARTS = 10_000
"""Parts of a minor unit in which a rate is kept, so that a rate per gram or millimetre still has digits."""

STOCK_PER_UNIT: Mapping[tuple[str, str], int] = MappingProxyType(
    {
        ("g", "kg"): 1_000,
        ("g", "t"): 1_000_000,
        ("mm", "m"): 1_000,
        ("cm3", "m3"): 1_000_000,
        ("cm3", "L"): 1_000,
        ("cm2", "m2"): 10_000,
        ("piece", "no"): 1,
        ("mday", "day"): 1_000,
    }
)
"""Stock units in one unit of trade, by (stock unit, unit of trade). Source: derived: metric prefixes."""

GRAMS_PER_MASS_UNIT: Mapping[str, int] = MappingProxyType({"kg": 1_000, "quintal": 100_000, "t": 1_000_000})
"""Grams in a unit of trade by which steel, kept in mm of bar, is bought.

Source: derived: metric prefixes; a quintal is 100 kg.
"""


def half_even(numerator: int, *, denominator: int) -> int:
    """Divide two integers and round to the nearest, a tie to the even neighbour.

    Source: common practice ("banker's rounding"; the default of IEEE 754 and of Python's decimal module).

    Args:
        numerator: any integer, of any sign.
        denominator: integer above 0.

    Returns:
        The rounded quotient, with the sign of the numerator.

    Raises:
        ValueError: the denominator is not above 0.

    >>> [half_even(n, denominator=2) for n in (1, 3, 5, -1, -3)]
    [0, 2, 2, 0, -2]
    """
    if denominator <= 0:
        raise ValueError(f"denominator {denominator} must be above 0")
    quotient, rest = divmod(numerator, denominator)
    twice = 2 * rest
    if twice > denominator or (twice == denominator and quotient % 2):
        quotient += 1
    return quotient


def stock_per(unit: str, *, stock_unit: str, grams_per_metre: int | Fraction | None = None) -> Fraction:
    """Tell how many stock units make one unit of trade, exactly.

    Source: derived: metric prefixes; for bars, length = mass / mass per metre.

    Args:
        unit: unit of trade of the rate: kg, quintal, t, m, m3, L, m2 or no.
        stock_unit: stock unit of the material: g, mm, cm3, cm2 or piece.
        grams_per_metre: nominal mass of the bar in g/m, needed only for bars (mm) priced by mass.

    Returns:
        Stock units per unit of trade, above 0.

    Raises:
        ValueError: the pair is not one of trade, or the mass per metre is missing or not above 0.

    >>> stock_per("m3", stock_unit="cm3")
    Fraction(1000000, 1)
    >>> stock_per("kg", stock_unit="mm", grams_per_metre=1580)
    Fraction(50000, 79)
    """
    if stock_unit == "mm" and unit in GRAMS_PER_MASS_UNIT:
        if grams_per_metre is None or grams_per_metre <= 0:
            raise ValueError(f"mass per metre {grams_per_metre} must be above 0 g/m to price bars by {unit}")
        return Fraction(GRAMS_PER_MASS_UNIT[unit] * 1_000) / grams_per_metre
    if (stock_unit, unit) not in STOCK_PER_UNIT:
        known = ", ".join(sorted(f"{stock} by {trade}" for stock, trade in STOCK_PER_UNIT))
        raise ValueError(f"{stock_unit} cannot be priced by {unit}; known: {known}, mm by kg, quintal or t")
    return Fraction(STOCK_PER_UNIT[stock_unit, unit])


def amount(quantity: int, *, rate: int, per: int | Fraction) -> int:
    """Price a quantity, rounded once and half to even.

    Source: derived: amount = quantity / per x rate / 10,000.

    Args:
        quantity: stock units, of any sign (a difference may be negative).
        rate: 1/10,000 minor units per unit of trade, 0 or more.
        per: stock units in one unit of trade, above 0 (see `stock_per`).

    Returns:
        Minor units of the currency, with the sign of the quantity.

    Raises:
        ValueError: the rate is negative or `per` is not above 0.

    12.5 kg at 7.95 per kg (795 minor units = 7,950,000 parts) are 99.375, so 9,938 minor units:

    >>> amount(12_500, rate=7_950_000, per=1_000)
    9938
    """
    if rate < 0:
        raise ValueError(f"rate {rate} must be 0 or more")
    if per <= 0:
        raise ValueError(f"stock units per unit of trade {per} must be above 0")
    return half_even(quantity * rate * per.denominator, denominator=per.numerator * RATE_PARTS)


def share(total: int, *, weights: Sequence[int]) -> tuple[int, ...]:
    """Divide a whole into parts that add up to it exactly, by largest remainder.

    Each part is first the floor of its true share; the units left over go one each to the largest remainders,
    the earlier weight first when two are equal.
    Source: derived: the largest remainder (Hare quota) method of apportionment.

    Args:
        total: units to divide (minor units or stock units), of any sign.
        weights: one integer of 0 or more per part; at least one above 0.

    Returns:
        One part per weight, in order, in the unit and with the sign of the total.

    Raises:
        ValueError: a weight is negative, or no weight is above 0.

    >>> share(100, weights=[1, 1, 1])
    (34, 33, 33)
    """
    if any(weight < 0 for weight in weights):
        raise ValueError(f"weight {min(weights)} must be 0 or more")
    whole = sum(weights)
    if whole == 0:
        raise ValueError("no weight is above 0, so there is nothing to share by")
    if total < 0:
        return tuple(-part for part in share(-total, weights=weights))
    parts = [total * weight // whole for weight in weights]
    by_remainder = sorted(range(len(weights)), key=lambda index: (-(total * weights[index] % whole), index))
    for index in by_remainder[: total - sum(parts)]:
        parts[index] += 1
    return tuple(parts)
