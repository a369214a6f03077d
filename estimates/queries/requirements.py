"""Dated needs of the pours to come."""

from __future__ import annotations

from datetime import date

from django.db.models import QuerySet

from estimates.models import Requirement
from projects.access import scope
from projects.access.actor import Actor

PAGE = 200


def listing(
    actor: Actor, *, until: date | None = None, slab_id: int | None = None, start: int = 0, count: int = PAGE
) -> QuerySet[Requirement]:
    """Return the dated needs by date, of one slab or of all, up to a day or without end."""
    rows = scope.visible(Requirement.objects.select_related("material", "pour__slab__site"), actor)
    if until is not None:
        rows = rows.filter(need_date__lte=until)
    if slab_id is not None:
        rows = rows.filter(pour__slab=slab_id)
    return rows.order_by("need_date", "material__code", "id")[start : start + count]
