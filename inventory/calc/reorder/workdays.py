"""Working days: a site with a weekly day off does not receive on it, and a supplier does not load on it."""

from dataclasses import dataclass
from datetime import date, timedelta

DAYS_IN_WEEK = 7
SEARCH_LIMIT_DAYS = 3_660
"""Ten years: a calendar in which no working day is found for so long is wrong, and the search ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Which days are worked.

    Args:
        days_off: weekdays that are never worked, 0 for Monday to 6 for Sunday; not all seven.
        holidays: single days that are not worked.
    """

    days_off: frozenset[int] = frozenset()
    holidays: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        wrong = sorted(day for day in self.days_off if not 0 <= day < DAYS_IN_WEEK)
        if wrong:
            raise ValueError(f"weekday {wrong[0]} must lie between 0 (Monday) and 6 (Sunday)")
        if len(self.days_off) == DAYS_IN_WEEK:
            raise ValueError("all 7 weekdays are off; leave at least one to work on")


EVERY_DAY = Calendar()


def is_worked(day: date, *, calendar: Calendar) -> bool:
    """Say whether a day is worked.

    Source: derived: neither a weekly day off nor a holiday.

    Args:
        day: the day.
        calendar: which days are worked.

    Returns:
        True when it is worked.

    >>> is_worked(date(2025, 3, 2), calendar=Calendar(days_off=frozenset({6})))
    False
    """
    return day.weekday() not in calendar.days_off and day not in calendar.holidays


def only(weekdays: frozenset[int], *, calendar: Calendar) -> Calendar:
    """Keep the worked days that fall on some weekdays.

    Source: derived.

    Args:
        weekdays: 0 for Monday to 6 for Sunday.
        calendar: which days are worked.

    Returns:
        A calendar.

    Raises:
        ValueError: none of the weekdays is worked.

    >>> sorted(only(frozenset({1, 6}), calendar=Calendar(days_off=frozenset({6}))).days_off)
    [0, 2, 3, 4, 5, 6]
    """
    off = calendar.days_off | (frozenset(range(DAYS_IN_WEEK)) - weekdays)
    return Calendar(days_off=off, holidays=calendar.holidays)


def back(day: date, *, working_days: int, calendar: Calendar) -> date:
    """Count working days back from a day; from a day that is not worked, count from the last one that is.

    Source: common practice: order-by = need - lead time - buffer, in working days and not in calendar days.

    Args:
        day: the day to count from.
        working_days: how many working days earlier, 0 or more.
        calendar: which days are worked.

    Returns:
        A worked day, never after `day`.

    Raises:
        ValueError: the count is negative, or ten years of the calendar hold no working day to stop at.

    From Monday 3 March, two days back past a Sunday off is Friday:

    >>> back(date(2025, 3, 3), working_days=2, calendar=Calendar(days_off=frozenset({6})))
    datetime.date(2025, 2, 28)
    """
    if working_days < 0:
        raise ValueError(f"working days {working_days} must be 0 or more")
    current = _last_worked(day, calendar=calendar)
    for _ in range(working_days):
        current = _last_worked(current - timedelta(days=1), calendar=calendar)
    return current


def _last_worked(day: date, *, calendar: Calendar) -> date:
    for step in range(SEARCH_LIMIT_DAYS):
        candidate = day - timedelta(days=step)
        if is_worked(candidate, calendar=calendar):
            return candidate
    raise ValueError(f"no working day in the {SEARCH_LIMIT_DAYS} days up to {day}; check the holidays")
