from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.calc.cut_fit import Reason
from inventory.pages import showing
from inventory.queries import revision as rows
from projects.pages import doors

WHY = {
    Reason.GONE: gettext_lazy("the schedule has no such mark now"),
    Reason.BARS: gettext_lazy("the mark has another size, grade or shape now"),
    Reason.LENGTH: gettext_lazy("the mark has another cutting length now"),
    Reason.NUMBER: gettext_lazy("the schedule asks for fewer"),
}
"""Why cut pieces no longer fit."""


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, bill_id: int) -> HttpResponse:
    """Orders, deliveries, use and cut bars of a slab that a new bill no longer fits."""
    actor = doors.actor_of(request)
    found = rows.of_bill(actor, bill_id)
    bill, slab = found.bill, found.bill.design.slab
    context = {
        "bill": bill,
        "before": found.before,
        "entries": [_entry(row, locale=actor.locale) for row in found.rows],
        "cut": [(row, WHY[row.misfit.reason]) for row in found.cut],
        "crumbs": [
            {"url": reverse("estimates:slab", args=[slab.pk]), "label": slab.name},
            {"url": reverse("estimates:bill", args=[bill.pk]), "label": _("Bill %s") % bill.number},
            {"url": reverse("estimates:bill_difference", args=[bill.pk]), "label": _("Changes")},
        ],
        "title_block": {
            "site": slab.site.name,
            "slab": slab.name,
            "drawing": bill.drawing_number,
            "revision": bill.drawing_revision,
            "edition": bill.edition,
        },
    }
    return render(request, "inventory/bill_touches.html", context)


def _entry(row: rows.Row, *, locale: str) -> dict[str, Any]:
    shown = showing.material(row.material, pack=row.pack)
    return {"row": row, "shown": shown, "acts": list(_acts(row, shown=shown, locale=locale))}


def _acts(row: rows.Row, *, shown: showing.Shown, locale: str) -> list[tuple[str, str]]:
    """What there is to do, each with the mark that it carries."""

    def written(value: int) -> str:
        return showing.quantity(value, shown=shown, locale=locale)

    acts = []
    touched = row.touched
    if touched.cut_back:
        acts.append(("stop", _("take %s off the open orders") % written(touched.cut_back)))
    if touched.here_too_much:
        acts.append(("warning", _("%s here already and not needed by it") % written(touched.here_too_much)))
    if touched.to_buy and row.change > 0:
        acts.append(("warning", _("%s more needed than received and on order") % written(touched.to_buy)))
    return acts or [("enough", _("still fits"))]
