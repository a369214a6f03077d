"""Drawings as received, with every revision."""

from __future__ import annotations

from django.db.models import QuerySet

from projects.access import scope
from projects.access.actor import Actor
from projects.models import Drawing


def listing(actor: Actor, *, site_id: int | None = None) -> QuerySet[Drawing]:
    """Return the drawings of one site or of all that the actor sees, by number and revision."""
    rows = scope.visible(Drawing.objects.select_related("site"), actor)
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    return rows.order_by("number", "revision", "id")


def one(actor: Actor, *, drawing_id: int) -> Drawing:
    """Return one drawing; refused with NotFound when it is not the actor's."""
    return scope.get(Drawing.objects.select_related("site"), actor, pk=drawing_id)
