"""Suppliers and their offers, as the office reads them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max, Prefetch, Q, QuerySet

from estimates.models import Material, Pack
from inventory.models import Offer, PurchaseOrder, QuotationChoice, Supplier
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Site

PAGE = 100


@dataclass(frozen=True)
class OfferRow:
    """An offer, whether it is the one that holds on the day asked for, and whether its validity is over."""

    offer: Offer
    holds: bool
    over: bool = False
    choice: QuotationChoice | None = None


def listing(actor: Actor, *, start: int = 0, count: int = PAGE) -> QuerySet[Supplier]:
    """Who does the firm buy from; with how many materials they offer and how many orders are open."""
    is_open = Q(orders__state__in=PurchaseOrder.OPEN)
    rows = scope.visible(Supplier.objects.all(), actor).annotate(
        material_count=Count("offers__material", distinct=True),
        open_orders=Count("orders", filter=is_open, distinct=True),
        last_offer=Max("offers__from_date"),
    )
    return rows.order_by("name", "id")[start : start + count]


def one(actor: Actor, supplier_id: int) -> Supplier:
    """Which supplier is this; refused with NotFound when it is another firm's."""
    return scope.get(Supplier.objects.all(), actor, pk=supplier_id)


def offers(actor: Actor, supplier: Supplier, *, on: date) -> list[OfferRow]:
    """What does the supplier offer, by material, the newest first; what holds on a day is marked.

    Beside an offer stands the choice of a quotation that it was taken from, if it was.
    """
    choices = QuotationChoice.objects.select_related("quoted__quotation__enquiry").order_by(
        "-chosen_at", "-id"
    )
    rows = (
        scope.visible(Offer.objects.filter(supplier=supplier), actor)
        .select_related("material", "pack")
        .prefetch_related(Prefetch("choices", queryset=choices), "breaks")
        .order_by("material__name", "pack_id", "-from_date", "-id")
    )
    found: list[OfferRow] = []
    held: set[tuple[int, int]] = set()
    for row in rows:
        slot = (row.material_id, row.pack_id)
        latest = row.from_date <= on and slot not in held
        over = latest and row.valid_until is not None and row.valid_until < on
        if latest:
            held.add(slot)
        chosen = list(row.choices.all())
        choice = chosen[0] if chosen else None
        found.append(OfferRow(offer=row, holds=latest and not over, over=over, choice=choice))
    return found


def packs(actor: Actor) -> list[Pack]:
    """In which packs can material be bought, by material."""
    rows = scope.visible(Pack.objects.filter(material__stocked=True), actor).select_related("material")
    return list(rows.order_by("material__name", "-content", "id"))


def to_choose(actor: Actor, *, on: date) -> list[Supplier]:
    """From whom can be bought on a day."""
    rows = scope.visible(Supplier.objects.all(), actor)
    rows = rows.filter(Q(ended_date__isnull=True) | Q(ended_date__gt=on))
    return list(rows.order_by("name", "id"))


def sites(actor: Actor) -> list[Site]:
    """For which sites can be bought."""
    rows = scope.visible(Site.objects.filter(closed_date__isnull=True), actor)
    return list(rows.order_by("name", "id"))


def without_pack(actor: Actor) -> list[Material]:
    """Which materials does a pour need that have no pack to buy them in, so that no plan covers them."""
    rows = scope.visible(Material.objects.filter(stocked=True, packs__isnull=True), actor)
    return list(rows.filter(requirements__pour__state="planned").distinct().order_by("name", "id"))
