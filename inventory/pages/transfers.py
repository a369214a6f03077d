from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.pages.stock_forms import ReasonForm
from inventory.pages.transfer_forms import ArrivalForm, DispatchForm
from inventory.queries import on_road, stock
from inventory.services import transfers as service
from inventory.services.transfers import ArrivalAct, CallBackAct, DispatchAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import MoneyField
from projects.queries import sites

KINDS = {"on_road": "warning", "received": "enough", "called_back": "none"}


SENT = ("to_site_id", "happened_at", "sure_of_time", "lines", "vehicle", "remark")
"""What the form of a dispatch gives, under the names of the act."""


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    page = on_road.listing(actor, after=request.GET.get("after", ""))
    context = {
        "page": page,
        "transfers": [{"transfer": row, "kind": KINDS[row.state]} for row in page.rows],
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Transfers")},
    }
    return render(request, "inventory/transfers.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, transfer_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    sheet = on_road.one(actor, transfer_id=transfer_id)
    transfer = sheet.transfer
    may = actor.can(Permission.MOVE_STOCK)
    context = {
        "sheet": sheet,
        "transfer": transfer,
        "kind": KINDS[transfer.state],
        "money": actor.can(Permission.SEE_MONEY),
        "may_receive": sheet.may_receive and may,
        "may_call_back": sheet.may_call_back and may,
        "crumbs": [*stores.crumbs(), {"url": reverse("inventory:transfers"), "label": _("Transfers")}],
        "title_block": {"site": transfer.to_site.name, "document": transfer.number},
    }
    return render(request, "inventory/transfer.html", context)


@doors.with_permission(Permission.MOVE_STOCK)
def send(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hand = stock.on_hand(actor, site_id=site_id, today=timezone.localdate(), empty=True)
    others = [(row.pk, row.name) for row in sites.of_firm(actor) if row.pk != hand.site.pk]

    def form(*args: Any, **kwargs: Any) -> DispatchForm:
        made = DispatchForm(*args, hand=hand, locale=actor.locale, choose_lot=True, **kwargs)
        made.title_block = {"site": hand.site.name}
        if actor.can(Permission.SEE_MONEY):
            freight = MoneyField(label=_("Freight paid for it"), currency=actor.currency, required=False)
            made.fields["freight_minor"] = freight
        made.settle(actor.locale)
        acting.offer(made, field="to_site_id", choices=others)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = {name: typed[name] for name in SENT}
        freight = typed.get("freight_minor") or 0
        act = DispatchAct(from_site_id=hand.site.pk, freight_minor=freight, **whole)
        return service.dispatch(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Send to another site"),
        lead=_("From the store of %s. It is on the road until the other store has counted it.")
        % hand.site.name,
        button=_("Send it"),
        said=_("The transfer is on the road; the other store receives it when it is there."),
        back=reverse("inventory:store", args=[hand.site.pk]),
        template="inventory/slip_form.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=_transfer)


@doors.with_permission(Permission.MOVE_STOCK)
def receive(request: HttpRequest, transfer_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    sent = on_road.one(actor, transfer_id=transfer_id)
    transfer = sent.transfer

    def form(*args: Any, **kwargs: Any) -> ArrivalForm:
        made = ArrivalForm(*args, sent=sent, locale=actor.locale, **kwargs)
        made.title_block = {"site": transfer.to_site.name, "document": transfer.number}
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = {name: typed[name] for name in ("happened_at", "sure_of_time", "lines")}
        act = ArrivalAct(transfer_id=transfer.pk, **whole)
        return service.receive(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Receive %s") % transfer.number,
        lead=_("Sent by %(origin)s. Count what is there; of what is missing, say what happened.")
        % {"origin": transfer.from_site.name},
        button=_("Take it into the store"),
        said=_("The transfer is received."),
        back=_transfer(transfer),
        template="inventory/transfer_arrival.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.with_permission(Permission.MOVE_STOCK)
def call_back(request: HttpRequest, transfer_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    transfer = on_road.one(actor, transfer_id=transfer_id).transfer

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.call_back(actor=actor, act=CallBackAct(transfer_id=transfer.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Call back %s") % transfer.number,
        lead=_("Everything it carries is in the store of %s again.") % transfer.from_site.name,
        button=_("Call the transfer back"),
        said=_("The transfer is called back."),
        back=_transfer(transfer),
    )
    return acting.page(request, sheet=sheet, form=ReasonForm, do=do)


def _transfer(transfer: Any) -> str:
    return reverse("inventory:transfer", args=[transfer.pk])
