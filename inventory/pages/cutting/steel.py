from __future__ import annotations

import io
from typing import Any

import segno
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.pages.cutting import rows
from inventory.queries.cutting import offcuts, pieces
from projects.access.permissions import Permission
from projects.pages import doors
from projects.queries import sites

PPM_PERCENT = 10_000


@doors.signed_in
@require_safe
def store(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = sites.one(actor, site_id=site_id)
    found = offcuts.steel_of(actor, site_id=site_id, today=timezone.localdate())
    context = {
        "site": site,
        "bars": [_row(row) for row in found if not row.offcut],
        "offcuts": [_row(row) for row in found if row.offcut],
        "pieces": pieces.at_bench_of_site(actor, site_id=site_id),
        "may_plan": actor.can(Permission.PLAN_CUTTING),
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name, "document": _("Steel")},
    }
    return render(request, "inventory/cutting/steel.html", context)


@doors.signed_in
@require_safe
def offcut(request: HttpRequest, lot_id: int) -> HttpResponse:
    return _offcut(request, lot_id=lot_id, template="inventory/cutting/offcut.html")


@doors.signed_in
@require_safe
def label(request: HttpRequest, lot_id: int) -> HttpResponse:
    return _offcut(request, lot_id=lot_id, template="inventory/cutting/label.html")


def _offcut(request: HttpRequest, *, lot_id: int, template: str) -> HttpResponse:
    actor = doors.actor_of(request)
    lot, there = offcuts.offcut(actor, lot_id=lot_id, today=timezone.localdate())
    address = request.build_absolute_uri(reverse("inventory:offcut", args=[lot.pk]))
    context = {
        "lot": lot,
        "length": rows.metres(lot.bar_length_mm),
        "there": [_row(row) for row in there],
        "bars": sum(row.bars for row in there),
        "code": _code(address),
        "address": address,
        "crumbs": stores.crumbs(there[0].place.site) if there else stores.crumbs(),
        "title_block": {"document": lot.label},
    }
    return render(request, template, context)


def _code(address: str) -> str:
    """Draw the QR code of an address as SVG without styles, as the CSP asks."""
    drawn = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        drawn, kind="svg", xmldecl=False, svgns=True, scale=4, border=2, svgclass="code", lineclass=None
    )
    return mark_safe(drawn.getvalue().decode())  # noqa: S308 - paths and numbers from the library, no text


def _row(row: Any) -> dict[str, Any]:
    return {
        "row": row,
        "lot": row.lot,
        "length": rows.metres(row.lot.bar_length_mm) if row.lot.bar_length_mm else "",
        "deviation": None if row.deviation_ppm is None else row.deviation_ppm / PPM_PERCENT,
        "words": row.words,
    }
