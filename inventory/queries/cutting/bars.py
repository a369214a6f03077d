"""Which bars and offcuts lie in the stores, free to be cut: counted by lot, less what a plan has reserved."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import F, Q, QuerySet

from estimates.models import Pack
from inventory.models import CuttingPlan, Lot, LotStock, Place, Reservation
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Site


@dataclass(frozen=True)
class Heap:
    """Bars of a lot at a store: whole ones there, and those of them that no plan has reserved."""

    lot: Lot
    place: Place
    bars: int
    free: int

    @property
    def offcut(self) -> bool:
        """Whether they are rests of longer bars."""
        return self.lot.offcut_since is not None


@dataclass(frozen=True)
class Where:
    """Whose stock a plan may cut: bars of the bench's site, offcuts of all its sites, aged ones of others."""

    bench_site_id: int
    site_ids: frozenset[int]
    offered_after_days: int
    today: date


def at_hand(actor: Actor, *, where: Where) -> list[Heap]:
    """List the heaps that a plan may count on: offcuts first, the oldest first.

    An offcut that has lain longer than the firm's days is offered to plans of its other sites too, seen or
    not by who asks: the firm's steel is cut once.
    """
    aged = where.today - timedelta(days=where.offered_after_days)
    at = "place__site_id"
    fit = (
        Q(**{at: where.bench_site_id})
        | Q(**{f"{at}__in": where.site_ids}, lot__offcut_since__isnull=False)
        | Q(lot__offcut_since__lte=aged)
    )
    rows = _whole_bars().filter(fit, place__firm_id=actor.firm_id)
    return _heaps(rows)


def of_site(actor: Actor, *, site_id: int) -> list[Heap]:
    """List bars and offcuts in the store of a site; NotFound when it is not the actor's."""
    site = scope.get(Site.objects.all(), actor, pk=site_id)
    return _heaps(_whole_bars().filter(place__site=site))


def reserved(*, firm_id: int, but_for: int | None = None) -> dict[tuple[int, int], int]:
    """Count the bars that plans under way have reserved and not cut, by place and lot."""
    rows = Reservation.objects.filter(
        plan__firm_id=firm_id, plan__state=CuttingPlan.State.RESERVED, bars__gt=F("used")
    ).exclude(plan_id=but_for)
    found: defaultdict[tuple[int, int], int] = defaultdict(int)
    for row in rows.order_by("id"):
        found[row.place_id, row.lot_id] += row.bars - row.used
    return dict(found)


def lengths_sold(actor: Actor, *, material_ids: Iterable[int], longest_mm: int) -> dict[int, list[int]]:
    """List the lengths in which bars can be bought, by material: its packs that are one bar."""
    rows = scope.visible(
        Pack.objects.filter(material_id__in=list(material_ids), mass_g=None, content__lte=longest_mm), actor
    )
    found: defaultdict[int, list[int]] = defaultdict(list)
    for material_id, content in rows.order_by("-content").values_list("material_id", "content").distinct():
        found[material_id].append(content)
    return dict(found)


def _whole_bars() -> QuerySet[LotStock]:
    rows = LotStock.objects.filter(
        place__kind=Place.Kind.STORE, lot__bar_length_mm__gt=0, quantity__gte=F("lot__bar_length_mm")
    )
    return rows.select_related("lot__material", "lot__supplier", "place__site")


def _heaps(rows: QuerySet[LotStock]) -> list[Heap]:
    ordered = list(rows.order_by("lot__offcut_since", "lot__made_date", "lot_id", "place_id"))
    taken = reserved(firm_id=ordered[0].place.firm_id) if ordered else {}
    found = []
    for row in ordered:
        bars = row.quantity // row.lot.bar_length_mm
        held = min(taken.get((row.place_id, row.lot_id), 0), bars)
        found.append(Heap(lot=row.lot, place=row.place, bars=bars, free=bars - held))
    return sorted(found, key=lambda heap: not heap.offcut)
