"""What a site uses beside its pours: the mean of its latest weeks, laid over the days to come."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from inventory.calc.reorder.facts import Need

WEEKS = 8
"""Weeks whose mean is taken."""
LEAST_WEEKS = 2
"""Weeks below which nothing is said of what is used."""


def mean_of_weeks(used: Sequence[int]) -> int:
    """Forecast what is used in a week: the mean of the latest weeks.

    Use beside pours comes in few and uneven issues; a mean of eight weeks follows it slowly and can be redone
    by hand. A week in which more came back than went out counts with what it gave.
    Source: single moving average, NIST/SEMATECH e-Handbook of Statistical Methods, 6.4.2.1.

    Args:
        used: stock units of each week, the latest last.

    Returns:
        Stock units a week, 0 or more; 0 for fewer than two weeks.

    >>> mean_of_weeks([9, 8, 9, 12, 9, 12, 11, 7])
    10
    >>> mean_of_weeks([50])
    0
    """
    if len(used) < LEAST_WEEKS:
        return 0
    latest = used[-WEEKS:]
    return max(0, round(sum(latest) / len(latest)))


def by_week(used: Iterable[tuple[date, int]], *, first: date, today: date) -> list[int]:
    """Add up what was used by whole weeks before a day.

    Source: derived: sums over seven days each, counted back from the day.

    Args:
        used: (day, stock units), below 0 for what was found again.
        first: day from which there is a record.
        today: the day, not counted itself.

    Returns:
        Stock units of each whole week on record, at most eight, the latest last.

    >>> used = [(date(2025, 3, 1), 5), (date(2025, 3, 9), 2)]
    >>> by_week(used, first=date(2025, 2, 20), today=date(2025, 3, 10))
    [5, 2]
    """
    weeks = min(WEEKS, max(0, (today - first).days // 7))
    found = [0] * weeks
    for day, quantity in used:
        back = (today - day).days
        if 0 < back <= 7 * weeks:
            found[weeks - 1 - (back - 1) // 7] += quantity
    return found


def with_use(needs: Sequence[Need], *, a_week: int, today: date) -> tuple[Need, ...]:
    """Add to each need what other works take of the material since the need before it.

    So each pour finds its own, and what is used beside it is bought with it. After the last pour nothing is
    added.
    Source: derived: the week's use over its days, rounded down over the running sum.

    Args:
        needs: needs of one material at one site.
        a_week: stock units that other works use in a week.
        today: first day of the plan.

    Returns:
        The needs in the order of their days, with `background`.

    70 a week from Monday the 3rd: 70 until the 10th, 40 more until the 14th.

    >>> pours = [Need(key=f"{day}", quantity=500, day=date(2025, 3, day)) for day in (10, 14)]
    >>> [(need.quantity, need.background) for need in with_use(pours, a_week=70, today=date(2025, 3, 3))]
    [(570, 70), (540, 40)]
    """
    found, given = [], 0
    for need in sorted(needs, key=lambda need: (need.day, need.key)):
        until = a_week * max(0, (need.day - today).days) // 7
        part, given = until - given, max(given, until)
        found.append(replace(need, quantity=need.quantity + part, background=part) if part > 0 else need)
    return tuple(found)
