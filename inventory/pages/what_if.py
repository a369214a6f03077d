from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import plan_entries
from inventory.queries import suppliers
from inventory.services import what_if
from inventory.services.what_if import Change
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors
from projects.pages.forms import SheetForm
from projects.queries import pours

MOST_POURS = 200


class ChangeForm(SheetForm):
    pour_id = forms.TypedChoiceField(label=gettext_lazy("Move this pour"), coerce=int, required=False)
    pour_date = forms.DateField(
        label=gettext_lazy("to this day"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        required=False,
    )
    supplier_id = forms.TypedChoiceField(
        label=gettext_lazy("Let this supplier take"), coerce=int, required=False
    )
    lead_days = forms.IntegerField(
        label=gettext_lazy("so many working days"), min_value=0, max_value=120, required=False
    )
    material_id = forms.TypedChoiceField(
        label=gettext_lazy("Let this material cost"), coerce=int, required=False
    )
    price_percent = forms.IntegerField(
        label=gettext_lazy("so many percent of today's price"),
        min_value=1,
        max_value=1_000,
        required=False,
        help_text=gettext_lazy("200 doubles it."),
    )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        for what, how in PARTS:
            if bool(found.get(what)) != (found.get(how) is not None) and how not in self.errors:
                self.add_error(how if found.get(what) else what, _("Fill in both, or neither."))
        return found

    @property
    def rows(self) -> list[tuple[Any, Any]]:
        """The boxes two by two: what is changed, and how."""
        return [(self[what], self[how]) for what, how in PARTS]


PARTS = (("pour_id", "pour_date"), ("supplier_id", "lead_days"), ("material_id", "price_percent"))


@doors.with_permission(Permission.PLAN_ORDERS)
def sheet(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    form = _form(request, actor=actor)
    context: dict[str, Any] = {
        "form": form,
        "beside": None,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [{"url": reverse("inventory:plan"), "label": _("Plan")}],
        "title_block": {"document": _("What if")},
    }
    status = 200
    if form.is_bound:
        if form.is_valid():
            try:
                context |= _compared(actor, typed=form.cleaned_data)
            except (NotFound, NotAllowed):
                raise
            except Refused as refused:
                form.add_error(refused.params.get("field"), refused.message)
        status = 200 if form.is_valid() else 422
    return render(request, "inventory/what_if.html", context, status=status)


def _form(request: HttpRequest, *, actor: Any) -> ChangeForm:
    asked = any(request.GET.get(name) for part in PARTS for name in part)
    form = ChangeForm(request.GET if asked else None, initial={"pour_id": request.GET.get("pour")})
    today = timezone.localdate()
    offered = {pack.material_id: pack.material.name for pack in suppliers.packs(actor)}
    choices = {
        "pour_id": [(pour.pk, str(pour)) for pour in pours.coming(actor, limit=MOST_POURS)],
        "supplier_id": [(one.pk, one.name) for one in suppliers.to_choose(actor, on=today)],
        "material_id": list(offered.items()),
    }
    for field, found in choices.items():
        acting.offer(form, field=field, choices=[("", "–"), *found])
    return form


def _compared(actor: Any, *, typed: dict[str, Any]) -> dict[str, Any]:
    change = Change(**{name: value if value != "" else None for name, value in typed.items()})
    found = what_if.compare(actor=actor, change=change, now=timezone.now())
    return {
        "beside": found,
        "pairs": [
            {
                "row": pair.row,
                "now": plan_entries.words(pair.now, actor=actor),
                "then": plan_entries.words(pair.then, actor=actor),
            }
            for pair in found.pairs
        ],
    }
