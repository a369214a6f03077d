"""What waits until it has passed its checks, and what was looked at."""

from __future__ import annotations

from inventory.models import ReceiptLine
from inventory.queries import paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor


def waiting(
    actor: Actor, *, site_id: int | None = None, after: str = "", limit: int = paging.LIMIT
) -> Page[ReceiptLine]:
    """List the receipt lines of which something waits, the newest first, of one site or of all; by key."""
    rows = scope.visible(ReceiptLine.objects.filter(held__gt=0, receipt__reversed_at=None), actor)
    if site_id is not None:
        rows = rows.filter(receipt__site_id=site_id)
    rows = rows.filter(paging.older(after, field="receipt__happened_at"))
    rows = rows.select_related("receipt__site", "receipt__supplier", "material", "lot")
    limit = paging.bounded(limit)
    return paging.cut(
        rows.order_by("-receipt__happened_at", "-pk")[: limit + 1],
        limit=limit,
        cursor=lambda row: paging.write(row.receipt.happened_at, pk=row.pk),
    )


def line(actor: Actor, *, line_id: int) -> ReceiptLine:
    """Return a receipt line with its receipt; NotFound when it is not the actor's."""
    rows = ReceiptLine.objects.select_related("receipt__site", "receipt__supplier", "material", "pack", "lot")
    return scope.get(rows, actor, pk=line_id)
