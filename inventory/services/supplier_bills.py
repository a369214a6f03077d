"""Suppliers' bills: entered as printed, matched with deliveries, accepted or sent back by a person."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from inventory.models import Supplier, SupplierBill, SupplierBillLine
from inventory.services import bill_lines, bill_values, moments, texts
from inventory.services.bill_lines import BilledLineAct
from inventory.services.posting import Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Person
from projects.services.acts import business_act

MOST_LINES = 100
MOST_MINOR = 10**15
LONGEST_CREDIT = timedelta(days=366)

Kind, State = SupplierBill.Kind, SupplierBill.State


class BilledTwice(Refused):
    """The supplier's number was entered before in the same year."""

    code = "billed_twice"
    status = 409


class DoesNotAddUp(Refused):
    """The lines with freight and tax are not the total that is printed."""

    code = "does_not_add_up"


class BadBill(Refused):
    """A figure or a date of the bill that cannot be."""

    code = "bad_bill"


class NotHeld(Refused):
    """The bill was settled before."""

    code = "not_held"
    status = 409


class ReasonNeeded(Refused):
    """A held bill is accepted or sent back without saying why."""

    code = "reason_needed"


@dataclass(frozen=True, kw_only=True)
class SupplierBillAct:
    """A bill as printed, in minor units; a credit or debit note names the bill that it is about.

    Without a due date it is the bill's date and the supplier's credit days.
    """

    supplier_id: int
    number: str
    dated: date
    lines: tuple[BilledLineAct, ...]
    total_minor: int
    freight_minor: int = 0
    tax_minor: int = 0
    tax_recoverable: bool = True
    due_date: date | None = None
    kind: str = Kind.BILL
    of_bill_id: int | None = None
    retained_minor: int = 0
    retained_until: date | None = None


@dataclass(frozen=True)
class SettleAct:
    """A held bill that a person accepts as it is, or sends back, and why."""

    bill_id: int
    accept: bool
    reason: str


@dataclass(frozen=True)
class OwnerAct:
    """Who looks after a held bill."""

    bill_id: int
    person_id: int


@business_act(result=SupplierBill)
def record(*, actor: Actor, act: SupplierBillAct, key: str, now: datetime) -> SupplierBill:
    """Enter a supplier's bill and match it; one that fits is accepted at once, else it is held for a person.

    Refused are a number entered before in the same year (`billed_twice`), lines that do not make the printed
    total (`does_not_add_up`), and dates or figures that cannot be.
    """
    actor.require(Permission.ENTER_SUPPLIER_BILLS)
    return put(actor=actor, act=act, key=key, now=now)


