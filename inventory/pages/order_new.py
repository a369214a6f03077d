from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.pages import order_forms, suppliers
from inventory.pages.order_forms import Offered, OrderForm
from inventory.queries import orders as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import orders
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.pages import acting, doors


@doors.with_permission(Permission.PLAN_ORDERS)
def write(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    packs = {pack.pk: pack for pack in supplier_rows.packs(actor)}
    made = order_forms.order_form(_offered(actor, packs=packs), rows=_row_count(request))

    def form(*args: Any, **kwargs: Any) -> OrderForm:
        filled = made(*args, locale=actor.locale, **kwargs)
        sites = [(site.pk, site.name) for site in supplier_rows.sites(actor)]
        sellers = [(one.pk, one.name) for one in supplier_rows.to_choose(actor, on=today)]
        acting.offer(filled, field="site_id", choices=sites)
        acting.offer(filled, field="supplier_id", choices=sellers)
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return orders.draft(actor=actor, act=_act(typed, numbers=made.NUMBERS, packs=packs), **how)

    sheet = acting.Sheet(
        heading=_("Write an order"),
        lead=_("Whole packs. A row without a price takes what the supplier asks today."),
        button=_("Save the draft"),
        said=_("The draft is saved. Approve it next."),
        back=reverse("inventory:orders"),
        template="inventory/order_new.html",
    )
    return acting.page(
        request, sheet=sheet, form=form, do=do, initial=_initial(request, today), done=_address
    )


def _offered(actor: Actor, *, packs: dict[int, Any]) -> Offered:
    pours = [(pour.pk, f"{pour.slab.site.name} – {pour}") for pour in rows.open_pours(actor)]
    return Offered(packs=suppliers.pack_choices(packs.values()), pours=pours, currency=actor.currency)


def _row_count(request: HttpRequest) -> int:
    typed = request.GET.get("rows", "")
    wanted = int(typed) if typed.isdecimal() and len(typed) < 4 else order_forms.ROWS
    return min(max(wanted, 1), order_forms.MOST_ROWS)


def _initial(request: HttpRequest, today: date) -> dict[str, Any]:
    return {
        "expected_date": today,
        "site_id": request.GET.get("site", ""),
        "supplier_id": request.GET.get("supplier", ""),
    }


def _act(typed: dict[str, Any], *, numbers: range, packs: dict[int, Any]) -> orders.OrderAct:
    chosen = [(n, packs[typed[f"pack_{n}"]]) for n in numbers if typed[f"pack_{n}"]]
    lines = tuple(
        orders.LineAct(
            material_id=pack.material_id,
            pack_id=pack.pk,
            packs=typed[f"packs_{n}"],
            pack_price=typed[f"price_{n}"],
            pour_id=typed[f"pour_{n}"],
        )
        for n, pack in chosen
    )
    return orders.OrderAct(
        site_id=typed["site_id"],
        supplier_id=typed["supplier_id"],
        expected_date=typed["expected_date"],
        lines=lines,
        freight_minor=typed["freight_minor"],
    )


def _address(order: Any) -> str:
    return reverse("inventory:order", args=[order.pk])
