from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.pages.materials import acting_form
from estimates.queries import materials as material_rows
from estimates.queries import rates as rate_rows
from estimates.services import rates
from estimates.services.rates import RateAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, MoneyField

PARTS_OF_A_MINOR_UNIT = 4
"""Decimals of a minor unit in which a rate is kept."""


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    context = {
        "rows": material_rows.listing(actor, on=today),
        "today": today,
        "may_set": actor.can(Permission.SET_RATES),
        "title_block": {"document": _("Rates")},
    }
    return render(request, "estimates/rates.html", context)


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def history(request: HttpRequest, material_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    material = material_rows.one(actor, material_id=material_id)
    context = {
        "material": material,
        "rows": rate_rows.history(actor, material_id=material_id),
        "may_set": actor.can(Permission.SET_RATES),
        "crumbs": [{"url": reverse("estimates:rates"), "label": _("Rates")}],
        "title_block": {"document": _("Rates of %s") % material.name},
    }
    return render(request, "estimates/material_rates.html", context)


@doors.with_permission(Permission.SET_RATES)
def new(request: HttpRequest, material_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    material = material_rows.one(actor, material_id=material_id)
    form = _form(material, currency=actor.currency)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        parts = {name: typed.pop(name) for name in ("freight", "loading", "tax")}
        stated = {name: part for name, part in parts.items() if part is not None}
        act = RateAct(material_id=material.pk, **typed, **stated)
        return rates.set_rate(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Set the rate of %s") % material.name,
        lead=_("Bills that are issued keep their rates; the new one holds for bills from its day on."),
        button=_("Set the rate"),
        said=_("The rate is set."),
        back=acting.way_back(request, otherwise=reverse("estimates:rates")),
    )
    per = "kg" if material.nominal_mg_per_mm else "unit"
    initial = {"from_date": timezone.localdate(), "per": per}
    maker = acting_form(form, locale=actor.locale)
    return acting.page(request, sheet=sheet, form=maker, do=do, initial=initial)


def _form(material: Any, *, currency: str) -> type[ActForm]:
    units = [("unit", material.show_unit)]
    if material.nominal_mg_per_mm:
        units.insert(0, ("kg", _("kg of nominal mass")))

    def part(label: Any, *, required: bool = False, hint: Any = "") -> MoneyField:
        return MoneyField(
            label=label,
            currency=currency,
            extra_places=PARTS_OF_A_MINOR_UNIT,
            required=required,
            help_text=hint,
        )

    class RateForm(ActForm):
        from_date = forms.DateField(
            label=gettext_lazy("Holds from"),
            widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        )
        per = forms.ChoiceField(label=gettext_lazy("Price per"), choices=units)
        basic = part(gettext_lazy("Basic price"), required=True)
        freight = part(gettext_lazy("Freight"))
        loading = part(gettext_lazy("Loading"))
        tax = part(gettext_lazy("Tax"), hint=gettext_lazy("Only tax that cannot be recovered."))
        source = forms.CharField(
            label=gettext_lazy("Source"),
            max_length=200,
            required=False,
            help_text=gettext_lazy("For example a quotation with its date."),
        )

    return RateForm
