"""The times on the ticket of a truck of ready-mixed concrete."""

from dataclasses import dataclass
from datetime import datetime, timedelta

LONGEST = timedelta(hours=24)
"""A ticket of more than a day is a mistake of the date. Source: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """When water met cement, when the truck came, when it was empty; the last two may not be known yet."""

    batched: datetime
    arrived: datetime | None = None
    discharged: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ages:
    """Whole minutes: from batching to the latest time known, and from arrival to the end of discharge."""

    age: int | None
    on_site: int | None


def ages(times: Times) -> Ages:
    """Tell how old the concrete was, and how long the truck stood.

    Source: derived: differences; the limits on them are the profile's.

    Args:
        times: the ticket's times, in order.

    Returns:
        The two spans in minutes, None where a time is missing.

    Raises:
        ValueError: a time before the one that comes first, or more than a day after batching.

    >>> from datetime import UTC
    >>> at = lambda hour, minute: datetime(2026, 5, 4, hour, minute, tzinfo=UTC)
    >>> ages(Times(batched=at(7, 10), arrived=at(8, 0), discharged=at(8, 42)))
    Ages(age=92, on_site=42)
    """
    known = [time for time in (times.batched, times.arrived, times.discharged) if time is not None]
    if known != sorted(known):
        raise ValueError("a truck is batched, arrives and is emptied in this order")
    if known[-1] - known[0] > LONGEST:
        raise ValueError("the times of one truck lie within a day")
    return Ages(
        age=_minutes(known[-1] - times.batched) if len(known) > 1 else None,
        on_site=_minutes(times.discharged - times.arrived) if times.arrived and times.discharged else None,
    )


def _minutes(span: timedelta) -> int:
    return int(span.total_seconds() // 60)
