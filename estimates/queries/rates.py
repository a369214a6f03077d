"""What materials cost, from which day on, and who said so."""

from __future__ import annotations

from django.db.models import QuerySet

from estimates.models import Rate
from projects.access import scope
from projects.access.actor import Actor


def history(actor: Actor, *, material_id: int, count: int = 50) -> QuerySet[Rate]:
    """Return a material's rates, the latest first."""
    rows = scope.visible(Rate.objects.filter(material=material_id), actor)
    return rows.select_related("material", "set_by").order_by("-from_date", "-id")[:count]
