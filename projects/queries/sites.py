"""The firm's sites and people."""

from __future__ import annotations

from django.db.models import Count, QuerySet

from projects.access import scope
from projects.access.actor import Actor
from projects.models import Membership, Site


def all_sites(actor: Actor) -> QuerySet[Site]:
    """Return the actor's sites with their number of slabs, by name."""
    rows = scope.visible(Site.objects.all(), actor)
    return rows.annotate(slab_count=Count("slabs")).order_by("name", "id")


def of_firm(actor: Actor) -> QuerySet[Site]:
    """Return every open site of the actor's firm, by name: where a site may send material to."""
    return Site.objects.filter(firm_id=actor.firm_id, closed_date=None).order_by("name", "id")


def one(actor: Actor, *, site_id: int) -> Site:
    """Return one site; refused with NotFound when it is not the actor's."""
    return scope.get(Site.objects.select_related("firm"), actor, pk=site_id)


def memberships(actor: Actor) -> QuerySet[Membership]:
    """Return who works for the firm in which role, by name."""
    rows = scope.visible(Membership.objects.filter(ended_at=None), actor)
    return rows.select_related("person").prefetch_related("sites").order_by("person__name", "id")


def membership(actor: Actor, *, membership_id: int) -> Membership:
    """Return one membership; refused with NotFound when it is not the firm's."""
    rows = Membership.objects.select_related("person").prefetch_related("sites")
    return scope.get(rows, actor, pk=membership_id)
