"""What stores hold and what is on the road to them, as the reorder plan counts it."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import Q, Sum

from inventory.calc import shelf
from inventory.calc.reorder.facts import Lot, Receipt
from inventory.models import LotStock, Place, Stock
from inventory.queries import heap_claims
from inventory.queries.plan_needs import Slot
from projects.access import scope
from projects.access.actor import Actor


def lots(actor: Actor, *, kinds: tuple[Place.Kind, ...]) -> dict[Slot, list[Lot]]:
    """Return what places of some kinds hold, lot by lot with its last day; what has no lot keeps."""
    filled = Q(place__kind__in=kinds, quantity__gt=0)
    found: dict[Slot, list[Lot]] = defaultdict(list)
    told_apart: dict[Slot, int] = defaultdict(int)
    by_lot = scope.visible(LotStock.objects.filter(filled), actor).select_related("place", "lot__material")
    for row in by_lot.order_by("id"):
        slot = (row.place.site_id or 0, row.lot.material_id)
        told_apart[slot] += row.quantity
        lot = row.lot
        until = shelf.last_day(
            made=lot.made_date,
            shelf_days=lot.material.shelf_days,
            tested_until=lot.tested_until,
            failed_on=lot.failed_date,
        )
        found[slot].append(Lot(quantity=row.quantity, usable_until=until))
    columns = ("place__site_id", "material_id")
    whole = scope.visible(Stock.objects.filter(filled), actor).values_list(*columns).annotate(Sum("quantity"))
    for site_id, material_id, quantity in whole.order_by(*columns):
        slot = (site_id or 0, material_id)
        if quantity > told_apart[slot]:
            found[slot].append(Lot(quantity=quantity - told_apart[slot]))
    return found


def claims(actor: Actor) -> dict[Slot, int]:
    """Return what placed pours have used of each store's book and heaps have not been measured for."""
    found: dict[Slot, int] = defaultdict(int)
    for claim in heap_claims.of_placed(actor):
        found[claim.site_id, claim.material_id] += claim.quantity
    return found


def without(stock: list[Lot], *, claimed: int) -> tuple[tuple[Lot, ...], int]:
    """Take what placed pours have used out of the stock of the book; say how much that is."""
    left, rest = [], claimed
    for lot in stock:
        gone = min(lot.quantity, rest)
        rest -= gone
        if lot.quantity > gone:
            left.append(Lot(quantity=lot.quantity - gone, usable_until=lot.usable_until))
    return tuple(left), claimed - rest


def sent(road: list[Lot], *, today: date) -> tuple[Receipt, ...]:
    """Return what other sites have sent: on the road for a day, and so as good as there."""
    return tuple(
        Receipt(key=f"road-{number}", quantity=lot.quantity, expected=today, usable_until=lot.usable_until)
        for number, lot in enumerate(road)
        if lot.usable_until is None or lot.usable_until >= today
    )
