"""Deliveries: which are expected, which came, and what was odd about them."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, Q, QuerySet

from estimates.queries import standards
from inventory.calc import money
from inventory.models import (
    OrderLine,
    PurchaseOrder,
    Receipt,
    ReceiptCheck,
    ReceiptLine,
    ReceiptPaper,
    Supplier,
)
from inventory.models.ledger import Movement
from inventory.queries import measuring, movements, order_rest, paging
from inventory.queries.measuring import Limits
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission

LONGEST_NUMBER = 60
"""Characters of the longest number that a note, a receipt or an order can have."""


@dataclass(frozen=True)
class ExpectedLine:
    """What is still to come of an order line, in stock units and in its pack."""

    line: OrderLine
    left: int

    @property
    def packs_left(self) -> int:
        """Whole packs still to come; a part of a pack counts as one."""
        return order_rest.packs_left(self.line, units=self.left)

    @property
    def packs_left_thousandths(self) -> int:
        """The same in thousandths, as measured figures are kept."""
        return self.packs_left * 1_000


@dataclass(frozen=True)
class ExpectedOrder:
    """An order with what is still to come; `late_days` is above 0 when it is late."""

    order: PurchaseOrder
    every: tuple[ExpectedLine, ...]
    late_days: int

    @property
    def lines(self) -> tuple[ExpectedLine, ...]:
        """The lines of which something is still to come."""
        return tuple(line for line in self.every if line.left)


@dataclass(frozen=True)
class SheetLine:
    """A line of a receipt, with what is odd about it."""

    line: ReceiptLine
    value_minor: int | None
    over_age: bool
    remarks: tuple[str, ...] = ()

    @property
    def short(self) -> bool:
        """Whether less was found than the note says."""
        return self.line.found_thousandths < self.line.stated_thousandths

    @property
    def short_thousandths(self) -> int:
        """How much less was found than the note says, in thousandths of the unit; 0 when it is not short."""
        return self.line.stated_thousandths - self.line.found_thousandths if self.short else 0

    @property
    def over(self) -> bool:
        """Whether more was found than the note says."""
        return self.line.found_thousandths > self.line.stated_thousandths

    @property
    def heavy_g(self) -> int:
        """Mass of bars beyond what their metres weigh by the table: paid for, but no metre gained."""
        nominal = self.line.material.nominal_mg_per_mm
        if self.line.mass_g is None or nominal is None:
            return 0
        by_table = money.half_even(self.line.accepted * nominal, denominator=1_000)
        return self.line.mass_g - by_table if self.line.mass_g > by_table else 0

    @property
    def unordered(self) -> bool:
        """Whether no order line stands behind it."""
        return self.line.order_line_id is None

    @property
    def unpriced(self) -> bool:
        """Whether it came in without a value although something was accepted."""
        return bool(self.line.accepted) and not self.line.value_minor


@dataclass(frozen=True)
class ReceiptSheet:
    """A receipt with its lines and movements; values are None for who may not see money."""

    receipt: Receipt
    lines: tuple[SheetLine, ...]
    movements: tuple[Movement, ...]
    papers: tuple[ReceiptPaper, ...]
    money: bool

    @property
    def at_fault(self) -> tuple[SheetLine, ...]:
        """The lines that were short, or of which something goes back: what the shortage note lists."""
        return tuple(row for row in self.lines if row.short or row.line.rejected_thousandths)

    @property
    def value_minor(self) -> int | None:
        """The value of what was accepted."""
        return sum(line.line.value_minor for line in self.lines) if self.money else None


def expected(actor: Actor, *, today: date, site_id: int | None = None) -> list[ExpectedOrder]:
    """List the open orders of which something is still to come, soonest first."""
    rows = scope.visible(PurchaseOrder.objects.filter(state__in=PurchaseOrder.OPEN), actor)
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    found = (_expected(order, today=today) for order in _with_lines(rows).order_by("expected_date", "pk"))
    return [order for order in found if order.lines]


def expected_order(actor: Actor, *, order_id: int, today: date) -> ExpectedOrder:
    """Show an order and what is still to come of it, in any state; NotFound when it is not the actor's."""
    order = scope.get(_with_lines(PurchaseOrder.objects.all()), actor, pk=order_id)
    return _expected(order, today=today)


