"""When something happened, as a person or a phone says it: not in the future, and long ago only when sure."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from projects.errors import Refused

CLOCK_DOUBT = timedelta(days=1)
"""A paper's date may be a day ahead of a clock elsewhere; more is a mistake."""

CLOCK_DRIFT = timedelta(minutes=10)
"""So far apart clocks of phones and servers run; more is asked about. Source: common practice."""

LONG_AGO = timedelta(days=31)
"""An entry older than this is asked about: most often it is a wrong month. Source: common practice."""


class InFuture(Refused):
    """The time of the act lies in the future."""

    code = "in_future"


class LongAgo(Refused):
    """The time of the act lies so far back that it may be a wrong month."""

    code = "long_ago"
    status = 409


class ClockOff(Refused):
    """The clock that wrote the time differs from the time at which it was sent."""

    code = "clock_off"
    status = 409


class BadMoment(Refused):
    """The time of the act has no time zone."""

    code = "bad_moment"


def settled(happened_at: datetime | None, *, now: datetime, sure: bool = True) -> datetime:
    """Return when an act happened; without a time it is now.

    Refused with `in_future` when it lies more than a clock's drift ahead, with `bad_moment` without a zone,
    and with `long_ago` when it lies more than a month back and the person has not said that they are sure.
    """
    if happened_at is None:
        return now
    if happened_at.tzinfo is None:
        raise BadMoment(_("Give the time with its time zone."), field="happened_at")
    when = happened_at.isoformat(timespec="minutes")
    if happened_at > now + CLOCK_DRIFT:
        message = _("%(when)s lies in the future. Check the date, or the clock that wrote it.")
        raise InFuture(message % {"when": when}, field="happened_at", now=now.isoformat(timespec="minutes"))
    if not sure and happened_at < now - LONG_AGO:
        message = _("%(when)s is more than %(days)s days ago. Correct the date, or say that it is right.")
        params = {"when": when, "days": LONG_AGO.days}
        raise LongAgo(message % params, field="happened_at", now=now.isoformat(timespec="minutes"))
    return happened_at


def require_clock(sent_at: datetime, *, now: datetime) -> None:
    """Refuse with `clock_off` when the clock of a phone differs from ours by more than a drift.

    `sent_at` is what the phone's clock says while it sends: a phone a day off wrote every time a day off.
    """
    off = sent_at - now
    if abs(off) > CLOCK_DRIFT:
        minutes = round(off.total_seconds() / 60)
        ahead = _("ahead") if minutes > 0 else _("behind")
        hours, rest = divmod(abs(minutes), 60)
        message = _(
            "The phone's clock was %(hours)s h %(minutes)s min %(ahead)s when it sent this. "
            "Set the phone's clock; the office says when it happened."
        )
        words = {"hours": hours, "minutes": rest, "ahead": ahead}
        raise ClockOff(message % words, field="happened_at", minutes_ahead=minutes)
