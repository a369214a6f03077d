"""What a site began with from a workbook: the sheets to fill in, and their reading, whole or not at all."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.calc.intake import limits
from inventory.calc.opening_table import Bad
from inventory.documents import opening_sheet
from inventory.documents.opening_sheet import Names
from inventory.pages import opening_reading, stores, units
from inventory.queries import deliveries, slips, stock
from inventory.services import opening_book
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import doors
from projects.pages.forms import ActForm
from projects.queries import pours


class FileForm(ActForm):
    file = forms.FileField(
        label=gettext_lazy("The filled sheets, XLSX"),
        widget=forms.FileInput(
            attrs={"accept": ".xlsx,application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
        ),
    )


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def template(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    actor.require(Permission.MOVE_STOCK)
    site = stock.on_hand(actor, site_id=site_id, today=timezone.localdate()).site
    kept = slips.kept_materials(actor)
    planned = list(pours.of_site(actor, site_id=site.pk))
    names = Names(
        materials=[material.name for material in kept],
        units=sorted({unit.name for material in kept for unit in units.choices(material)}),
        suppliers=[row.name for row in deliveries.suppliers(actor, today=timezone.localdate())],
        packs=sorted({pack.name for material in kept for pack in material.packs.all()}),
        slabs=sorted({pour.slab.name for pour in planned}),
        pours=sorted({pour.name for pour in planned}),
    )
    answer = HttpResponse(
        opening_sheet.content(site=site.name, names=names),
        content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
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
    content = form.cleaned_data["file"].read(limits.FILE_BYTES + 1)
    act, faults = opening_reading.read(actor, site_id=site.pk, content=content)
    if act is not None:
        try:
            key = str(form.cleaned_data["key"])
            opening_book.record(actor=actor, act=act, key=key, now=timezone.now())
        except (NotFound, NotAllowed):
            raise
        except Refused as refused:
            faults = (_refused(refused),)
        else:
            messages.success(request, _("What the site began with is recorded."))
            return redirect("inventory:store", site.pk)
    again = FileForm(initial={"key": uuid.uuid4()})
    return _show(request, site=site, form=again, faults=faults, status=422)


def _refused(refused: Refused) -> Bad:
    line, part = refused.params.get("line"), refused.params.get("part")
    sheet = opening_reading.place_of(refused)
    if sheet and sheet != opening_reading.STOCK:
        where = _("%(part)s of this sheet: ") % {"part": part}
    else:
        where = _("of its line %s: ") % line if line else ""
    return Bad(sheet=sheet, line=0, column="", code=refused.code, message=f"{where}{refused.message}")


def _show(request: HttpRequest, *, site: Any, form: Any, faults: Any, status: int) -> HttpResponse:
    context = {
        "site": site,
        "form": form,
        "faults": faults,
        "back": reverse("inventory:store", args=[site.pk]),
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name, "document": _("Opening")},
    }
    return render(request, "inventory/opening_file.html", context, status=status)
