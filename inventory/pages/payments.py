from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import bill_forms, supplier_bills
from inventory.pages.stock_forms import ReasonForm
from inventory.queries import supplier_bills as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import payments as service
from inventory.services.payments import PartAct, PaymentAct, TakeBackAct
from projects.access.permissions import Permission
from projects.pages import acting, doors, figures


@doors.with_permission(Permission.PAY_SUPPLIERS)
def of_bill(request: HttpRequest, supplier_bill_id: int) -> HttpResponse:
    """Pay a bill: filled with what is open on it."""
    actor = doors.actor_of(request)
    row = rows.one(actor, bill_id=supplier_bill_id).row
    bill = row.bill
    form = bill_forms.payment_form(actor.currency)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        part = PartAct(bill_id=bill.pk, amount_minor=typed["amount_minor"])
        act = PaymentAct(supplier_id=bill.supplier_id, parts=(part,), **_paid(typed))
        return service.pay(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Pay bill %s") % bill.number,
        lead=_("%(supplier)s; due on %(day)s.")
        % {"supplier": bill.supplier.name, "day": bill.due_date.isoformat()},
        button=_("Record the payment"),
        said=_("The payment is recorded."),
        back=supplier_bills.page_of(bill),
    )
    initial = {"amount_minor": max(row.open_minor, 0), "paid_date": timezone.localdate()}
    return acting.page(request, sheet=sheet, form=_localised(form, actor=actor), do=do, initial=initial)


@doors.with_permission(Permission.PAY_SUPPLIERS)
def advance(request: HttpRequest, supplier_id: int) -> HttpResponse:
    """Pay a supplier in advance."""
    actor = doors.actor_of(request)
    supplier = supplier_rows.one(actor, supplier_id)
    form = bill_forms.payment_form(actor.currency)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.pay(actor=actor, act=PaymentAct(supplier_id=supplier.pk, **_paid(typed)), **how)

    sheet = acting.Sheet(
        heading=_("Pay %s in advance") % supplier.name,
        lead=_("It stands as an advance until it settles a bill."),
        button=_("Record the payment"),
        said=_("The advance is recorded."),
        back=reverse("inventory:payments", args=[supplier.pk]),
    )
    initial = {"paid_date": timezone.localdate()}
    return acting.page(request, sheet=sheet, form=_localised(form, actor=actor), do=do, initial=initial)


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def listing(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    supplier = supplier_rows.one(actor, supplier_id)
    context = {
        "supplier": supplier,
        "payments": [
            {"payment": row, "advance_minor": row.amount_minor - row.used}
            for row in rows.payments(actor, supplier_id=supplier.pk)[: rows.MOST_ROWS]
        ],
        "may_pay": actor.can(Permission.PAY_SUPPLIERS),
        "crumbs": [
            *supplier_bills.crumbs(),
            {"url": reverse("inventory:supplier", args=[supplier.pk]), "label": supplier.name},
        ],
        "title_block": {"document": _("Payments")},
    }
    return render(request, "inventory/payments.html", context)


@doors.with_permission(Permission.PAY_SUPPLIERS)
def use_advance(request: HttpRequest, payment_id: int, supplier_bill_id: int) -> HttpResponse:
    """Settle a bill with what is left of a payment."""
    actor = doors.actor_of(request)
    row = rows.one(actor, bill_id=supplier_bill_id).row
    payment = rows.payment(actor, payment_id=payment_id)
    form = bill_forms.amount_form(actor.currency)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        part = PartAct(bill_id=row.bill.pk, amount_minor=typed["amount_minor"])
        act = service.UseAdvanceAct(payment_id=payment.pk, parts=(part,))
        return service.use_advance(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Settle %s with an advance") % row.bill.number,
        lead=_("Of payment %s, paid in advance.") % payment.number,
        button=_("Settle with the advance"),
        said=_("The advance settles the bill."),
        back=supplier_bills.page_of(row.bill),
    )
    left = payment.amount_minor - payment.used
    initial = {"amount_minor": max(min(left, row.open_minor), 0)}
    return acting.page(request, sheet=sheet, form=_localised(form, actor=actor), do=do, initial=initial)


@doors.with_permission(Permission.PAY_SUPPLIERS)
def take_back(request: HttpRequest, payment_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    payment = rows.payment(actor, payment_id=payment_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.take_back(actor=actor, act=TakeBackAct(payment_id=payment.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Take back payment %s") % payment.number,
        lead=_("What it settled is open again. Record the right payment afterwards."),
        button=_("Take the payment back"),
        said=_("The payment is taken back."),
        back=reverse("inventory:payments", args=[payment.supplier_id]),
    )
    return acting.page(request, sheet=sheet, form=ReasonForm, do=do)


def _paid(typed: dict[str, Any]) -> dict[str, Any]:
    return {
        "amount_minor": typed["amount_minor"],
        "paid_date": typed["paid_date"],
        "reference": typed["reference"],
    }


def _localised(form: Any, *, actor: Any) -> Any:
    def made(*args: Any, **kwargs: Any) -> Any:
        filled = form(*args, **kwargs)
        filled.fields["amount_minor"].localise(figures.locale_for(actor.locale))
        return filled

    return made
