"""Opening stock from a workbook: the sheet to fill in, and its reading, whole or not at all."""

from __future__ import annotations

import uuid
from typing import Any

from babel.numbers import get_currency_precision
from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from estimates.calc.intake import cells, limits, xlsx_table
from estimates.calc.intake.found import Unreadable
from inventory.calc import opening_table
from inventory.calc.opening_table import Bad, Known
from inventory.documents import opening_sheet
from inventory.pages import stores, units
from inventory.queries import deliveries, slips, stock
from inventory.services import opening
from inventory.services.opening import OpeningAct, OpeningLineAct
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import doors
from projects.pages.forms import ActForm


class FileForm(ActForm):
    file = forms.FileField(
        label=gettext_lazy("The filled sheet, XLSX"),
        widget=forms.FileInput(
            attrs={"accept": ".xlsx,application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
        ),
    )


@doors.with_permission(Permission.SEE_MONEY)
def template(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    actor.require(Permission.MOVE_STOCK)
    site = stock.on_hand(actor, site_id=site_id, today=timezone.localdate()).site
    kept = slips.kept_materials(actor)
    content = opening_sheet.content(
        site=site.name,
        materials=[material.name for material in kept],
        units=sorted({unit.name for material in kept for unit in units.choices(material)}),
        suppliers=[row.name for row in deliveries.suppliers(actor, today=timezone.localdate())],
    )
    answer = HttpResponse(
        content, content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    )
    answer["Content-Disposition"] = f'attachment; filename="{opening_sheet.NAME}"'
    return answer


@doors.with_permission(Permission.SEE_MONEY)
def send(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    actor.require(Permission.MOVE_STOCK)
    site = stock.on_hand(actor, site_id=site_id, today=timezone.localdate()).site
    form = FileForm(request.POST, request.FILES) if request.method == "POST" else FileForm()
    if not form.is_bound or not form.is_valid():
        return _show(request, site=site, form=form, faults=(), status=422 if form.is_bound else 200)
    act, faults = _read(actor, site=site, content=form.cleaned_data["file"].read(limits.FILE_BYTES + 1))
    if act is not None:
        try:
            key = str(form.cleaned_data["key"])
            slip = opening.record(actor=actor, act=act, key=key, now=timezone.now())
        except (NotFound, NotAllowed):
            raise
        except Refused as refused:
            faults = (_refused(refused),)
        else:
            messages.success(request, _("The opening stock is recorded."))
            return redirect("inventory:slip", slip.pk)
    again = FileForm(initial={"key": uuid.uuid4()})
    return _show(request, site=site, form=again, faults=faults, status=422)


def _read(actor: Any, *, site: Any, content: bytes) -> tuple[OpeningAct | None, tuple[Bad, ...]]:
    if len(content) > limits.FILE_BYTES:
        message = _("The file is larger than %(most)s bytes; send the sheet alone.")
        return None, (
            Bad(line=0, column="", code="too_large", message=message % {"most": limits.FILE_BYTES}),
        )
    try:
        table = xlsx_table.read(content)[0]
    except Unreadable as unreadable:
        return None, tuple(
            Bad(line=one.line, column=one.column, code=one.code, message=one.message)
            for one in unreadable.faults
        )
    offered = {
        (material.name.casefold(), unit.name.casefold()): (material, unit)
        for material in slips.kept_materials(actor)
        for unit in units.choices(material)
    }
    sellers = {row.name.casefold(): row.pk for row in deliveries.suppliers(actor, today=timezone.localdate())}
    rows = [(row.line, [cells.text_of(cell) for cell in row.cells]) for row in table.rows]
    by_material: dict[str, list[str]] = {}
    for name, unit_name in offered:
        by_material.setdefault(name, []).append(unit_name)
    known = Known(
        units=by_material,
        suppliers=tuple(sellers),
        currency_places=get_currency_precision(actor.currency),
    )
    good, bad = opening_table.read(rows, known=known)
    unsaved = tuple(
        Bad(line=one.line, column=one.column, code=one.code, message=one.message) for one in table.faults
    )
    if bad or unsaved:
        return None, (*unsaved, *bad)
    lines = tuple(
        OpeningLineAct(
            material_id=offered[one.material, one.unit][0].pk,
            amount=one.amount,
            value_minor=one.value_minor,
            supplier_id=sellers.get(one.supplier),
            lot_label=one.lot,
            made_date=one.made,
            **offered[one.material, one.unit][1].act,
        )
        for one in good
    )
    return OpeningAct(site_id=site.pk, happened_at=None, lines=lines), ()


def _refused(refused: Refused) -> Bad:
    line = refused.params.get("line")
    where = _("of its line %s: ") % line if line else ""
    return Bad(line=0, column="", code=refused.code, message=f"{where}{refused.message}")


def _show(request: HttpRequest, *, site: Any, form: Any, faults: Any, status: int) -> HttpResponse:
    context = {
        "site": site,
        "form": form,
        "faults": faults,
        "back": reverse("inventory:store", args=[site.pk]),
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name, "document": _("Opening stock")},
    }
    return render(request, "inventory/opening_file.html", context, status=status)
