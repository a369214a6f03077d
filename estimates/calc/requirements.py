"""Dated needs: when a pour's materials must be on site, and how much of the bill each pour needs."""

from collections.abc import Sequence
from datetime import date, timedelta

from estimates.calc import money

WHOLE_PPM = 1_000_000
"""Millionths in the whole slab. Source: derived."""


def need_date(
    pour_date: date, *, lead_days: int, day_off: int, holidays: frozenset[date] = frozenset()
) -> date:
    """Tell the day by which a material must be on site, counted back from the pour in working days.

    Source: common practice: formwork and steel before fixing begins, constituents the day before the pour,
    curing material on the day.

    Args:
        pour_date: the day of placing; 0 lead days give this day even when it is the day off.
        lead_days: working days before the pour, 0 or more.
        day_off: weekly day off, Monday is 0 and Sunday 6.
        holidays: single days that are not worked.

    Returns:
        The day, never later than the pour.

    Raises:
        ValueError: the lead is negative or the day off is not a day of the week.

    Monday 4 May 2026 less one working day is Saturday 2 May where Sunday is off:

    >>> need_date(date(2026, 5, 4), lead_days=1, day_off=6)
    datetime.date(2026, 5, 2)
    """
    if lead_days < 0:
        raise ValueError(f"lead of {lead_days} working days must be 0 or more")
    if not 0 <= day_off <= 6:
        raise ValueError(f"day off {day_off} must be from 0 (Monday) to 6 (Sunday)")
    day = pour_date
    for _ in range(lead_days):
        day -= timedelta(days=1)
        while day.weekday() == day_off or day in holidays:
            day -= timedelta(days=1)
    return day


def split(quantity: int, *, shares_ppm: Sequence[int]) -> tuple[int, ...]:
    """Divide a bill's quantity among the pours of the slab, so that whole shares add up to the whole exactly.

    Source: derived: largest remainder, the part of the slab without a pour yet being a share of its own.

    Args:
        quantity: net and allowance of the bill, in stock units, 0 or more.
        shares_ppm: the pours' parts of the slab in millionths, in the order of the pours.

    Returns:
        One quantity per share, in order, in stock units.

    Raises:
        ValueError: the quantity or a share is negative, or the shares are more than the slab.

    >>> split(100, shares_ppm=[333_333, 333_333, 333_334])
    (33, 33, 34)
    >>> split(100, shares_ppm=[400_000])
    (40,)
    """
    if quantity < 0:
        raise ValueError(f"quantity {quantity} must be 0 or more")
    unplanned = WHOLE_PPM - sum(shares_ppm)
    if unplanned < 0:
        raise ValueError(f"shares of {sum(shares_ppm)} millionths must not be more than {WHOLE_PPM}")
    return money.share(quantity, weights=[*shares_ppm, unplanned])[: len(shares_ppm)]
