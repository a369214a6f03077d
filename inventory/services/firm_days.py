"""The calendar day of a moment where the firm works."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from projects.access.actor import Actor


def of(moment: datetime, *, actor: Actor) -> date:
    """Return the day that it is for the actor's firm at this moment."""
    return moment.astimezone(ZoneInfo(actor.time_zone)).date()
