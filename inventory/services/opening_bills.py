"""Suppliers' bills that were unpaid when the firm began here: owed and aged, with no delivery behind them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from inventory.models import Supplier, SupplierBill
from inventory.services import firm_days, payments, supplier_bills
from inventory.services.payments import PartAct, PaymentAct
from inventory.services.supplier_bills import MOST_MINOR, SupplierBillAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act


class BadOwed(Refused):
    """A bill of nothing, or one that is paid in full."""

    code = "bad_owed_bill"


@dataclass(frozen=True, kw_only=True)
class OwedBillAct:
    """A bill as printed, in minor units, and what was paid on it; without a due date by the credit days."""

    supplier_id: int
    number: str
    dated: date
    total_minor: int
    paid_minor: int = 0
    due_date: date | None = None


@business_act(result=SupplierBill)
def record(*, actor: Actor, act: OwedBillAct, key: str, now: datetime) -> SupplierBill:
    """Enter an unpaid bill from before: it is accepted as it is, and changes no stock and no slab.

    Refused for a bill of nothing or paid in full, and as any bill is: number entered before, impossible days.
    """
    del key
    return put(actor=actor, act=act, now=now)


def put(*, actor: Actor, act: OwedBillAct, now: datetime) -> SupplierBill:
    """Enter it inside the caller's act; refuses as `record` does."""
    actor.require(Permission.ENTER_SUPPLIER_BILLS)
    supplier = scope.get(Supplier.objects.select_for_update(no_key=True), actor, pk=act.supplier_id)
    if not 0 < act.total_minor <= MOST_MINOR:
        message = _("%(total)s is no amount of a bill; it must lie between 1 and %(most)s minor units.")
        raise BadOwed(message % {"total": act.total_minor, "most": MOST_MINOR}, field="total_minor")
    if not 0 <= act.paid_minor < act.total_minor:
        message = _("%(paid)s of %(total)s minor units are paid. Leave out a bill of which nothing is owed.")
        params = {"paid": act.paid_minor, "total": act.total_minor}
        raise BadOwed(message % params, field="paid_minor")
    printed = SupplierBillAct(
        supplier_id=supplier.pk,
        number=act.number,
        dated=act.dated,
        due_date=act.due_date,
        total_minor=act.total_minor,
        lines=(),
    )
    bill = supplier_bills.head(printed, supplier=supplier, actor=actor, now=now)
    bill.state, bill.opening = SupplierBill.State.ACCEPTED, True
    bill.save()
    if act.paid_minor:
        _pay(bill, paid_minor=act.paid_minor, actor=actor, now=now)
    return bill


def _pay(bill: SupplierBill, *, paid_minor: int, actor: Actor, now: datetime) -> None:
    """Record what was paid before as one payment of today, which its reference says."""
    actor.require(Permission.PAY_SUPPLIERS)
    paid = PaymentAct(
        supplier_id=bill.supplier_id,
        paid_date=firm_days.of(now, actor=actor),
        amount_minor=paid_minor,
        parts=(PartAct(bill.pk, paid_minor),),
        reference=_("paid before the opening"),
    )
    payments.put(actor=actor, act=paid, now=now)
