"""The record of acts, for the owner."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from projects.access.permissions import Permission
from projects.pages import act_words, doors
from projects.pages.forms import SheetForm
from projects.queries import audit
from projects.queries.audit import KINDS, Wanted

LINKS = {
    "deliveries": "inventory:receipt",
    "papers": "inventory:receipt",
    "usage": "inventory:slip",
    "opening": "inventory:slip",
    "other_use": "inventory:use",
    "issuing": "inventory:slip",
    "offline": "inventory:offline_entry",
    "counts.record": "inventory:count",
    "count_approval": "inventory:count",
    "transfers": "inventory:transfer",
    "hire": "inventory:hire",
    "opening_orders": "inventory:order",
    "opening_bills": "inventory:supplier_bill",
    "opening_book": "inventory:store",
    "orders": "inventory:order",
    "suggestions.approve": "inventory:order",
    "suggestions.reject": "inventory:suggestion",
    "suppliers.add": "inventory:supplier",
    "suppliers.change": "inventory:supplier",
    "enquiries.write": "inventory:enquiry",
    "enquiries.send": "inventory:enquiry",
    "enquiries.end": "inventory:enquiry",
    "supplier_bills": "inventory:supplier_bill",
    "asking.ask": "inventory:cutting_plan",
    "reserving": "inventory:cutting_plan",
    "designs": "estimates:design",
    "bills": "estimates:bill",
    "intakes": "estimates:intake",
    "slabs": "estimates:slab",
    "sites.open_site": "inventory:store",
}
"""Where to read what an act made: by the whole act or by its service."""


class AskedForm(SheetForm):
    person = forms.TypedChoiceField(
        label=gettext_lazy("Person"), coerce=int, required=False, empty_value=None
    )
    site = forms.TypedChoiceField(label=gettext_lazy("Site"), coerce=int, required=False, empty_value=None)
    kind = forms.ChoiceField(label=gettext_lazy("Kind"), required=False)
    since = forms.DateField(
        label=gettext_lazy("From"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    until = forms.DateField(
        label=gettext_lazy("To and with"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def __init__(self, *args: Any, people: list[Any], sites: list[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        everybody = [("", _("everybody")), *((row.pk, row.name) for row in people)]
        everywhere = [("", _("everywhere")), *((row.pk, row.name) for row in sites)]
        kinds = [("", _("all acts")), *((kind, label) for kind, (label, _services) in KINDS.items())]
        for name, choices in (("person", everybody), ("site", everywhere), ("kind", kinds)):
            self.fields[name].choices = choices  # type: ignore[attr-defined]  # a choice field by its class


@doors.with_permission(Permission.SEE_AUDIT)
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    form = AskedForm(request.GET, people=audit.people(actor), sites=audit.sites(actor))
    asked: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    wanted = Wanted(
        person_id=asked.get("person"),
        site_id=asked.get("site"),
        kind=asked.get("kind", ""),
        since=_start(asked.get("since")),
        until=_start(asked.get("until"), later=1),
        after=request.GET.get("after", ""),
    )
    page = audit.acts(actor, wanted=wanted)
    typed = request.GET.items()
    kept = {name: str(value) for name, value in typed if value and name in form.fields}
    context = {
        "form": form,
        "entries": [_shown(row) for row in page.rows],
        "earlier": "?" + urlencode(kept | {"after": page.after}) if page.after else "",
        "title_block": {"document": _("Acts")},
    }
    return render(request, "projects/audit.html", context, status=200 if form.is_valid() else 422)


def _shown(entry: Any) -> dict[str, Any]:
    service = entry.act.partition(".")[0]
    page = LINKS.get(entry.act) or LINKS.get(service)
    return {
        "entry": entry,
        "words": act_words.of(entry.act),
        "url": reverse(page, args=[entry.subject_id]) if page and entry.subject_id else "",
        "late": entry.happened_at is not None and entry.recorded_at - entry.happened_at > timedelta(hours=1),
    }


def _start(day: date | None, *, later: int = 0) -> datetime | None:
    """Return the first moment of a day, in the firm's time zone."""
    if day is None:
        return None
    return timezone.make_aware(datetime.combine(day + timedelta(days=later), time.min))
