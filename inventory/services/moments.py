"""When something happened, as a person says it: not in the future."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from projects.errors import Refused

CLOCK_DOUBT = timedelta(days=1)
"""A phone's clock may be a day off; more is a mistake."""


class InFuture(Refused):
    """The time of the act lies in the future."""

    code = "in_future"


class BadMoment(Refused):
    """The time of the act has no time zone."""

    code = "bad_moment"


def settled(happened_at: datetime | None, *, now: datetime) -> datetime:
    """Return when an act happened; without a time it is now.

    Refused with `in_future` when it lies more than a clock's doubt ahead, with `bad_moment` without a zone.
    """
    if happened_at is None:
        return now
    if happened_at.tzinfo is None:
        raise BadMoment(_("Give the time with its time zone."), field="happened_at")
    if happened_at > now + CLOCK_DOUBT:
        message = _("%(when)s lies in the future. Check the date.")
        raise InFuture(message % {"when": happened_at.isoformat(timespec="minutes")}, field="happened_at")
    return happened_at
