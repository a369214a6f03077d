"""Slips of the stores: issues, returns, waste and opening stock; and the materials that they may move."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch

from estimates.models import Material
from inventory.models import StockSlip, StockSlipLine
from inventory.models.ledger import Movement
from inventory.queries import movements, paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission


@dataclass(frozen=True)
class SlipSheet:
    """A slip with its lines and movements; values are shown only with `money`."""

    slip: StockSlip
    lines: tuple[StockSlipLine, ...]
    movements: tuple[Movement, ...]
    money: bool

    @property
    def value_minor(self) -> int | None:
        """The value of all lines; None for who may not see money."""
        return sum(line.value_minor for line in self.lines) if self.money else None


def slips(
    actor: Actor,
    *,
    site_id: int | None = None,
    pour_id: int | None = None,
    after: str = "",
    limit: int = paging.LIMIT,
) -> Page[StockSlip]:
    """List slips, newest first, of one site, of one pour, or of all that the actor sees; paged by key."""
    rows = scope.visible(StockSlip.objects.all(), actor).select_related("site", "pour__slab", "recorded_by")
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    if pour_id is not None:
        rows = rows.filter(pour_id=pour_id)
    lines = StockSlipLine.objects.select_related("material").prefetch_related("material__packs")
    rows = rows.filter(paging.older(after, field="happened_at")).prefetch_related(
        Prefetch("lines", queryset=lines.order_by("position"))
    )
    limit = paging.bounded(limit)
    return paging.cut(
        rows.order_by("-happened_at", "-pk")[: limit + 1],
        limit=limit,
        cursor=lambda row: paging.write(row.happened_at, pk=row.pk),
    )


def slip(actor: Actor, *, slip_id: int) -> SlipSheet:
    """Show a slip; NotFound when it is not the actor's."""
    lines = StockSlipLine.objects.select_related(
        "material", "lot", "source__site", "source__slab", "target__site", "target__slab"
    )
    rows = StockSlip.objects.select_related("site", "pour__slab", "recorded_by").prefetch_related(
        Prefetch("lines", queryset=lines.prefetch_related("material__packs").order_by("position"))
    )
    found = scope.get(rows, actor, pk=slip_id)
    return SlipSheet(
        slip=found,
        lines=tuple(found.lines.all()),
        movements=tuple(movements.of_document(slip_id=found.pk)),
        money=actor.can(Permission.SEE_MONEY),
    )


def kept_materials(actor: Actor) -> list[Material]:
    """List the firm's materials that are kept in stores, with their packs."""
    rows = scope.visible(Material.objects.filter(stocked=True), actor)
    return list(rows.prefetch_related("packs").order_by("code", "pk"))
