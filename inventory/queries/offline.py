"""Entries that phones wrote without network: what is held and why, what became of the others."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimates.models import Material
from inventory.models import OfflineEntry, PurchaseOrder, Supplier
from inventory.queries import paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor


@dataclass(frozen=True)
class EntryLine:
    """A line of an entry as it was sent: amount in packs of this name, else in the unit.

    `measured` tells that the amount is 0 because it is yet to follow from readings.
    """

    position: int
    material: Material
    amount: Decimal
    unit: str
    measured: bool


@dataclass(frozen=True)
class EntrySheet:
    """An entry with its lines; a receipt also with its supplier and order."""

    entry: OfflineEntry
    lines: tuple[EntryLine, ...]
    supplier: Supplier | None = None
    order: PurchaseOrder | None = None


def entries(
    actor: Actor, *, state: str = "", after: str = "", limit: int = paging.LIMIT
) -> Page[OfflineEntry]:
    """List entries, the last received first, of one state or of all; paged by key."""
    rows = scope.visible(OfflineEntry.objects.all(), actor)
    rows = rows.select_related("site", "pour__slab", "recorded_by", "slip", "receipt")
    if state:
        rows = rows.filter(state=state)
    rows = rows.filter(paging.older(after, field="recorded_at")).order_by("-recorded_at", "-pk")
    limit = paging.bounded(limit)
    return paging.cut(
        rows[: limit + 1], limit=limit, cursor=lambda row: paging.write(row.recorded_at, pk=row.pk)
    )


def held_count(actor: Actor) -> int:
    """Count the entries that wait for the office."""
    return scope.visible(OfflineEntry.objects.filter(state=OfflineEntry.State.HELD), actor).count()


def entry(actor: Actor, *, entry_id: int) -> EntrySheet:
    """Show an entry; NotFound when it is not the actor's."""
    rows = OfflineEntry.objects.select_related(
        "site", "pour__slab", "recorded_by", "settled_by", "slip", "receipt", "photo"
    )
    found = scope.get(rows, actor, pk=entry_id)
    sent: list[dict[str, Any]] = found.act["lines"]
    ids = {line["material_id"] for line in sent}
    kept = scope.visible(Material.objects.filter(pk__in=ids), actor).prefetch_related("packs")
    materials = {material.pk: material for material in kept}
    lines = tuple(
        _line(line, position=n, material=materials[line["material_id"]])
        for n, line in enumerate(sent, start=1)
        if line["material_id"] in materials
    )
    if found.kind != OfflineEntry.Kind.RECEIPT:
        return EntrySheet(entry=found, lines=lines)
    supplier = scope.visible(Supplier.objects.filter(pk=found.act["supplier_id"]), actor).first()
    order = scope.visible(PurchaseOrder.objects.filter(pk=found.act["order_id"]), actor).first()
    return EntrySheet(entry=found, lines=lines, supplier=supplier, order=order)


def _line(line: dict[str, Any], *, position: int, material: Material) -> EntryLine:
    packs = {pack.pk: pack.name for pack in material.packs.all()}
    unit = packs.get(line["pack_id"]) or line["unit"] or material.show_unit
    return EntryLine(
        position=position,
        material=material,
        amount=Decimal(line["amount"] if "amount" in line else line["found"]),
        unit=unit,
        measured=bool(line.get("measurement")) and not Decimal(line["found"]),
    )
