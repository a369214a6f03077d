from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from estimates.calc.steel.bending import Row
from estimates.calc.steel.lengths import OfSize
from estimates.documents import bars as bars_document
from estimates.pages import tables
from estimates.pages.boxes.steel import WORDS
from estimates.queries import bending
from estimates.queries.bending import BendingSheet
from projects.pages import doors

PIXELS_PER_UNIT = 0.8
"""Size of a figure on the page, the same for all shapes, so that their letters are of one height."""


@doors.signed_in
@require_safe
def schedule(request: HttpRequest, design_id: int) -> HttpResponse:
    """The bar bending schedule: figures of the shapes, a row for every mark, sums by size."""
    sheet = bending.of_design(doors.actor_of(request), design_id=design_id)
    design = sheet.design
    context = {
        "design": design,
        "profile": sheet.profile,
        "table": sheet.table,
        "figures": sheet.figures,
        "rows": [_row(row, sheet=sheet) for row in sheet.table.rows],
        "lengths": [_lengths(row) for row in sheet.lengths],
        "crumbs": [
            {"url": reverse("estimates:slabs"), "label": _("Slabs")},
            {"url": reverse("estimates:slab", args=[design.slab_id]), "label": design.slab.name},
            {
                "url": reverse("estimates:design", args=[design.pk]),
                "label": _("Take-off of design %s") % design.number,
            },
        ],
        "title_block": {
            "site": design.slab.site.name,
            "slab": design.slab.name,
            "drawing": design.drawing.number,
            "revision": design.drawing.revision,
            "edition": sheet.edition,
            "document": _("Bar bending schedule"),
        },
    }
    return render(request, "estimates/bars.html", context)


@doors.signed_in
@require_safe
def file(request: HttpRequest, design_id: int, kind: str) -> HttpResponse:
    """The bar bending schedule to keep: as PDF, as XLSX, or as CSV."""
    actor = doors.actor_of(request)
    sheet = bending.of_design(actor, design_id=design_id)
    content = bars_document.file(actor, sheet=sheet, kind=kind, at=timezone.now())
    return tables.file(f"bars-{design_id}.{kind}", content=content)


def _lengths(row: OfSize) -> dict[str, Any]:
    """A size with its rounded lengths, and the working behind its lap."""
    names = ("anchorage", "anchorage_top", "lap", "lap_top")
    steps = {name: getattr(row, name) for name in names}
    found: dict[str, Any] = {
        name: None if step is None else round(step.value) for name, step in steps.items()
    }
    if row.lap is not None:
        found["working"] = {
            "formula": row.lap.formula,
            "net": row.lap.value,
            "unit": row.lap.unit,
            "inputs": row.lap.inputs,
            "method": row.lap.name,
            "source": row.lap.source,
        }
    return found | {"name": row.name, "why": row.why}


def _row(row: Row, *, sheet: BendingSheet) -> dict[str, Any]:
    """A row with its figures in the table's columns, and the working behind its mass."""
    figure = sheet.figures.get(row.shape)
    return {
        "row": row,
        "shape": dict(WORDS).get(row.shape, row.shape),
        "figure": figure,
        "width": round(figure.width * PIXELS_PER_UNIT) if figure else 0,
        "height": round(figure.height * PIXELS_PER_UNIT) if figure else 0,
        "sides": [(letter, row.dimensions.get(letter)) for letter in sheet.table.letters],
        "working": {
            "formula": row.formula,
            "net": row.mass_kg,
            "unit": "kg",
            "inputs": row.inputs,
            "method": row.method,
            "source": row.source,
        },
    }
