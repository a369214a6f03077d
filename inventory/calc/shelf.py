"""How long a lot may be used: from its make, or as a test of it says."""

from datetime import date, timedelta
from typing import Final

SOON: Final = timedelta(days=14)
"""How long before its last day a lot is pointed out, where no age is set. Source: common practice."""


def last_day(
    *,
    made: date | None,
    shelf_days: int | None,
    tested_until: date | None = None,
    failed_on: date | None = None,
) -> date | None:
    """Tell the last day on which a lot may be used.

    Source: public notes on keeping cement: use it within 90 days of its make, else test it before use. A test
    counts before the age does, in either direction; a lot that failed one is not used from that day on.

    Args:
        made: day of make, None when it is not known.
        shelf_days: days from make until a test is asked for, None when the material keeps.
        tested_until: until when the latest test passed it, None when none did.
        failed_on: the day of the latest test when the lot failed it, None otherwise.

    Returns:
        The last day, None when it keeps or its age is not known.

    Raises:
        ValueError: days to keep that are below 0.

    Cement of 6 April 2026 that keeps for 90 days, untested, and passed until the end of August:

    >>> last_day(made=date(2026, 4, 6), shelf_days=90).isoformat()
    '2026-07-05'
    >>> last_day(made=date(2026, 4, 6), shelf_days=90, tested_until=date(2026, 8, 31)).isoformat()
    '2026-08-31'
    """
    if shelf_days is not None and shelf_days < 0:
        raise ValueError(f"days to keep {shelf_days} must be 0 or more")
    if failed_on is not None:
        return failed_on - timedelta(days=1)
    if tested_until is not None:
        return tested_until
    if made is None or shelf_days is None:
        return None
    return made + timedelta(days=shelf_days)


def ages(*, made: date | None, last: date | None, warn_days: int | None, on: date) -> bool:
    """Tell whether a lot should go first because of its age.

    Source: common practice: at a set age from its make, else in the last fortnight of its use.

    Args:
        made: day of make, None when it is not known.
        last: last day of its use, None when it keeps.
        warn_days: days from make at which it is pointed out, None when none are set.
        on: the day asked about.

    Returns:
        Whether it is pointed out; what is past its last day is blocked instead.

    >>> ages(made=date(2026, 4, 6), last=date(2026, 7, 5), warn_days=60, on=date(2026, 6, 5))
    True
    """
    if last is None or on > last:
        return False
    by_age = made is not None and warn_days is not None and on >= made + timedelta(days=warn_days)
    return by_age or last - on <= SOON
