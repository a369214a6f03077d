"""The dated needs that a reorder plan is made for, as rows."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import NamedTuple

from django.db.models import Q

from estimates.models import Requirement
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour

Slot = tuple[int, int]
"""A site and a material, by their ids."""


class DatedNeed(NamedTuple):
    """A dated need with what its pour and its bill line say: a row, since a large firm has very many."""

    site_id: int
    slab_id: int
    pour_id: int
    material_id: int
    need_date: date
    quantity: int
    net: int | None
    allowance: int | None


def of_firm(actor: Actor, *, today: date) -> dict[Slot, list[DatedNeed]]:
    """Return what planned pours of open sites need, by site and material, first days first."""
    rows = (
        scope.visible(
            Requirement.objects.filter(pour__state=Pour.State.PLANNED, material__stocked=True), actor
        )
        .filter(Q(pour__slab__site__closed_date__isnull=True) | Q(pour__slab__site__closed_date__gt=today))
        .order_by("need_date", "id")
        .values_list(
            "pour__slab__site_id",
            "pour__slab_id",
            "pour_id",
            "material_id",
            "need_date",
            "quantity",
            "bill_line__net",
            "bill_line__allowance",
        )
    )
    found: dict[Slot, list[DatedNeed]] = defaultdict(list)
    for row in map(DatedNeed._make, rows):
        found[row.site_id, row.material_id].append(row)
    return found
