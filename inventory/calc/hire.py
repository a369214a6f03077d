"""Things on hire: days counted by a named method, and what they cost so far and at the planned end."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from inventory.calc import money

MDAY = 1_000
"""Thousandths of a day in one day, the stock unit of what is hired."""


class DayCount(StrEnum):
    """Which days of a hire are charged."""

    BOTH = "both"
    """The day it comes and the day it goes back both count."""
    NIGHTS = "nights"
    """Days of 24 hours: the day it goes back does not count, and a thing back on its first day counts one."""


class Basis(StrEnum):
    """What the price is for."""

    PIECE_DAY = "piece_day"
    """One piece for one day."""
    DAY = "day"
    """All pieces together for one day, as long as one of them is out."""
    WHOLE = "whole"
    """All pieces for the whole hire, however long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What is agreed.

    Args:
        rate: 1/10,000 minor unit for what `basis` names, 0 or more.
        basis: what the price is for.
        day_count: which days are charged.
        minimum_days: days that are charged at the least, 1 or more.
    """

    rate: int
    basis: Basis
    day_count: DayCount
    minimum_days: int = 1

    def __post_init__(self) -> None:
        if self.rate < 0:
            raise ValueError(f"rate {self.rate} must be 0 or more")
        if self.minimum_days < 1:
            raise ValueError(f"minimum of {self.minimum_days} days must be 1 or more")


@dataclass(frozen=True, slots=True)
class Ended:
    """Pieces whose hire ended on a day: brought back, damaged or lost."""

    pieces: int
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Hired:
    """A hire: pieces that came on a day, what of them ended, and the day planned for the rest."""

    pieces: int
    out_date: date
    due_date: date
    ended: tuple[Ended, ...] = ()

    def __post_init__(self) -> None:
        if self.pieces < 1:
            raise ValueError(f"{self.pieces} pieces must be 1 or more")
        if self.still_out < 0:
            raise ValueError(f"{self.pieces - self.still_out} pieces ended of {self.pieces} hired")

    @property
    def still_out(self) -> int:
        """Pieces that have not ended."""
        return self.pieces - sum(part.pieces for part in self.ended)

    def until(self, day: date) -> tuple[Ended, ...]:
        """Return every piece with the day of its end, what is still out as if it ended on `day`."""
        return (*self.ended, Ended(self.still_out, day)) if self.still_out else self.ended


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a hire stands on a day, and at its planned end.

    Args:
        still_out: pieces.
        late_days: days past the planned return with pieces still out, 0 when in time.
        piece_days: charged so far, pieces x days.
        cost: so far, in minor units.
        piece_days_at_end: if the rest ends as planned, or today when it is late.
        cost_at_end: then, in minor units.
    """

    still_out: int
    late_days: int
    piece_days: int
    cost: int
    piece_days_at_end: int
    cost_at_end: int


def days(out: date, back: date, *, terms: Terms) -> int:
    """Count the days that are charged for a piece.

    Source: common practice: either both days count, or days of 24 hours; every calendar day between counts,
    worked on or not. The clock runs from receipt to return note, not to the last use.

    Args:
        out: day on which it came.
        back: day on which it went back, not before `out`.
        terms: the method and the least number of days.

    Returns:
        Days, never below the agreed minimum.

    Raises:
        ValueError: it went back before it came.

    >>> terms = Terms(rate=0, basis=Basis.DAY, day_count=DayCount.BOTH)
    >>> days(date(2026, 5, 4), date(2026, 5, 6), terms=terms)
    3
    """
    if back < out:
        raise ValueError(f"back on {back} must not lie before {out}")
    counted = (back - out).days + (terms.day_count == DayCount.BOTH)
    return max(counted, terms.minimum_days)


def piece_days(parts: Iterable[Ended], *, out: date, terms: Terms) -> int:
    """Add up pieces x days.

    Source: common practice.

    Args:
        parts: pieces with the day on which each ended.
        out: day on which they came.
        terms: as for `days`.

    Returns:
        Piece-days.

    >>> terms = Terms(rate=0, basis=Basis.PIECE_DAY, day_count=DayCount.NIGHTS)
    >>> piece_days([Ended(40, date(2026, 5, 11)), Ended(20, date(2026, 5, 18))], out=date(2026, 5, 4),
    ...            terms=terms)
    560
    """
    return sum(part.pieces * days(out, part.day, terms=terms) for part in parts)


def cost(parts: Iterable[Ended], *, out: date, terms: Terms) -> int:
    """Price a hire.

    Source: common practice; rounded half to even once, over the whole hire.

    Args:
        parts: pieces with the day on which each ended.
        out: day on which they came.
        terms: price and method.

    Returns:
        Minor units.

    60 props at 1.25 a day, 40 back after 7 days and 20 after 14:

    >>> terms = Terms(rate=1_250_000, basis=Basis.PIECE_DAY, day_count=DayCount.NIGHTS)
    >>> cost([Ended(40, date(2026, 5, 11)), Ended(20, date(2026, 5, 18))], out=date(2026, 5, 4), terms=terms)
    70000
    """
    listed = tuple(parts)
    if terms.basis == Basis.WHOLE:
        return money.amount(1, rate=terms.rate, per=1)
    if terms.basis == Basis.DAY:
        last = max(part.day for part in listed)
        return money.amount(days(out, last, terms=terms), rate=terms.rate, per=1)
    return money.amount(piece_days(listed, out=out, terms=terms), rate=terms.rate, per=1)


def standing(hired: Hired, *, terms: Terms, today: date) -> Standing:
    """Tell how a hire stands.

    Source: common practice (hire register): what is still out is charged up to today, and to its planned
    return; what is late has no planned end but today.

    Args:
        hired: the hire.
        terms: price and method.
        today: the day to look from; before the day on which it came, that day.

    Returns:
        Pieces, days and costs.

    A mixer at 900.00 a day, here since Monday, to go back on Thursday, looked at on Tuesday:

    >>> mixer = Hired(pieces=1, out_date=date(2026, 5, 4), due_date=date(2026, 5, 7))
    >>> terms = Terms(rate=900_000_000, basis=Basis.PIECE_DAY, day_count=DayCount.BOTH)
    >>> found = standing(mixer, terms=terms, today=date(2026, 5, 5))
    >>> (found.cost, found.cost_at_end, found.late_days)
    (180000, 360000, 0)
    """
    today = max(today, hired.out_date)
    so_far, at_end = hired.until(today), hired.until(max(today, hired.due_date))
    late = (today - hired.due_date).days if hired.still_out and today > hired.due_date else 0
    out = hired.out_date
    return Standing(
        still_out=hired.still_out,
        late_days=late,
        piece_days=piece_days(so_far, out=out, terms=terms),
        cost=cost(so_far, out=out, terms=terms),
        piece_days_at_end=piece_days(at_end, out=out, terms=terms),
        cost_at_end=cost(at_end, out=out, terms=terms),
    )
