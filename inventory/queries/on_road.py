"""Transfers between sites: what is on the road, what came, and what was lost."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import QuerySet

from inventory.models import Lot, Transfer, TransferLine
from inventory.models.ledger import Movement
from inventory.queries import paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor


@dataclass(frozen=True)
class TransferSheet:
    """A transfer with its lines, and what the actor may do with it."""

    transfer: Transfer
    lines: tuple[TransferLine, ...]
    may_receive: bool
    may_call_back: bool


def listing(actor: Actor, *, after: str = "", limit: int = paging.LIMIT) -> Page[Transfer]:
    """Return the transfers from or to the actor's sites, the latest first, paged by key."""
    limit = paging.bounded(limit)
    rows = scope.visible(Transfer.objects.filter(paging.older(after, field="dispatched_at")), actor)
    rows = rows.select_related("from_site", "to_site").order_by("-dispatched_at", "-pk")
    return paging.cut(
        rows[: limit + 1], limit=limit, cursor=lambda row: paging.write(row.dispatched_at, pk=row.pk)
    )


def coming(actor: Actor, *, site_id: int) -> QuerySet[Transfer]:
    """Return what is on the road to a site, the oldest first."""
    rows = Transfer.objects.filter(to_site_id=site_id, state=Transfer.State.ON_ROAD)
    found = scope.visible(rows, actor).select_related("from_site", "to_site")
    return found.order_by("dispatched_at", "id")


def one(actor: Actor, *, transfer_id: int) -> TransferSheet:
    """Return a transfer with its lines; refused with NotFound when neither of its sites is the actor's."""
    people = ("dispatched_by", "received_by", "loss_owner")
    transfer = scope.get(
        Transfer.objects.select_related("from_site", "to_site", *people), actor, pk=transfer_id
    )
    lines = transfer.lines.select_related("material", "lot").prefetch_related("material__packs")
    on_road = transfer.state == Transfer.State.ON_ROAD
    return TransferSheet(
        transfer=transfer,
        lines=tuple(lines.order_by("position")),
        may_receive=on_road and _own(actor, site_id=transfer.to_site_id),
        may_call_back=on_road and _own(actor, site_id=transfer.from_site_id),
    )


def heaps(line: TransferLine) -> list[tuple[Lot | None, int]]:
    """Return what was sent of a line by lot; for services, nobody's rights are asked."""
    sent: defaultdict[Lot | None, int] = defaultdict(int)
    moves = Movement.objects.filter(transfer_line=line, reason=Movement.Reason.DISPATCH)
    for move in moves.select_related("lot").order_by("id"):
        sent[move.lot] += move.quantity
    return list(sent.items())


def _own(actor: Actor, *, site_id: int) -> bool:
    return actor.site_ids is None or site_id in actor.site_ids
