from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from inventory.pages import order_change_forms, suppliers
from inventory.pages.order_forms import Offered
from inventory.queries import orders as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import order_changes
from inventory.services.order_changes import AmendAct, ExpectAct, TellAct
from projects.access.permissions import Permission
from projects.pages import acting, doors


@doors.signed_in
def amend(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    if not actor.can(Permission.PLAN_ORDERS):
        actor.require(Permission.APPROVE_LARGE_ORDERS)
    order = rows.one(actor, order_id)
    packs = {pack.pk: pack for pack in supplier_rows.packs(actor)}
    lines = [line.row for line in rows.lines(actor, order)]
    offered = Offered(packs=suppliers.pack_choices(packs.values()), pours=[], currency=actor.currency)
    held: list[Any] = []

    def form(*args: Any, **kwargs: Any) -> Any:
        made = order_change_forms.AmendForm(*args, rows=lines, offered=offered, locale=actor.locale, **kwargs)
        held.append(made)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = AmendAct(
            order_id=order.pk,
            reason=typed["reason"],
            lines=held[-1].changes(),
            added=held[-1].added(packs),
            expected_date=typed["expected_date"],
        )
        return order_changes.amend(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Amend %(number)s") % {"number": order.number},
        lead=_("The amended order is a new version. A supplier who has it by mail is told the difference."),
        button=_("Amend the order"),
        said=_("The order is amended; the plan is being worked out again."),
        back=_address(order),
        template="inventory/order_amend.html",
    )
    initial = {"expected_date": order.expected_date}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def expect(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    order = rows.one(actor, order_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return order_changes.expect(actor=actor, act=ExpectAct(order_id=order.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("%(number)s comes on another day") % {"number": order.number},
        button=_("Move the day"),
        said=_("The day is moved; the plan is being worked out again."),
        back=_address(order),
    )
    initial = {"expected_date": order.expected_date}
    return acting.page(request, sheet=sheet, form=order_change_forms.ExpectForm, do=do, initial=initial)


@doors.with_permission(Permission.PLAN_ORDERS)
def tell(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    order = rows.one(actor, order_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return order_changes.tell(actor=actor, act=TellAct(order_id=order.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("%(number)s was given without a mail") % {"number": order.number},
        lead=_("It counts as sent, and no mail leaves for it."),
        button=_("Record that it was given"),
        said=_("The order is marked as sent."),
        back=_address(order),
    )
    return acting.page(request, sheet=sheet, form=order_change_forms.TellForm, do=do)


def _address(order: Any) -> str:
    return reverse("inventory:order", args=[order.pk])
