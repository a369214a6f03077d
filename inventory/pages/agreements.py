from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import order_change_forms, order_forms, showing, suppliers
from inventory.queries import agreements as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import agreements
from inventory.services.agreements import AgreementAct, CallOffAct, EndAct
from projects.access.permissions import Permission
from projects.pages import acting, doors


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    typed = request.GET.get("start", "0")
    start = int(typed) if typed.isdecimal() and len(typed) < 9 else 0
    found = rows.listing(actor, today=timezone.localdate(), start=start, count=rows.PAGE + 1)
    address = f"{reverse('inventory:agreements')}?start="
    context = {
        "agreements": [_listed(row) for row in found[: rows.PAGE]],
        "earlier": f"{address}{max(start - rows.PAGE, 0)}" if start else "",
        "later": f"{address}{start + rows.PAGE}" if len(found) > rows.PAGE else "",
        "may_agree": actor.can(Permission.EDIT_SUPPLIERS),
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [{"url": reverse("inventory:orders"), "label": _("Orders")}],
        "title_block": {"document": _("Rate agreements")},
    }
    return render(request, "inventory/agreements.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, agreement_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.one(actor, agreement_id, today=timezone.localdate())
    context = {
        **_listed(found),
        "calls": rows.calls(actor, found.row),
        "may_call": actor.can(Permission.CALL_OFF) and found.holds and found.left,
        "may_end": actor.can(Permission.EDIT_SUPPLIERS) and found.row.ended_at is None,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [
            {"url": reverse("inventory:orders"), "label": _("Orders")},
            {"url": reverse("inventory:agreements"), "label": _("Rate agreements")},
        ],
        "title_block": {"document": found.row.number},
    }
    return render(request, "inventory/agreement.html", context)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    made = order_change_forms.agreement_form(actor.currency)
    packs = supplier_rows.packs(actor)

    def form(*args: Any, **kwargs: Any) -> Any:
        filled = made(*args, locale=actor.locale, **kwargs)
        sellers = [(one.pk, one.name) for one in supplier_rows.to_choose(actor, on=today)]
        sites = [(site.pk, site.name) for site in supplier_rows.sites(actor)]
        acting.offer(filled, field="supplier_id", choices=sellers)
        acting.offer(filled, field="pack_id", choices=suppliers.pack_choices(packs))
        acting.offer(filled, field="site_id", choices=[("", _("every site")), *sites])
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return agreements.agree(actor=actor, act=AgreementAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Agree on a rate"),
        lead=_("A price for a total quantity until a day. The sites call off what they need of it."),
        button=_("Save the agreement"),
        said=_("The agreement is saved."),
        back=reverse("inventory:agreements"),
    )
    initial = {"from_date": today, "supplier_id": request.GET.get("supplier", "")}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial, done=_address)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def end(request: HttpRequest, agreement_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, agreement_id, today=timezone.localdate()).row

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return agreements.end(actor=actor, act=EndAct(agreement_id=row.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("End %(number)s") % {"number": row.number},
        lead=_("Nothing more is called off. What was called off stays ordered."),
        button=_("End the agreement"),
        said=_("The agreement is ended."),
        back=_address(row),
    )
    return acting.page(request, sheet=sheet, form=order_forms.ReasonForm, do=do)


@doors.with_permission(Permission.CALL_OFF)
def call_off(request: HttpRequest, agreement_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.one(actor, agreement_id, today=timezone.localdate())
    row = found.row

    def form(*args: Any, **kwargs: Any) -> Any:
        filled = order_change_forms.CallOffForm(*args, locale=actor.locale, **kwargs)
        sites = [one for one in supplier_rows.sites(actor) if row.site_id in {None, one.pk}]
        acting.offer(filled, field="site_id", choices=[(site.pk, site.name) for site in sites])
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return agreements.call_off(actor=actor, act=CallOffAct(agreement_id=row.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Call off %(material)s") % {"material": row.material.name},
        lead=_("%(supplier)s, by %(pack)s; %(left)s are left of %(total)s.")
        % {
            "supplier": row.supplier.name,
            "pack": row.pack.name,
            "left": found.left,
            "total": row.total_packs,
        },
        button=_("Order it"),
        said=_("The order is written. Above the limit it waits for the owner, else it is on its way."),
        back=_address(row),
    )
    initial = {"expected_date": timezone.localdate()}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial, done=_order)


def _listed(found: rows.AgreementRow) -> dict[str, Any]:
    row = found.row
    if row.ended_at is not None:
        state = ("none", _("ended"))
    elif found.holds:
        state = ("enough", _("holds")) if found.left else ("warning", _("all called off"))
    else:
        state = ("none", _("outside its days"))
    return {
        "agreement": row,
        "found": found,
        "kind": state[0],
        "words": state[1],
        "price_minor": showing.minor(row.pack_price),
    }


def _address(row: Any) -> str:
    return reverse("inventory:agreement", args=[row.pk])


def _order(order: Any) -> str:
    return reverse("inventory:order", args=[order.pk])
