"""From a computed quantity to whole stock units: the one place where a bill's figures are rounded."""

from collections.abc import Mapping
from types import MappingProxyType

STOCK_PER_LINE_UNIT: Mapping[tuple[str, str], int] = MappingProxyType(
    {
        ("g", "kg"): 1_000,
        ("g", "t"): 1_000_000,
        ("mm", "m"): 1_000,
        ("cm3", "m³"): 1_000_000,
        ("cm3", "L"): 1_000,
        ("cm2", "m²"): 10_000,
        ("piece", "no."): 1,
        ("mday", "day"): 1_000,
    }
)
"""Stock units in one unit of a bill's line, by (stock unit, line unit). Source: derived: metric prefixes."""


def units(
    quantity: float, *, unit: str, stock_unit: str, milligrams_per_millimetre: int | None = None
) -> int:
    """Turn a quantity of a bill's line into whole stock units, rounded once, a tie to the even neighbour.

    Source: derived: metric prefixes; for bars stated by mass, length = mass / mass per length.

    Args:
        quantity: the quantity of the line, 0 or more.
        unit: unit of the line: kg, t, m, m³, L, m², no. or day.
        stock_unit: stock unit of the material: g, mm, cm3, cm2, piece or mday.
        milligrams_per_millimetre: nominal mass of the bar, needed only for bars (mm) stated by mass.

    Returns:
        Stock units, 0 or more.

    Raises:
        ValueError: the quantity is negative, the units do not fit, or the bar's mass is missing.

    >>> units(8.125, unit="kg", stock_unit="g")
    8125
    >>> units(1.58, unit="kg", stock_unit="mm", milligrams_per_millimetre=1580)
    1000
    """
    if not quantity >= 0:
        raise ValueError(f"quantity {quantity} {unit} must be 0 or more")
    if stock_unit == "mm" and unit in {"kg", "t"}:
        if milligrams_per_millimetre is None or milligrams_per_millimetre <= 0:
            raise ValueError(f"mass per length {milligrams_per_millimetre} must be above 0 mg/mm")
        grams = quantity * STOCK_PER_LINE_UNIT["g", unit]
        return round(grams * 1_000 / milligrams_per_millimetre)
    if (stock_unit, unit) not in STOCK_PER_LINE_UNIT:
        raise ValueError(f"a quantity in {unit} cannot be kept in {stock_unit}")
    return round(quantity * STOCK_PER_LINE_UNIT[stock_unit, unit])
