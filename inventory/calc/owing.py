"""What is owed to suppliers, by how long it has been due."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

BOUNDS = (0, 30, 60, 90)
"""Last day of each group, in days past due; the last group is open."""


@dataclass(frozen=True, slots=True)
class Owed:
    """An amount still to pay, in minor units, and the day it is due."""

    amount: int
    due_date: date


def ageing(owed: Iterable[Owed], *, today: date) -> tuple[int, ...]:
    """Add up what is owed in groups: not yet due, up to 30, 60 and 90 days past, and longer.

    Source: common practice (ageing of payables in steps of 30 days).

    Args:
        owed: amounts with their days; credits are below 0.
        today: the day to look from.

    Returns:
        Minor units of the five groups, from not due to longest due.

    >>> from datetime import date, timedelta
    >>> today = date(2026, 6, 30)
    >>> ageing([Owed(100, today), Owed(50, today - timedelta(days=31))], today=today)
    (100, 0, 50, 0, 0)
    """
    groups = [0] * (len(BOUNDS) + 1)
    for one in owed:
        late = (today - one.due_date).days
        groups[sum(late > bound for bound in BOUNDS)] += one.amount
    return tuple(groups)


def still_open(total: int, *, notes: Iterable[tuple[str, int]], paid: int) -> int:
    """Tell what is still to pay of a bill: its total, less credit notes, plus debit notes, less payments.

    Source: derived: total - credits + debits - paid, below 0 when the supplier owes it back.

    Args:
        total: minor units of the bill.
        notes: kind ("credit" or "debit") and minor units of each note on it.
        paid: minor units paid so far.

    Returns:
        Minor units.

    >>> still_open(10_000, notes=[("credit", 500)], paid=4_000)
    5500
    """
    return total - paid + sum(-amount if kind == "credit" else amount for kind, amount in notes)
