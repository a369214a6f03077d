from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.pages.stock_forms import day_field
from inventory.queries import movements
from inventory.queries.movements import Question
from projects.access.permissions import Permission
from projects.pages import doors
from projects.pages.forms import SheetForm


class PeriodForm(SheetForm):
    since = day_field(gettext_lazy("From"))
    until = day_field(gettext_lazy("To and with"))
    after = forms.CharField(required=False, widget=forms.HiddenInput)
    lot = forms.IntegerField(required=False, min_value=1, max_value=10**18, widget=forms.HiddenInput)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, place_id: int, material_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    form = PeriodForm(request.GET)
    asked: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    question = Question(
        place_id=place_id,
        material_id=material_id,
        lot_id=asked.get("lot"),
        since=_start(asked.get("since")),
        until=_start(asked.get("until"), later=1),
        after=asked.get("after", ""),
    )
    found = movements.ledger(actor, question=question)
    context = {
        "ledger": found,
        "form": form,
        "money": actor.can(Permission.SEE_MONEY) and found.lot is None,
        "later": _address(asked, after=found.after) if found.after else "",
        "crumbs": stores.crumbs(found.place.site),
        "title_block": {
            "site": found.place.site.name if found.place.site else None,
            "slab": found.place.slab.name if found.place.slab else None,
            "document": found.material.name,
        },
    }
    return render(request, "inventory/ledger.html", context, status=200 if form.is_valid() else 422)


def _start(day: date | None, *, later: int = 0) -> datetime | None:
    """Return the first moment of a day, in the firm's time zone."""
    if day is None:
        return None
    return timezone.make_aware(datetime.combine(day + timedelta(days=later), time.min))


def _address(asked: dict[str, Any], *, after: str) -> str:
    kept = {name: asked[name].isoformat() for name in ("since", "until") if asked.get(name)}
    if asked.get("lot"):
        kept["lot"] = str(asked["lot"])
    return "?" + urlencode(kept | {"after": after})
