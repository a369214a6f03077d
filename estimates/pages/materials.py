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

from estimates.calc.sheet import grades
from estimates.queries import materials as material_rows
from estimates.services import materials
from estimates.services.materials import AdoptionAct, PackAct, TimingAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, CountField, FigureField


class AdoptionForm(ActForm):
    steel_grade = forms.CharField(
        label=gettext_lazy("Grade of the bars"),
        max_length=20,
        help_text=gettext_lazy("As the drawings write it."),
    )
    beside = forms.BooleanField(
        label=gettext_lazy("Ready-mixed concrete, consumables, waterproofing, hire and crew too"),
        required=False,
    )


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "rows": material_rows.listing(actor, on=timezone.localdate()),
        "may_edit": actor.can(Permission.SET_RATES),
        "money": actor.can(Permission.SEE_MONEY),
        "title_block": {"document": _("Materials and packs")},
    }
    return render(request, "estimates/materials.html", context)


@doors.with_permission(Permission.SET_RATES)
def adopt(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return materials.adopt(actor=actor, act=AdoptionAct(**typed), **how)

    usual = grades.STEEL[grades.profile_id(actor.profile)].example
    sheet = acting.Sheet(
        heading=_("Take over the standard materials"),
        lead=_("Cement, sand, stone, bars and the rest, with the packs in which they are usually sold."),
        button=_("Take them over"),
        said=_("The materials are there. Set their rates next."),
        back=reverse("estimates:materials"),
    )
    return acting.page(request, sheet=sheet, form=AdoptionForm, do=do, initial={"steel_grade": usual})


@doors.with_permission(Permission.SET_RATES)
def pack(request: HttpRequest, material_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    material = material_rows.one(actor, material_id=material_id)

    class PackForm(ActForm):
        name = forms.CharField(
            label=gettext_lazy("Name of the pack"),
            max_length=60,
            help_text=gettext_lazy("For example “bag” or “bar of 12 m”."),
        )
        content = FigureField(
            label=gettext_lazy("One pack holds"),
            unit_shown=material.show_unit,
            scale=material.show_factor,
            least=1,
        )
        source = forms.CharField(
            label=gettext_lazy("Who says so"),
            max_length=200,
            help_text=gettext_lazy("For example “printed on the bag” or the supplier's name."),
        )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return materials.add_pack(actor=actor, act=PackAct(material_id=material.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Add a pack of %s") % material.name,
        button=_("Add the pack"),
        said=_("The pack is added."),
        back=reverse("estimates:materials"),
    )
    return acting.page(request, sheet=sheet, form=acting_form(PackForm, locale=actor.locale), do=do)


@doors.with_permission(Permission.SET_RATES)
def timing(request: HttpRequest, material_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    material = material_rows.one(actor, material_id=material_id)

    class TimingForm(ActForm):
        lead_days = CountField(label=gettext_lazy("On site before the pour"), of=_("working days"), most=365)
        shelf_days = CountField(
            label=gettext_lazy("Keeps for"),
            of=_("days"),
            least=1,
            most=365,
            required=False,
            help_text=gettext_lazy("Days from make until a test is asked for; empty when it keeps."),
        )

        warn_days = CountField(
            label=gettext_lazy("Pointed out after"),
            of=_("days"),
            least=1,
            most=365,
            required=False,
            help_text=gettext_lazy(
                "Days from make at which it is to be used first; empty: the last fortnight."
            ),
        )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return materials.set_timing(actor=actor, act=TimingAct(material_id=material.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("When %s is needed") % material.name,
        lead=_("Its dated needs move with it."),
        button=_("Set the days"),
        said=_("The days are set; the needs are being worked out again."),
        back=reverse("estimates:materials"),
    )
    initial = {name: getattr(material, name) for name in ("lead_days", "shelf_days", "warn_days")}
    form = acting_form(TimingForm, locale=actor.locale)
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)


def acting_form(form: type[ActForm], *, locale: str) -> Any:
    """Return a maker of the form that reads and writes figures as the firm does."""

    def made(*args: Any, **kwargs: Any) -> ActForm:
        return form(*args, locale=locale, **kwargs)

    return made
