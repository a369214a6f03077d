from datetime import date, timedelta

import pytest

from inventory.calc.reorder import workdays
from inventory.calc.reorder.workdays import EVERY_DAY, SEARCH_LIMIT_DAYS, Calendar

SUNDAYS_OFF = Calendar(days_off=frozenset({6}))
HOLI = Calendar(days_off=frozenset({6}), holidays=frozenset({date(2025, 3, 14)}))


@pytest.mark.parametrize(
    ("day", "count", "calendar", "expected"),
    [
        # Counted on a wall calendar of March 2025: the 2nd, 9th and 16th are Sundays, the 14th a Friday.
        (date(2025, 3, 10), 0, EVERY_DAY, date(2025, 3, 10)),
        (date(2025, 3, 10), 3, EVERY_DAY, date(2025, 3, 7)),
        (date(2025, 3, 10), 3, SUNDAYS_OFF, date(2025, 3, 6)),
        (date(2025, 3, 9), 0, SUNDAYS_OFF, date(2025, 3, 8)),
        (date(2025, 3, 9), 1, SUNDAYS_OFF, date(2025, 3, 7)),
        (date(2025, 3, 17), 2, HOLI, date(2025, 3, 13)),
        (date(2025, 3, 10), 12, SUNDAYS_OFF, date(2025, 2, 24)),
    ],
)
def test_back(day, count, calendar, expected):
    assert workdays.back(day, working_days=count, calendar=calendar) == expected


def test_back_refuses_negative():
    with pytest.raises(ValueError, match="working days -1 must be 0 or more"):
        workdays.back(date(2025, 3, 10), working_days=-1, calendar=EVERY_DAY)


def test_back_ends_when_no_day_is_worked():
    day = date(2025, 3, 10)
    closed = Calendar(holidays=frozenset(day - timedelta(days=step) for step in range(SEARCH_LIMIT_DAYS)))
    with pytest.raises(ValueError, match="no working day in the 3660 days up to 2025-03-10"):
        workdays.back(day, working_days=0, calendar=closed)


@pytest.mark.parametrize(
    ("days_off", "message"),
    [({7}, "weekday 7 must lie between 0"), (set(range(7)), "all 7 weekdays are off")],
)
def test_calendar_refuses(days_off, message):
    with pytest.raises(ValueError, match=message):
        Calendar(days_off=frozenset(days_off))
