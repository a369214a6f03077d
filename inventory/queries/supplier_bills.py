"""Suppliers' bills as people read them: the list, one bill, what waits to be billed, what is owed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce

from inventory.calc import money, owing
from inventory.calc.owing import Owed
from inventory.models import Payment, PaymentPart, ReceiptLine, SupplierBill, SupplierBillLine
from inventory.queries import slab_bills
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission

State, Kind = SupplierBill.State, SupplierBill.Kind

PAGE = 50
MOST_ROWS = 200


@dataclass(frozen=True)
class BillRow:
    """A bill with what is still open on it, in minor units; 0 for notes and for what is not accepted."""

    bill: SupplierBill
    open_minor: int

    def late_days(self, today: date) -> int:
        """Days past due, 0 when nothing is open or it is not due yet."""
        late = (today - self.bill.due_date).days
        return late if self.open_minor > 0 and late > 0 else 0


@dataclass(frozen=True)
class BillSheet:
    """One bill in full."""

    row: BillRow
    lines: tuple[SupplierBillLine, ...]
    notes: tuple[SupplierBill, ...]
    payments: tuple[PaymentPart, ...]


@dataclass(frozen=True)
class Unbilled:
    """A line of a delivery of which something waits to be billed, in stock units."""

    line: ReceiptLine
    left: int

    @property
    def expected_minor(self) -> int:
        """What it was taken in at, in minor units."""
        return money.half_even(self.line.value_minor * self.left, denominator=self.line.accepted)


@dataclass(frozen=True)
class OwedTo:
    """What is owed to a supplier, by how long it is due; advances and what is kept back apart."""

    supplier_id: int
    name: str
    groups: tuple[int, ...]
    retained_minor: int
    advance_minor: int

    @property
    def total_minor(self) -> int:
        """All groups together, in minor units."""
        return sum(self.groups)


@dataclass(frozen=True)
class Wanted:
    """Which bills to list: of a state or all, of a supplier or all, for a slab or all."""

    state: str = ""
    supplier_id: int | None = None
    slab_id: int | None = None
    start: int = 0
    count: int = PAGE


def listing(actor: Actor, *, wanted: Wanted) -> tuple[BillRow, ...]:
    """Return suppliers' bills, those held first and then by due date; refused to who may not see money."""
    actor.require(Permission.SEE_MONEY)
    rows = _rows(actor)
    if wanted.state:
        rows = rows.filter(state=wanted.state)
    if wanted.supplier_id is not None:
        rows = rows.filter(supplier_id=wanted.supplier_id)
    if wanted.slab_id is not None:
        rows = rows.filter(pk__in=slab_bills.bills_of(wanted.slab_id))
    rows = rows.order_by(Case(When(state=State.HELD, then=0), default=1), "due_date", "id")
    count = min(wanted.count, MOST_ROWS)
    return tuple(_row(bill) for bill in rows[wanted.start : wanted.start + count])


def one(actor: Actor, *, bill_id: int) -> BillSheet:
    """Return a bill with lines, notes and payments; refused with NotFound when it is not the actor's."""
    actor.require(Permission.SEE_MONEY)
    bill = scope.get(_rows(actor), actor, pk=bill_id)
    lines = bill.lines.select_related(
        "material",
        "pack",
        "receipt_line__material",
        "receipt_line__pack",
        "receipt_line__receipt__site",
        "order_line__order",
    )
    parts = bill.payments.filter(payment__reversed_at=None).select_related("payment")
    return BillSheet(
        row=_row(bill),
        lines=tuple(lines.order_by("position")),
        notes=tuple(bill.notes.order_by("dated", "id")),
        payments=tuple(parts.order_by("payment__paid_date", "id")),
    )


def of_bill(sheet: BillSheet) -> tuple[Unbilled, ...]:
    """Return the deliveries that a bill is for, each with the quantity billed."""
    return tuple(
        Unbilled(line=line.receipt_line, left=line.quantity)
        for line in sheet.lines
        if line.receipt_line is not None
    )


def unbilled(actor: Actor, *, supplier_id: int) -> tuple[Unbilled, ...]:
    """Return what a supplier has delivered and not billed yet, the oldest delivery first."""
    actor.require(Permission.SEE_MONEY)
    rows = ReceiptLine.objects.filter(
        receipt__supplier_id=supplier_id, receipt__reversed_at=None, accepted__gt=0
    )
    live = Q(bill_lines__bill__kind=Kind.BILL) & ~Q(bill_lines__bill__state=State.REJECTED)
    rows = rows.annotate(asked=Coalesce(Sum("bill_lines__quantity", filter=live), 0))
    rows = rows.filter(accepted__gt=0, asked__lt=F("accepted")).select_related(
        "material", "pack", "receipt__site", "order_line__order", "order_line__pack"
    )
    found = scope.visible(rows, actor).order_by("receipt__happened_at", "id")[:MOST_ROWS]
    return tuple(Unbilled(line=row, left=row.accepted - row.asked) for row in found)


