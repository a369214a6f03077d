"""Pours and slabs as the pages and the plan need them."""

from __future__ import annotations

from django.db.models import QuerySet

from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour, Slab


def one(actor: Actor, *, pour_id: int) -> Pour:
    """Return one pour with its slab and site; refused with NotFound when it is not the actor's."""
    return scope.get(Pour.objects.select_related("slab__site"), actor, pk=pour_id)


def slab(actor: Actor, *, slab_id: int) -> Slab:
    """Return one slab with its site; refused with NotFound when it is not the actor's."""
    return scope.get(Slab.objects.select_related("site"), actor, pk=slab_id)


def of_slab(actor: Actor, *, slab_id: int) -> QuerySet[Pour]:
    """Return a slab's pours by date."""
    return scope.visible(Pour.objects.filter(slab_id=slab_id), actor).order_by("pour_date", "id")


def coming(actor: Actor, *, limit: int = 20) -> list[Pour]:
    """Return the next planned pours, soonest first; those whose date has passed stand first."""
    rows = scope.visible(Pour.objects.filter(state=Pour.State.PLANNED), actor)
    return list(rows.select_related("slab__site").order_by("pour_date", "id")[:limit])


def open_ones(actor: Actor, *, site_id: int | None = None) -> QuerySet[Pour]:
    """Return the pours that still take material: planned or placed, not closed."""
    rows = scope.visible(Pour.objects.exclude(state=Pour.State.CLOSED), actor)
    if site_id is not None:
        rows = rows.filter(slab__site_id=site_id)
    return rows.select_related("slab__site").order_by("pour_date", "id")


def of_site(actor: Actor, *, site_id: int) -> QuerySet[Pour]:
    """Return every pour of a site, closed ones too, by slab and date."""
    rows = scope.visible(Pour.objects.filter(slab__site_id=site_id), actor).select_related("slab__site")
    return rows.order_by("slab__name", "slab_id", "pour_date", "id")


def slabs(actor: Actor, *, site_id: int) -> QuerySet[Slab]:
    """Return the slabs of a site that are not finished, by name."""
    return scope.visible(Slab.objects.filter(site_id=site_id, closed_at=None), actor).order_by("name", "id")