def receipts(
    actor: Actor,
    *,
    site_id: int | None = None,
    note: str = "",
    after: str = "",
    limit: int = paging.LIMIT,
) -> Page[Receipt]:
    """List receipts, newest first, of one site or of all that the actor sees; paged by key.

    `note` finds those whose delivery note, receipt or order number begins so.
    """
    rows = scope.visible(Receipt.objects.all(), actor).select_related("site", "supplier", "order")
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    if len(note) > LONGEST_NUMBER:
        rows = rows.none()
    elif note:
        rows = rows.filter(
            Q(note_number__istartswith=note) | Q(number__iexact=note) | Q(order__number__iexact=note)
        )
    lines = ReceiptLine.objects.select_related("material").order_by("position")
    rows = rows.filter(paging.older(after, field="happened_at")).prefetch_related(
        Prefetch("lines", queryset=lines)
    )
    limit = paging.bounded(limit)
    return paging.cut(
        rows.order_by("-happened_at", "-pk")[: limit + 1],
        limit=limit,
        cursor=lambda row: paging.write(row.happened_at, pk=row.pk),
    )


def receipt(actor: Actor, *, receipt_id: int) -> ReceiptSheet:
    """Show a receipt; NotFound when it is not the actor's."""
    lines = ReceiptLine.objects.select_related("material", "lot__material", "order_line", "pack")
    checks = ReceiptCheck.objects.select_related("checked_by").order_by("checked_at", "pk")
    lines = lines.prefetch_related(Prefetch("checks", queryset=checks))
    papers = ReceiptPaper.objects.select_related("attachment__received_by").order_by("pk")
    rows = Receipt.objects.select_related("site", "supplier", "order", "recorded_by").prefetch_related(
        Prefetch("lines", queryset=lines.order_by("position")), Prefetch("papers", queryset=papers)
    )
    found = scope.get(rows, actor, pk=receipt_id)
    priced = actor.can(Permission.SEE_MONEY)
    limits = functools.cache(lambda: standards.of_firm(actor, profile_id=actor.profile))
    return ReceiptSheet(
        receipt=found,
        lines=tuple(
            _sheet_line(line, receipt=found, priced=priced, limits=limits) for line in found.lines.all()
        ),
        movements=tuple(movements.of_document(receipt_id=found.pk)),
        papers=tuple(found.papers.all()),
        money=priced,
    )


def suppliers(actor: Actor, *, today: date) -> list[Supplier]:
    """List the suppliers that the firm buys from."""
    rows = scope.visible(Supplier.objects.all(), actor)
    return list(rows.filter(Q(ended_date=None) | Q(ended_date__gt=today)).order_by("name", "pk"))


def _with_lines(rows: QuerySet[PurchaseOrder]) -> QuerySet[PurchaseOrder]:
    lines = OrderLine.objects.select_related("material", "pack").order_by("position")
    lines = lines.annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G)
    return rows.select_related("site", "supplier").prefetch_related(Prefetch("lines", queryset=lines))


def _expected(order: PurchaseOrder, *, today: date) -> ExpectedOrder:
    every = [ExpectedLine(line=line, left=order_rest.left(line)) for line in order.lines.all()]
    late = (today - order.expected_date).days
    return ExpectedOrder(order=order, every=tuple(every), late_days=late if late > 0 else 0)


def _sheet_line(line: ReceiptLine, *, receipt: Receipt, priced: bool, limits: Limits) -> SheetLine:
    lot, shelf = line.lot, line.material.shelf_days
    came = receipt.happened_at.date()
    age = (came - lot.made_date).days if lot and lot.made_date else None
    return SheetLine(
        line=line,
        value_minor=line.value_minor if priced else None,
        over_age=age is not None and shelf is not None and age > shelf,
        remarks=tuple(measuring.remarks(line, limits=limits, came=came)),
    )
