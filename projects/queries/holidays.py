"""Which days the firm does not work."""

from __future__ import annotations

from datetime import date

from projects.access import scope
from projects.access.actor import Actor
from projects.models import Holiday

MOST = 2_000


def listing(actor: Actor, *, since: date | None = None) -> list[Holiday]:
    """Which holidays has the firm, from a day on or all, in their order."""
    rows = scope.visible(Holiday.objects.filter(worked=False), actor)
    if since is not None:
        rows = rows.filter(day__gte=since)
    return list(rows.order_by("day", "id")[:MOST])


def one(actor: Actor, holiday_id: int) -> Holiday:
    """Which holiday is this; refused with NotFound when it is not the actor's to see."""
    return scope.get(Holiday.objects.all(), actor, pk=holiday_id)


def days(actor: Actor) -> frozenset[date]:
    """On which single days does the firm not work."""
    rows = scope.visible(Holiday.objects.filter(worked=False), actor)
    return frozenset(rows.values_list("day", flat=True))
