"""Whether what is ordered will fit into the stores."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from estimates.models import Material
from inventory.calc import storage
from inventory.models import OrderLine, Place, PurchaseOrder, Stock, StorageLimit
from inventory.queries import order_rest
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Site


@dataclass(frozen=True)
class Room:
    """A material in the store of a site: what it takes, what lies there, and what is still to come."""

    limit: StorageLimit
    on_hand: int
    coming: int

    @property
    def material(self) -> Material:
        """The material."""
        return self.limit.material

    @property
    def beyond(self) -> int:
        """Stock units that will not fit when all of it comes."""
        return storage.beyond(capacity=self.limit.capacity, on_hand=self.on_hand, coming=self.coming)


def rooms(actor: Actor, *, site_ids: Iterable[int] | None = None) -> list[Room]:
    """List the limits of the actor's stores with what lies there and comes, by site and material.

    What is held back takes room as well; a draft order counts, since it waits for a person alone.
    """
    limits = scope.visible(StorageLimit.objects.select_related("site", "material", "set_by"), actor)
    if site_ids is not None:
        limits = limits.filter(site_id__in=list(site_ids))
    rows = list(limits.order_by("site__name", "site_id", "material__code", "material_id"))
    if not rows:
        return []
    hand, coming = _on_hand(actor, rows=rows), _coming(actor, rows=rows)
    return [
        Room(row, on_hand=hand[row.site_id, row.material_id], coming=coming[row.site_id, row.material_id])
        for row in rows
    ]


def beyond(actor: Actor, *, site_ids: Iterable[int] | None = None) -> list[Room]:
    """List those that will not hold what is ordered."""
    return [room for room in rooms(actor, site_ids=site_ids) if room.beyond]


def site(actor: Actor, *, site_id: int) -> Site:
    """Return a site; NotFound when it is not the actor's."""
    return scope.get(Site.objects.all(), actor, pk=site_id)


Found = defaultdict[tuple[int, int], int]


def _on_hand(actor: Actor, *, rows: list[StorageLimit]) -> Found:
    kinds = (Place.Kind.STORE, Place.Kind.QUARANTINE)
    stock = scope.visible(Stock.objects.filter(place__kind__in=kinds, quantity__gt=0), actor)
    stock = stock.filter(
        place__site_id__in={row.site_id for row in rows}, material_id__in={row.material_id for row in rows}
    )
    found: Found = defaultdict(int)
    for site_id, material_id, quantity in stock.values_list("place__site_id", "material_id", "quantity"):
        found[site_id or 0, material_id] += quantity
    return found


def _coming(actor: Actor, *, rows: list[StorageLimit]) -> Found:
    states = (PurchaseOrder.State.DRAFT, *PurchaseOrder.OPEN)
    lines = scope.visible(OrderLine.objects.filter(order__state__in=states), actor)
    lines = lines.filter(
        order__site_id__in={row.site_id for row in rows}, material_id__in={row.material_id for row in rows}
    )
    lines = lines.select_related("order").annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G)
    found: Found = defaultdict(int)
    for line in lines.order_by("pk"):
        found[line.order.site_id, line.material_id] += order_rest.left(line)
    return found
