"""Counts of the stores, what there is to count, and the heaps that a pour is made from."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Prefetch, Q

from estimates.models import Bill, BillLine, Material, UseMethod
from inventory.models import Place, Stock, StockCount, StockCountLine
from inventory.models.ledger import Movement
from inventory.queries import paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Pour, Site


@dataclass(frozen=True)
class CountSheet:
    """A count with its lines; values are None for who may not see money."""

    count: StockCount
    lines: tuple[StockCountLine, ...]
    money: bool
    store_id: int | None = None

    @property
    def value_minor(self) -> int | None:
        """The value of all differences, found less book."""
        return sum(line.value_minor for line in self.lines) if self.money else None


def counts(
    actor: Actor,
    *,
    site_id: int | None = None,
    only: str = "",
    after: str = "",
    limit: int = paging.LIMIT,
) -> Page[StockCount]:
    """List counts, newest first, of one site or of all that the actor sees; paged by key.

    `only` takes those that wait for approval (`waiting`), or those that one person counted and kept or
    approved (`one_person`).
    """
    rows = scope.visible(StockCount.objects.all(), actor).select_related("site", "counted_by", "approved_by")
    rows = rows.filter(_ONLY.get(only, Q()))
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    rows = rows.filter(paging.older(after, field="happened_at")).order_by("-happened_at", "-pk")
    limit = paging.bounded(limit)
    return paging.cut(
        rows[: limit + 1], limit=limit, cursor=lambda row: paging.write(row.happened_at, pk=row.pk)
    )


_ONLY = {
    "waiting": Q(state=StockCount.State.WAITING),
    "one_person": Q(by_keeper=True) | Q(approved_by=F("counted_by")),
}


def waiting_count(actor: Actor) -> int:
    """Count the counts that wait for approval."""
    return scope.visible(StockCount.objects.filter(_ONLY["waiting"]), actor).count()


def count(actor: Actor, *, count_id: int) -> CountSheet:
    """Show a count; NotFound when it is not the actor's."""
    lines = StockCountLine.objects.select_related("material").prefetch_related("material__packs")
    rows = StockCount.objects.select_related(
        "site", "counted_by", "approved_by", "ended_by"
    ).prefetch_related(Prefetch("lines", queryset=lines.order_by("position")))
    found = scope.get(rows, actor, pk=count_id)
    store = Place.objects.filter(site=found.site_id, kind=Place.Kind.STORE).values_list("pk", flat=True)
    return CountSheet(
        count=found,
        lines=tuple(found.lines.all()),
        money=actor.can(Permission.SEE_MONEY),
        store_id=store.first(),
    )


def used_in_closed_pour(count: StockCount) -> bool:
    """Say whether a count found the use of a pour that is closed; for services, nobody's rights are asked."""
    return Movement.objects.filter(count_line__count=count, pour__state=Pour.State.CLOSED).exists()


def posted_after(count: StockCount) -> StockCount | None:
    """Return a posted count of one of its materials in the same store after a count; for services."""
    later = Q(happened_at__gt=count.happened_at) | Q(happened_at=count.happened_at, pk__gt=count.pk)
    again = StockCount.objects.filter(
        later,
        site_id=count.site_id,
        state=StockCount.State.POSTED,
        lines__material__in=count.lines.values("material"),
    )
    return again.order_by("happened_at", "pk").first()


def countable(actor: Actor, *, site_id: int) -> list[Material]:
    """List what a count of a site's store asks for: what was ever kept there, with its packs.

    Never the quantities: who counts shall not see what the book says.
    """
    site = scope.get(Site.objects.all(), actor, pk=site_id)
    return list(
        scope.visible(Material.objects.filter(stocked=True), actor)
        .filter(Q(stock__place__site=site, stock__place__kind=Place.Kind.STORE))
        .prefetch_related("packs")
        .order_by("code", "pk")
        .distinct()
    )


def heaps_of(pour: Pour, *, empty: bool = False) -> list[Stock]:
    """Return the heaps in the site's store that the pour's issued bill draws on.

    With `empty` those used up too. For a pour that the caller has already been shown.
    """
    drawn = BillLine.objects.filter(
        bill__state=Bill.State.ISSUED, bill__design__slab=pour.slab_id, material__use_method=UseMethod.COUNT
    )
    return list(
        Stock.objects.filter(
            place__site=pour.slab.site_id,
            place__kind=Place.Kind.STORE,
            material__in=drawn.values("material_id"),
            material__stocked=True,
            quantity__gte=0 if empty else 1,
        )
        .select_related("material")
        .prefetch_related("material__packs")
        .order_by("material__code", "pk")
    )
