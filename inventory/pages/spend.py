from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import charts, showing
from inventory.queries import spend as rows
from projects.access.permissions import Permission
from projects.pages import doors


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def sheet(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    start = _start(request)
    found = rows.of_firm(actor, today=timezone.localdate(), start=start)
    longest = max((max(one.amounts.budget, one.amounts.forecast) for one in found.slabs), default=0)
    address = f"{reverse('inventory:spend')}?start="
    last = start + rows.PAGE
    context = {
        "slabs": [_slab(one, longest=longest) for one in found.slabs],
        "over": [one for one in found.slabs if one.row.bill and one.amounts.over_budget > 0],
        "total": found.total,
        "where": found.whereabouts,
        "hired": found.hired_for_slabs,
        "hired_loose": found.hired_for_no_slab,
        "sites": found.by_site,
        "no_slab": found.for_no_slab,
        "standing": found.standing,
        "for_stock": found.committed_for_stock,
        "earlier": f"{address}{max(start - rows.PAGE, 0)}" if start else "",
        "later": f"{address}{last}" if found.of_all > last else "",
        "title_block": {"document": _("Spend")},
    }
    return render(request, "inventory/spend.html", context)


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def slab(request: HttpRequest, slab_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.of_slab(actor, slab_id, today=timezone.localdate())
    longest = max((max(m.amounts.budget, m.amounts.forecast) for m in found.materials), default=0)
    context = {
        "one": _slab(found, longest=max(found.amounts.budget, found.amounts.forecast)),
        "materials": [
            {
                "figures": part.figures,
                "amounts": part.amounts,
                "shown": showing.material(part.figures.material),
                "bar": _bar(part.amounts, longest=longest),
            }
            for part in found.materials
        ],
        "crumbs": [{"url": reverse("inventory:spend"), "label": _("Spend")}],
        "title_block": {"site": found.row.slab.site.name, "slab": found.row.slab.name},
    }
    return render(request, "inventory/spend_slab.html", context)


def _slab(one: Any, *, longest: int) -> dict[str, Any]:
    over = one.amounts.over_budget
    return {
        "slab": one.row.slab,
        "bill": one.row.bill,
        "finished": one.row.finished,
        "place_id": one.row.place_id,
        "amounts": one.amounts,
        "over": over,
        "under": -over,
        "kind": _kind(one),
        "per_m2": showing.minor(one.per_m2) if one.per_m2 is not None else None,
        "per_m3": showing.minor(one.per_m3) if one.per_m3 is not None else None,
        "bar": _bar(one.amounts, longest=longest),
    }


def _kind(one: Any) -> str:
    if one.row.bill is None:
        return "none"
    return "warning" if one.amounts.over_budget > 0 else "enough"


def _bar(amounts: Any, *, longest: int) -> charts.Bar:
    return charts.bar(used=amounts.used, to_come=amounts.to_come, budget=amounts.budget, longest=longest)


def _start(request: HttpRequest) -> int:
    typed = request.GET.get("start", "0")
    return int(typed) if typed.isdecimal() and len(typed) < 9 else 0
