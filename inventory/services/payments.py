"""Payments to suppliers: against accepted bills, or in advance; taken back when wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Sum
from django.utils.translation import gettext as _

from inventory.calc import owing
from inventory.models import Payment, PaymentPart, Supplier, SupplierBill
from inventory.services import moments, texts
from inventory.services.supplier_bills import MOST_MINOR
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm
from projects.services import numbers
from projects.services.acts import business_act

State, Kind = SupplierBill.State, SupplierBill.Kind


class BadPayment(Refused):
    """A payment of nothing, on a day to come, or with parts that are more than it."""

    code = "bad_payment"


class NotPayable(Refused):
    """The bill is not accepted, or less is open on it than shall be paid."""

    code = "not_payable"
    status = 409


@dataclass(frozen=True)
class PartAct:
    """The part of a payment, in minor units, that settles a bill."""

    bill_id: int
    amount_minor: int


@dataclass(frozen=True, kw_only=True)
class PaymentAct:
    """A payment in minor units; what no bill is named for is an advance."""

    supplier_id: int
    paid_date: date
    amount_minor: int
    parts: tuple[PartAct, ...] = ()
    reference: str = ""


@dataclass(frozen=True)
class UseAdvanceAct:
    """What was paid in advance and now settles bills."""

    payment_id: int
    parts: tuple[PartAct, ...]


@dataclass(frozen=True)
class TakeBackAct:
    """A payment that was wrong, and why."""

    payment_id: int
    reason: str


@business_act(result=Payment)
def pay(*, actor: Actor, act: PaymentAct, key: str, now: datetime) -> Payment:
    """Record a payment and the bills that it settles; the rest stays as an advance.

    Refused above what is open on a bill (`not_payable`), and for a payment of nothing or in the future.
    """
    del key
    actor.require(Permission.PAY_SUPPLIERS)
    return put(actor=actor, act=act, now=now)


def put(*, actor: Actor, act: PaymentAct, now: datetime) -> Payment:
    """Write a payment inside the caller's act; refuses as `pay` does."""
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    if not 0 < act.amount_minor <= MOST_MINOR:
        message = _("%(amount)s is no payment; it must lie between 1 and %(most)s minor units.")
        params = {"amount": act.amount_minor, "most": MOST_MINOR}
        raise BadPayment(message % params, field="amount_minor")
    if act.paid_date > (now + moments.CLOCK_DOUBT).date():
        message = _("%(day)s lies in the future; a payment is recorded when it is made.")
        raise BadPayment(message % {"day": act.paid_date.isoformat()}, field="paid_date")
    payment = Payment.objects.create(
        firm_id=actor.firm_id,
        supplier=supplier,
        number=numbers.next_number(firm_id=actor.firm_id, kind="PY", now=now),
        paid_date=act.paid_date,
        amount_minor=act.amount_minor,
        reference=texts.fitting(act.reference, most=60, field="reference"),
        recorded_by_id=actor.person_id,
        recorded_at=now,
    )
    _settle(payment, parts=act.parts, actor=actor)
    return payment


@business_act(result=Payment)
def use_advance(*, actor: Actor, act: UseAdvanceAct, key: str, now: datetime) -> Payment:
    """Settle bills with what is left of an earlier payment; refused above what is left or open."""
    del key, now
    actor.require(Permission.PAY_SUPPLIERS)
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    payment = scope.get(Payment.objects.select_for_update(), actor, pk=act.payment_id)
    if payment.reversed_at is not None:
        raise BadPayment(_("Payment %(number)s was taken back.") % {"number": payment.number})
    _settle(payment, parts=act.parts, actor=actor)
    return payment


@business_act(result=Payment)
def take_back(*, actor: Actor, act: TakeBackAct, key: str, now: datetime) -> Payment:
    """Take a payment back as a whole: what it settled is open again; refused without a reason or twice."""
    del key
    actor.require(Permission.PAY_SUPPLIERS)
    payment = scope.get(Payment.objects.select_for_update(), actor, pk=act.payment_id)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise BadPayment(_("Say why the payment is taken back; it stays on record."), field="reason")
    if payment.reversed_at is not None:
        raise BadPayment(_("Payment %(number)s was taken back before.") % {"number": payment.number})
    payment.reversed_at, payment.reverse_reason = now, reason
    payment.save(update_fields=["reversed_at", "reverse_reason"])
    return payment


def open_minor(bill: SupplierBill) -> int:
    """Return what is still to be paid of an accepted bill, retention and notes on it counted in."""
    paid = PaymentPart.objects.filter(bill=bill, payment__reversed_at=None).aggregate(all=Sum("amount_minor"))
    notes = bill.notes.filter(state=State.ACCEPTED).values_list("kind", "total_minor")
    return owing.still_open(bill.total_minor, notes=list(notes), paid=paid["all"] or 0)


def _settle(payment: Payment, *, parts: Sequence[PartAct], actor: Actor) -> None:
    used = payment.parts.aggregate(all=Sum("amount_minor"))["all"] or 0
    asked = sum(part.amount_minor for part in parts)
    if asked > payment.amount_minor - used:
        message = _("The parts make %(asked)s minor units; %(left)s of the payment are left.")
        params = {"asked": asked, "left": payment.amount_minor - used}
        raise BadPayment(message % params, field="parts")
    for position, part in enumerate(parts, start=1):
        with texts.at_line(position):
            _pay_part(payment, part=part, actor=actor)


def _pay_part(payment: Payment, *, part: PartAct, actor: Actor) -> None:
    bill = scope.get(SupplierBill.objects.select_for_update(), actor, pk=part.bill_id)
    left = open_minor(bill) if (bill.state, bill.kind) == (State.ACCEPTED, Kind.BILL) else 0
    if bill.supplier_id != payment.supplier_id or not 0 < part.amount_minor <= left:
        message = _(
            "%(amount)s minor units cannot be paid on bill %(number)s: %(left)s are open on it. "
            "A held bill is settled first."
        )
        params = {"amount": part.amount_minor, "number": bill.number, "left": left}
        raise NotPayable(message % params, field="parts", bill_id=bill.pk, left=left)
    row, made = PaymentPart.objects.get_or_create(
        payment=payment, bill=bill, defaults={"amount_minor": part.amount_minor}
    )
    if not made:
        row.amount_minor += part.amount_minor
        row.save(update_fields=["amount_minor"])
