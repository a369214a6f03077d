"""A load measured or weighed: first the material and the way, then its readings."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import measuring_words, receipts
from inventory.pages.measure_forms import MeasuredForm
from inventory.pages.receipt_forms import HEAD
from inventory.queries import deliveries, measuring
from inventory.services.deliveries import ReceiptAct
from projects.access.permissions import Permission
from projects.errors import NotFound
from projects.pages import acting, doors
from projects.queries import sites


@doors.with_permission(Permission.RECORD_RECEIPTS)
@require_safe
def choose(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    rows = [row for row in measuring.methods_of(actor) if len(row.methods) > 1]
    context = {
        "rows": rows,
        "order": request.GET.get("order", ""),
        "crumbs": [{"url": reverse("inventory:expected"), "label": _("Record receipt")}],
        "title_block": {"document": _("Measure or weigh a load")},
    }
    return render(request, "inventory/measure.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def load(request: HttpRequest, material_id: int, method: str) -> HttpResponse:
    actor = doors.actor_of(request)
    material = measuring.material(actor, material_id=material_id)
    way = measuring_words.find(material, code=method)
    if way is None:
        raise NotFound(_("%s is not measured so.") % material.name)
    orders = measuring.open_lines(actor, material_id=material.pk)
    own = [(row.pk, row.name) for row in sites.all_sites(actor)]
    sellers = [(row.pk, row.name) for row in deliveries.suppliers(actor, today=timezone.localdate())]

    unsaid = [("", _("as the order says"))] if orders else []

    def form(*args: Any, **kwargs: Any) -> MeasuredForm:
        made = MeasuredForm(
            *args, material=material, method=way, orders=orders, locale=actor.locale, **kwargs
        )
        made.title_block = {"document": _("Measured load")}
        acting.offer(made, field="site_id", choices=[*unsaid, *own])
        acting.offer(made, field="supplier_id", choices=[*unsaid, *sellers])
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = ReceiptAct(**{name: typed[name] for name in ("site_id", "supplier_id", "order_id", *HEAD)})
        return receipts.recorded(request, act=act, photo=typed["photo"], **how)

    sheet = acting.Sheet(
        heading=_("%(material)s: %(method)s") % {"material": material.name, "method": _(way.title)},
        lead=_("What was found follows from the readings. Mark those that were not measured."),
        button=_("Record receipt"),
        said=_("The receipt is recorded; the store has it."),
        back=reverse("inventory:measure"),
        template="inventory/receipt_measured.html",
    )
    initial = {"order_line": request.GET.get("line"), "site_id": request.GET.get("site")}
    return acting.page(request, sheet=sheet, form=form, do=do, done=receipts.page_of, initial=initial)
