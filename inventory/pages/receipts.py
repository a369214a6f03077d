from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import phone, receipt_papers, stores
from inventory.pages.receipt_forms import HEAD, FreeDeliveryForm, OrderDeliveryForm
from inventory.pages.stock_forms import ReasonForm
from inventory.queries import deliveries, slips
from inventory.services import deliveries as service
from inventory.services import papers as with_photo
from inventory.services.deliveries import ReceiptAct, ReverseAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.queries import sites


@doors.with_permission(Permission.RECORD_RECEIPTS)
@require_safe
def expected(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "orders": deliveries.expected(actor, today=timezone.localdate()),
        "buys": actor.can(Permission.BUY_FOR_CASH),
        "crumbs": [{"url": reverse("inventory:receipts"), "label": _("Receipts")}],
        "title_block": {"document": _("Expected deliveries")},
    }
    return render(request, "inventory/expected.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def of_order(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = deliveries.expected_order(actor, order_id=order_id, today=timezone.localdate())
    order = found.order

    def form(*args: Any, **kwargs: Any) -> OrderDeliveryForm:
        made = OrderDeliveryForm(*args, expected=found, locale=actor.locale, **kwargs)
        made.title_block = {"site": order.site.name, "document": order.number}
        return made

    def act(typed: dict[str, Any]) -> ReceiptAct:
        whole = {name: typed[name] for name in HEAD}
        return ReceiptAct(site_id=order.site_id, supplier_id=order.supplier_id, order_id=order.pk, **whole)

    def do(act: ReceiptAct, typed: dict[str, Any], **how: Any) -> Any:
        return recorded(request, act=act, photo=typed["photo"], **how)

    sheet = acting.Sheet(
        heading=_("Delivery of %s") % order.number,
        lead=_("%(supplier)s, to %(site)s") % {"supplier": order.supplier.name, "site": order.site.name},
        button=_("Record these quantities"),
        said=_("The receipt is recorded; the store has it."),
        back=reverse("inventory:expected"),
        template="inventory/receipt_of_order.html",
    )
    writing = phone.Writing(act, do, page_of)
    return phone.page(request, sheet=sheet, form=form, writing=writing)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def free(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    materials = slips.kept_materials(actor)
    sellers = [(row.pk, row.name) for row in deliveries.suppliers(actor, today=timezone.localdate())]
    own = [(row.pk, row.name) for row in sites.all_sites(actor)]

    def form(*args: Any, **kwargs: Any) -> FreeDeliveryForm:
        made = FreeDeliveryForm(*args, materials=materials, locale=actor.locale, **kwargs)
        made.title_block = {"document": _("Delivery without an order")}
        acting.offer(made, field="site_id", choices=own)
        acting.offer(made, field="supplier_id", choices=sellers)
        return made

    def act(typed: dict[str, Any]) -> ReceiptAct:
        return ReceiptAct(**{name: typed[name] for name in ("site_id", "supplier_id", *HEAD)})

    def do(act: ReceiptAct, typed: dict[str, Any], **how: Any) -> Any:
        return recorded(request, act=act, photo=typed["photo"], **how)

    sheet = acting.Sheet(
        heading=_("A delivery that was not ordered"),
        lead=_("It is recorded as it came and marked “not ordered” for the office."),
        button=_("Record receipt"),
        said=_("The receipt is recorded; the office sees that it was not ordered."),
        back=reverse("inventory:expected"),
        template="inventory/receipt_free.html",
    )
    initial = {"site_id": request.GET.get("site")}
    writing = phone.Writing(act, do, page_of)
    return phone.page(request, sheet=sheet, form=form, writing=writing, initial=initial)


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    note = request.GET.get("note", "").strip()
    context = {
        "page": deliveries.receipts(actor, note=note, after=request.GET.get("after", "")),
        "note": note,
        "may_receive": actor.can(Permission.RECORD_RECEIPTS),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Receipts")},
    }
    return render(request, "inventory/receipts.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, receipt_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = deliveries.receipt(actor, receipt_id=receipt_id)
    context = {
        "sheet": found,
        "receipt": found.receipt,
        "may_attach": actor.can(Permission.RECORD_RECEIPTS),
        "may_reverse": actor.can(Permission.RECORD_RECEIPTS) and found.receipt.reversed_at is None,
        "crumbs": stores.crumbs(found.receipt.site),
        "title_block": {"site": found.receipt.site.name, "document": found.receipt.number},
    }
    return render(request, "inventory/receipt.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def take_back(request: HttpRequest, receipt_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    receipt = deliveries.receipt(actor, receipt_id=receipt_id).receipt
    back = reverse("inventory:receipt", args=[receipt.pk])

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.reverse(actor=actor, act=ReverseAct(receipt_id=receipt.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back %s") % receipt.number,
        lead=_("Everything it brought leaves the store again. Record the right receipt afterwards."),
        button=_("Take the receipt back"),
        said=_("The receipt is taken back."),
        back=back,
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


def recorded(request: HttpRequest, *, act: ReceiptAct, photo: Any, **how: Any) -> Any:
    """Record a delivery with the photo of its note; what became of a photo that was not kept is said."""
    file = receipt_papers.sent(photo)
    receipt, refused = with_photo.record_with_photo(actor=doors.actor_of(request), act=act, photo=file, **how)
    if refused is not None:
        message = _("The photo was not kept: %s The receipt stands; send the photo again below.")
        messages.warning(request, message % refused.message)
    return receipt


def page_of(receipt: Any) -> str:
    return reverse("inventory:receipt", args=[receipt.pk])