def owed(actor: Actor, *, today: date) -> tuple[OwedTo, ...]:
    """Return what is owed to each supplier by age, those longest due first; retention stands apart."""
    actor.require(Permission.SEE_MONEY)
    owing_rows: defaultdict[int, list[Owed]] = defaultdict(list)
    retained: defaultdict[int, int] = defaultdict(int)
    names: dict[int, str] = {}
    for row in _rows(actor).filter(state=State.ACCEPTED, kind=Kind.BILL):
        open_minor = _row(row).open_minor
        if not open_minor:
            continue
        names[row.supplier_id] = row.supplier.name
        kept = _still_kept(row, open_minor=open_minor, today=today)
        retained[row.supplier_id] += kept
        owing_rows[row.supplier_id].append(Owed(open_minor - kept, row.due_date))
    advances = _advances(actor, names=names)
    found = [
        OwedTo(
            supplier_id=pk,
            name=name,
            groups=owing.ageing(owing_rows[pk], today=today),
            retained_minor=retained[pk],
            advance_minor=advances.get(pk, 0),
        )
        for pk, name in names.items()
    ]
    return tuple(sorted(found, key=lambda one: (*(-part for part in reversed(one.groups)), one.name)))


def payments(actor: Actor, *, supplier_id: int) -> QuerySet[Any]:
    """Return the payments to a supplier, the latest first, with what of each settles bills."""
    actor.require(Permission.SEE_MONEY)
    rows = Payment.objects.filter(supplier_id=supplier_id).annotate(
        used=Coalesce(Sum("parts__amount_minor"), 0)
    )
    return scope.visible(rows, actor).order_by("-paid_date", "-id")


def payment(actor: Actor, *, payment_id: int) -> Any:
    """Return a payment with what of it settles bills; refused with NotFound when it is not the actor's."""
    actor.require(Permission.SEE_MONEY)
    rows = Payment.objects.annotate(used=Coalesce(Sum("parts__amount_minor"), 0))
    return scope.get(rows.select_related("supplier"), actor, pk=payment_id)


def advances(actor: Actor, *, supplier_id: int) -> list[Any]:
    """Return the payments to a supplier of which something settles no bill yet, the oldest first."""
    rows = payments(actor, supplier_id=supplier_id).filter(reversed_at=None, used__lt=F("amount_minor"))
    return list(rows.order_by("paid_date", "id"))


def _still_kept(bill: SupplierBill, *, open_minor: int, today: date) -> int:
    """Return what is kept back today: never more than what is still open."""
    if bill.retained_until is None or bill.retained_until <= today:
        return 0
    return min(bill.retained_minor, max(open_minor, 0))


def _advances(actor: Actor, *, names: dict[int, str]) -> dict[int, int]:
    rows = scope.visible(Payment.objects.filter(reversed_at=None), actor)
    used = PaymentPart.objects.filter(payment=OuterRef("pk")).values("payment")
    rows = rows.annotate(used=Coalesce(Subquery(used.annotate(all=Sum("amount_minor")).values("all")), 0))
    found: defaultdict[int, int] = defaultdict(int)
    for pk, name, amount, spent in rows.values_list("supplier_id", "supplier__name", "amount_minor", "used"):
        if amount > spent:
            names.setdefault(pk, name)
            found[pk] += amount - spent
    return found


def _rows(actor: Actor) -> QuerySet[SupplierBill]:
    """Return the actor's bills with what was paid and noted on each, in one query."""
    paid = (
        PaymentPart.objects.filter(bill=OuterRef("pk"), payment__reversed_at=None)
        .values("bill")
        .annotate(all=Sum("amount_minor"))
        .values("all")
    )
    rows = SupplierBill.objects.annotate(
        paid=Coalesce(Subquery(paid), 0),
        credits=Coalesce(Subquery(_noted(Kind.CREDIT)), 0),
        debits=Coalesce(Subquery(_noted(Kind.DEBIT)), 0),
    )
    return scope.visible(rows, actor).select_related(
        "supplier", "owner", "recorded_by", "settled_by", "of_bill"
    )


def _noted(kind: str) -> QuerySet[SupplierBill, Any]:
    notes = SupplierBill.objects.filter(of_bill=OuterRef("pk"), kind=kind, state=State.ACCEPTED)
    return notes.order_by().values("of_bill").annotate(all=Sum("total_minor")).values("all")


def _row(bill: SupplierBill) -> BillRow:
    if (bill.state, bill.kind) != (State.ACCEPTED, Kind.BILL):
        return BillRow(bill=bill, open_minor=0)
    notes: Iterable[tuple[str, int]] = (
        ("credit", getattr(bill, "credits")),  # noqa: B009 - annotated by _rows, unknown to the model
        ("debit", getattr(bill, "debits")),  # noqa: B009 - the same
    )
    paid: int = getattr(bill, "paid")  # noqa: B009 - the same
    return BillRow(bill=bill, open_minor=owing.still_open(bill.total_minor, notes=notes, paid=paid))
