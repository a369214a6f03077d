"""Balances by place and material: the way from a sum of value to the movements behind it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.queries import lying
from projects.access.permissions import Permission
from projects.pages import doors

NAMES = (
    ("", gettext_lazy("everything")),
    ("slab", gettext_lazy("in the slabs")),
    ("stores", gettext_lazy("in the stores, on the road, at the bench")),
    ("other", gettext_lazy("in other works")),
    ("waste", gettext_lazy("wasted")),
    ("lost", gettext_lazy("wasted, and count differences")),
    ("bought", gettext_lazy("where it came from")),
)


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    group = request.GET.get("kind", "")
    group = group if group in lying.GROUPS else ""
    typed = request.GET.get("start", "0")
    start = int(typed) if typed.isdecimal() and len(typed) < 9 else 0
    found = lying.balances(actor, group=group, start=start)
    context = {
        "rows": found.rows,
        "money": actor.can(Permission.SEE_MONEY),
        "groups": [{"value": v, "label": label, "current": v == group} for v, label in NAMES],
        "earlier": _address(group, start=max(start - lying.PAGE, 0)) if start else "",
        "later": _address(group, start=start + lying.PAGE) if found.more else "",
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Balances")},
    }
    return render(request, "inventory/places.html", context)


def _address(group: str, *, start: int) -> str:
    return "?" + urlencode({"kind": group, "start": str(start)})
