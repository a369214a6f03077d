"""Heaps that pours have been cast from and nobody has measured since: the book still holds what is gone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max, Prefetch, Sum

from estimates.calc import requirements as needed
from estimates.models import Bill, BillLine, UseMethod
from inventory.calc import still_needed
from inventory.models import StockCountLine
from inventory.queries import issued as issues
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour

Key = tuple[int, int]
"""A slab, or a site, and a material, by their ids."""


@dataclass(frozen=True)
class Claim:
    """What a placed pour has presumably taken from a heap of its site, in stock units."""

    pour: Pour
    material_id: int
    quantity: int

    @property
    def site_id(self) -> int:
        """The site whose store the heap is in."""
        return self.pour.slab.site_id


@dataclass(frozen=True)
class _Facts:
    """What was posted to the pours and lost out of them, and when each heap was last counted."""

    used: dict[Key, int]
    lost: dict[Key, int]
    counted: dict[Key, datetime]


def of_placed(actor: Actor) -> tuple[Claim, ...]:
    """Return what the placed pours that are still open have taken by their bills, heap by heap.

    What was posted to a pour is taken off; a heap that was counted after the pour is in the book as it is.
    """
    pours = list(
        scope.visible(Pour.objects.filter(state=Pour.State.POURED), actor)
        .select_related("slab__site")
        .prefetch_related(Prefetch("slab__pours", queryset=Pour.objects.order_by("pour_date", "id")))
        .order_by("pour_date", "id")
    )
    if not pours:
        return ()
    ids = {pour.pk for pour in pours}
    facts = _Facts(
        used=issues.net(actor, pour_ids=ids),
        lost=issues.lost(actor, pour_ids=ids),
        counted=_counted(actor, site_ids={pour.slab.site_id for pour in pours}),
    )
    bills = _bills(actor, slab_ids={pour.slab_id for pour in pours})
    claims = [
        _claim(pour, material_id=material_id, bill=bill, facts=facts)
        for pour in pours
        for (slab_id, material_id), bill in bills.items()
        if slab_id == pour.slab_id
    ]
    return tuple(claim for claim in claims if claim.quantity)


def _claim(pour: Pour, *, material_id: int, bill: tuple[int, int], facts: _Facts) -> Claim:
    net, allowance = bill
    at, key = facts.counted.get((pour.slab.site_id, material_id)), (pour.pk, material_id)
    if at is not None and pour.poured_at is not None and at >= pour.poured_at:
        return Claim(pour=pour, material_id=material_id, quantity=0)
    quantity = still_needed.left(
        part(net + allowance, pour=pour),
        allowance=part(allowance, pour=pour),
        used=facts.used.get(key, 0),
        wasted=facts.lost.get(key, 0),
    )
    return Claim(pour=pour, material_id=material_id, quantity=quantity)


def part(quantity: int, *, pour: Pour) -> int:
    """Return a pour's part of a quantity of its slab; the slab's pours must be read in their order."""
    pours = list(pour.slab.pours.all())
    parts = needed.split(quantity, shares_ppm=[one.share_ppm for one in pours])
    return dict(zip([one.pk for one in pours], parts, strict=True))[pour.pk]


def _counted(actor: Actor, *, site_ids: set[int]) -> dict[Key, datetime]:
    rows = (
        scope.visible(StockCountLine.objects.filter(count__site__in=site_ids, count__state="posted"), actor)
        .values_list("count__site_id", "material_id")
        .annotate(at=Max("count__happened_at"))
        .order_by("count__site_id", "material_id")
    )
    return {(site_id, material_id): at for site_id, material_id, at in rows}


def _bills(actor: Actor, *, slab_ids: set[int]) -> dict[Key, tuple[int, int]]:
    heaps = BillLine.objects.filter(
        bill__state=Bill.State.ISSUED,
        bill__design__slab__in=slab_ids,
        material__use_method=UseMethod.COUNT,
        material__stocked=True,
    )
    rows = (
        scope.visible(heaps, actor)
        .values_list("bill__design__slab_id", "material_id")
        .annotate(Sum("net"), Sum("allowance"))
        .order_by("bill__design__slab_id", "material_id")
    )
    return {(slab_id, material_id): (net, allowance) for slab_id, material_id, net, allowance in rows}
