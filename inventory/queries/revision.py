"""What a bill that took the place of another one touches: orders, receipts, use and cut bars of its slab."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from estimates.models import Bill, Material, Pack
from estimates.queries import bills
from inventory.calc import revision
from inventory.calc.revision import Bought, Touched
from inventory.models import OrderLine, PurchaseOrder
from inventory.queries import order_rest, slab_sources
from inventory.queries.cutting import misfits
from inventory.queries.slab_sources import BillPart, Key
from projects.access import scope
from projects.access.actor import Actor

NONE = (0, 0)


@dataclass(frozen=True)
class OpenLine:
    """An order line of the slab with something still to come, in stock units."""

    row: OrderLine
    left: int


@dataclass(frozen=True, kw_only=True)
class Row:
    """One material of the slab that the later bill changed or that was bought beyond it; stock units."""

    material: Material
    pack: Pack | None
    before: int
    after: int
    received: int
    used: int
    open_lines: tuple[OpenLine, ...]
    touched: Touched

    @property
    def open_order(self) -> int:
        """Still to come on this slab's orders."""
        return sum(line.left for line in self.open_lines)

    @property
    def change(self) -> int:
        """What the later bill asks for more, below 0 for less."""
        return self.after - self.before


@dataclass(frozen=True)
class Effect:
    """A bill, the one before it, and what it touches; what still fits is left out."""

    bill: Bill
    before: Bill | None
    rows: tuple[Row, ...]
    cut: tuple[misfits.Row, ...] = ()


def of_bill(actor: Actor, bill_id: int) -> Effect:
    """What does this bill change for what was bought; refused with NotFound when it is not the actor's."""
    bill = scope.get(Bill.objects.select_related("design__slab__site"), actor, pk=bill_id)
    before = bills.earlier(actor, bill=bill)
    if before is None:
        return Effect(bill=bill, before=None, rows=())
    slab_id = bill.design.slab_id
    found = _Found(actor, slab_id=slab_id, now_id=bill.pk, was_id=before.pk)
    rows = (found.row(material) for material in found.materials())
    telling = tuple(row for row in rows if _telling(row))
    return Effect(bill=bill, before=before, rows=telling, cut=misfits.of_bill(actor, bill=bill))


class _Found:
    """The facts of one slab, each read in one query and keyed by material."""

    def __init__(self, actor: Actor, *, slab_id: int, now_id: int, was_id: int) -> None:
        self._actor = actor
        self._slab_id = slab_id
        parts = slab_sources.bills(actor, slab_of_bill={now_id: now_id, was_id: was_id})
        self._after = _allowed(parts, of=now_id)
        self._before = _allowed(parts, of=was_id)
        self._received = _of_slab(slab_sources.received(actor, slab_ids=[slab_id]))
        self._used = _of_slab(slab_sources.held(actor, slab_ids=[slab_id]))
        self._open = _open_lines(actor, slab_id=slab_id)

    def materials(self) -> list[Material]:
        """All materials that a bill names or that were bought, by code."""
        named = {*self._after, *self._before, *self._received, *self._open}
        rows = Material.objects.filter(pk__in=named).prefetch_related("packs")
        return list(scope.visible(rows, self._actor).order_by("code", "id"))

    def row(self, material: Material) -> Row:
        """The facts of one material, judged."""
        pk = material.pk
        lines = tuple(self._open[pk])
        usual = min(material.packs.all(), key=lambda row: row.pk, default=None)
        pack = lines[0].row.pack if lines else usual
        bought = Bought(
            allowed=self._after.get(pk, 0),
            received=self._received.get(pk, NONE)[0],
            open_order=sum(line.left for line in lines),
            pack=1 if pack is None else pack.content,
        )
        return Row(
            material=material,
            pack=pack,
            before=self._before.get(pk, 0),
            after=bought.allowed,
            received=bought.received,
            used=self._used.get(pk, NONE)[0],
            open_lines=lines,
            touched=revision.touched(bought),
        )


def _telling(row: Row) -> bool:
    return bool(row.change or row.touched.cut_back or row.touched.here_too_much)


def _allowed(parts: dict[Key, BillPart], *, of: int) -> dict[int, int]:
    return {pk: part["net"] + part["allowance"] for (bill_id, pk), part in parts.items() if bill_id == of}


def _of_slab(found: dict[Key, tuple[int, int]]) -> dict[int, tuple[int, int]]:
    return {material_id: amount for (_, material_id), amount in found.items()}


def _open_lines(actor: Actor, *, slab_id: int) -> defaultdict[int, list[OpenLine]]:
    lines = OrderLine.objects.filter(pour__slab_id=slab_id, order__state__in=PurchaseOrder.OPEN)
    rows = scope.visible(lines, actor).annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G)
    rows = rows.select_related("order", "pack", "material")
    found: defaultdict[int, list[OpenLine]] = defaultdict(list)
    for row in rows.order_by("order__expected_date", "id"):
        left = order_rest.left(row)
        if left > 0:
            found[row.material_id].append(OpenLine(row=row, left=left))
    return found
