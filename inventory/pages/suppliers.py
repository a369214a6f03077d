from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import order_forms, showing, supplier_terms
from inventory.queries import suppliers as rows
from inventory.services import suppliers
from projects.access.permissions import Permission
from projects.errors import NotAllowed
from projects.pages import acting, doors


def require_reader(request: HttpRequest) -> Any:
    """Let in the office and the owner; the site has its orders."""
    actor = doors.actor_of(request)
    if not (actor.can(Permission.PLAN_ORDERS) or actor.can(Permission.APPROVE_ORDERS)):
        raise NotAllowed(_("Suppliers and the plan are the office's. Your orders are under Orders."))
    return actor


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = require_reader(request)
    context = {
        "suppliers": rows.listing(actor),
        "may_edit": actor.can(Permission.EDIT_SUPPLIERS),
        "title_block": {"document": _("Suppliers")},
    }
    return render(request, "inventory/suppliers.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = require_reader(request)
    supplier = rows.one(actor, supplier_id)
    offers = [
        {
            "offer": row.offer,
            "holds": row.holds,
            "over": row.over,
            "choice": row.choice,
            "shown": showing.material(row.offer.material),
            "price_minor": showing.minor(row.offer.pack_price),
            "breaks": [
                {"from_packs": one.from_packs, "price_minor": showing.minor(one.pack_price)}
                for one in row.offer.breaks.all()
            ],
        }
        for row in rows.offers(actor, supplier, on=timezone.localdate())
    ]
    context = {
        "supplier": supplier,
        "offers": offers,
        "terms": supplier_terms.told(supplier),
        "may_edit": actor.can(Permission.EDIT_SUPPLIERS),
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [{"url": reverse("inventory:suppliers"), "label": _("Suppliers")}],
        "title_block": {"document": supplier.name},
    }
    return render(request, "inventory/supplier.html", context)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return suppliers.add(actor=actor, act=suppliers.SupplierAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Add a supplier"),
        button=_("Add the supplier"),
        said=_("The supplier is added. Enter what they offer next."),
        back=reverse("inventory:suppliers"),
    )
    return acting.page(request, sheet=sheet, form=order_forms.SupplierForm, do=do, done=_page_of)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def change(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    supplier = rows.one(actor, supplier_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = suppliers.SupplierChange(supplier_id=supplier.pk, **typed)
        return suppliers.change(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Change %(name)s") % {"name": supplier.name},
        button=_("Save the changes"),
        said=_("The changes are saved."),
        back=_page_of(supplier),
    )
    initial = {
        name: getattr(supplier, name)
        for name in ("name", "phone", "email", "credit_days", "ended_date", "is_client")
    }
    return acting.page(request, sheet=sheet, form=order_forms.SupplierChangeForm, do=do, initial=initial)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def offer(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    supplier = rows.one(actor, supplier_id)
    packs = {pack.pk: pack for pack in rows.packs(actor)}
    made = supplier_terms.offer_form(actor.currency)

    def form(*args: Any, **kwargs: Any) -> Any:
        filled = made(*args, locale=actor.locale, **kwargs)
        acting.offer(filled, field="pack_id", choices=pack_choices(packs.values()))
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        material_id = packs[typed["pack_id"]].material_id
        breaks = supplier_terms.breaks_of(typed)
        act = suppliers.OfferAct(supplier_id=supplier.pk, material_id=material_id, breaks=breaks, **typed)
        return suppliers.set_offer(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("What %(name)s offers") % {"name": supplier.name},
        lead=_("A price holds from its date on, until a later one. The same date again corrects it."),
        button=_("Save the offer"),
        said=_("The offer is saved; the plan is being worked out again."),
        back=_page_of(supplier),
    )
    initial = {"from_date": timezone.localdate(), "minimum_packs": 1, "lead_days": 1}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)


def pack_choices(packs: Any) -> list[tuple[Any, str]]:
    """Name each pack with its material, for a choice."""
    return [(pack.pk, f"{pack.material.name} – {pack.name}") for pack in packs]


def _page_of(supplier: Any) -> str:
    return reverse("inventory:supplier", args=[supplier.pk])