def put(*, actor: Actor, act: SupplierBillAct, key: str, now: datetime) -> SupplierBill:
    """Enter and match a bill inside the caller's act; refuses as `record` does."""
    supplier = scope.get(Supplier.objects.select_for_update(no_key=True), actor, pk=act.supplier_id)
    _require_figures(act)
    bill = head(act, supplier=supplier, actor=actor, now=now)
    lines = bill_lines.matched(act.lines, bill=bill, actor=actor)
    bill.state = State.HELD if any(line.causes for line in lines) else State.ACCEPTED
    if bill.state == State.HELD:
        bill.owner_id = actor.person_id
    bill.save()
    for line in lines:
        line.bill = bill
    SupplierBillLine.objects.bulk_create(lines)
    if bill.state == State.ACCEPTED:
        _book(bill, lines=lines, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    return bill


@business_act(result=SupplierBill)
def settle(*, actor: Actor, act: SettleAct, key: str, now: datetime) -> SupplierBill:
    """Accept a held bill, which books its price differences, or send it back, which frees its number.

    Refused without a reason, or when it is not held.
    """
    actor.require(Permission.SETTLE_SUPPLIER_BILLS)
    bill = _held(actor, bill_id=act.bill_id)
    reason = texts.fitting(act.reason, most=400, field="reason")
    if not reason:
        message = _("Say why the bill is accepted or sent back, and what was agreed with the supplier.")
        raise ReasonNeeded(message, field="reason")
    bill.state = State.ACCEPTED if act.accept else State.REJECTED
    bill.settled_by_id, bill.settled_at, bill.settle_reason = actor.person_id, now, reason
    bill.save(update_fields=["state", "settled_by", "settled_at", "settle_reason"])
    if act.accept:
        lines = list(
            bill.lines.select_related("material", "receipt_line__receipt__site").order_by("position")
        )
        _book(bill, lines=lines, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    return bill


@business_act(result=SupplierBill)
def give(*, actor: Actor, act: OwnerAct, key: str, now: datetime) -> SupplierBill:
    """Hand a held bill to another person of the firm; refused when it is not held."""
    del key, now
    actor.require(Permission.ENTER_SUPPLIER_BILLS)
    owner = scope.get(Person.objects.all(), actor, pk=act.person_id)
    bill = _held(actor, bill_id=act.bill_id)
    bill.owner = owner
    bill.save(update_fields=["owner"])
    return bill


def _held(actor: Actor, *, bill_id: int) -> SupplierBill:
    rows = SupplierBill.objects.select_for_update(of=("self",)).select_related("supplier")
    bill: SupplierBill = scope.get(rows, actor, pk=bill_id)
    if bill.state != State.HELD:
        message = _("Bill %(number)s is not held any more: it is %(state)s.")
        raise NotHeld(message % {"number": bill.number, "state": bill.get_state_display()})
    return bill


def _book(bill: SupplierBill, *, lines: Sequence[SupplierBillLine], stamp: Stamp) -> None:
    for position, line in enumerate(lines, start=1):
        bill_values.book(line, bill=bill, stamp=stamp, part=position)


def _require_figures(act: SupplierBillAct) -> None:
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("A bill has 1 to %(most)s lines, not %(count)s.")
        raise BadBill(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")
    for name in ("total_minor", "freight_minor", "tax_minor", "retained_minor"):
        value = getattr(act, name)
        if not 0 <= value <= MOST_MINOR:
            message = _("%(value)s is no amount of a bill; it must lie between 0 and %(most)s minor units.")
            raise BadBill(message % {"value": value, "most": MOST_MINOR}, field=name)
    goods = sum(line.amount_minor for line in act.lines)
    added = goods + act.freight_minor + act.tax_minor
    if added != act.total_minor:
        message = _(
            "Lines, freight and tax make %(added)s minor units, the printed total is %(total)s: "
            "%(difference)s between them. Correct a line or the total."
        )
        params = {"added": added, "total": act.total_minor, "difference": act.total_minor - added}
        raise DoesNotAddUp(message % params, field="total_minor", **params)
    if act.retained_minor > act.total_minor or (act.retained_minor and act.retained_until is None):
        message = _("What is kept back is at most the total, and has the day on which it is released.")
        raise BadBill(message, field="retained_minor")


def head(act: SupplierBillAct, *, supplier: Supplier, actor: Actor, now: datetime) -> SupplierBill:
    """Return the row of a bill, not saved; refused for a number entered before, or impossible days."""
    number = texts.fitting(act.number, most=60, field="number")
    number_key = "".join(number.casefold().split())
    if not number_key:
        raise BadBill(_("Enter the number that is printed on the bill."), field="number")
    _require_dates(act, now=now)
    _require_new(number_key, act=act, supplier=supplier)
    due = act.due_date or act.dated + timedelta(days=supplier.credit_days)
    return SupplierBill(
        firm_id=actor.firm_id,
        supplier=supplier,
        kind=act.kind,
        of_bill=_about(act, supplier=supplier, actor=actor),
        number=number,
        number_key=number_key,
        year=act.dated.year,
        dated=act.dated,
        due_date=due,
        goods_minor=act.total_minor - act.freight_minor - act.tax_minor,
        freight_minor=act.freight_minor,
        tax_minor=act.tax_minor,
        tax_recoverable=act.tax_recoverable,
        total_minor=act.total_minor,
        retained_minor=act.retained_minor,
        retained_until=act.retained_until if act.retained_minor else None,
        recorded_by_id=actor.person_id,
        recorded_at=now,
    )


def _require_dates(act: SupplierBillAct, *, now: datetime) -> None:
    if act.dated > (now + moments.CLOCK_DOUBT).date():
        message = _("The bill is dated %(dated)s, in the future. Check the date.")
        raise BadBill(message % {"dated": act.dated.isoformat()}, field="dated")
    for name in ("due_date", "retained_until"):
        day = getattr(act, name)
        if day is not None and not act.dated <= day <= act.dated + LONGEST_CREDIT * 5:
            message = _("%(day)s lies before the date of the bill or more than five years after it.")
            raise BadBill(message % {"day": day.isoformat()}, field=name)


def _require_new(number_key: str, *, act: SupplierBillAct, supplier: Supplier) -> None:
    earlier = (
        SupplierBill.objects.filter(
            supplier=supplier, kind=act.kind, year=act.dated.year, number_key=number_key
        )
        .exclude(state=State.REJECTED)
        .first()
    )
    if earlier is not None:
        message = _(
            "%(supplier)s's number %(number)s was entered before, dated %(dated)s. It is not paid twice: "
            "open that one, or correct the number."
        )
        params = {"supplier": supplier.name, "number": earlier.number, "dated": earlier.dated.isoformat()}
        raise BilledTwice(message % params, field="number", bill_id=earlier.pk)


def _about(act: SupplierBillAct, *, supplier: Supplier, actor: Actor) -> SupplierBill | None:
    if act.kind not in Kind.values:
        raise BadBill(_("%(kind)s is neither bill, credit nor debit.") % {"kind": act.kind}, field="kind")
    if act.kind == Kind.BILL:
        if act.of_bill_id is not None:
            raise BadBill(_("Only a credit or debit note is about another bill."), field="of_bill_id")
        return None
    if act.of_bill_id is None:
        raise BadBill(_("Choose the bill that the note is about."), field="of_bill_id")
    bill: SupplierBill = scope.get(SupplierBill.objects.select_for_update(), actor, pk=act.of_bill_id)
    if (bill.supplier_id, bill.kind, bill.state) != (supplier.pk, Kind.BILL, State.ACCEPTED):
        message = _("A note is about an accepted bill of the same supplier; %(number)s is none.")
        raise BadBill(message % {"number": bill.number}, field="of_bill_id")
    if act.kind == Kind.CREDIT and act.total_minor > bill.total_minor:
        message = _("A credit of %(total)s minor units is more than the bill of %(most)s.")
        raise BadBill(message % {"total": act.total_minor, "most": bill.total_minor}, field="total_minor")
    return bill
