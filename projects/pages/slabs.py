from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, FigureField
from projects.queries import pours as pour_rows
from projects.queries import sites as site_rows
from projects.services import pours, slabs

PPM_PER_HUNDREDTH = 100
WHOLE_HUNDREDTHS = 10_000


class SlabForm(ActForm):
    site_id = forms.TypedChoiceField(label=gettext_lazy("Site"), coerce=int)
    name = forms.CharField(
        label=gettext_lazy("Name of the slab"),
        max_length=120,
        help_text=gettext_lazy("As the drawing calls it, for example “roof slab at +3.300”."),
    )


class PourForm(ActForm):
    name = forms.CharField(label=gettext_lazy("Name of the pour"), max_length=60)
    pour_date = forms.DateField(
        label=gettext_lazy("Day of placing"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    share = FigureField(
        label=gettext_lazy("Share of the slab"),
        unit_shown="%",
        scale=100,
        least=1,
        most=10_000,
        help_text=gettext_lazy(
            "100 when the slab is placed in one pour. A share only along the engineer's joint."
        ),
    )


class MoveForm(ActForm):
    pour_date = PourForm.base_fields["pour_date"]


class PouredForm(ActForm):
    poured_at = forms.DateTimeField(
        label=gettext_lazy("Placing ended at"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )


@doors.with_permission(Permission.EDIT_DESIGNS)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    back = acting.way_back(request, otherwise="/")

    form = acting.offering(SlabForm, offers={"site_id": [(s.pk, s.name) for s in site_rows.all_sites(actor)]})

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return slabs.add(actor=actor, act=slabs.SlabAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Add a slab"),
        button=_("Add the slab"),
        said=_("The slab is added. Enter its design next."),
        back=back,
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.with_permission(Permission.PLAN_POURS)
def plan(request: HttpRequest, slab_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    slab = pour_rows.slab(actor, slab_id=slab_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        share = typed.pop("share") * PPM_PER_HUNDREDTH
        return pours.plan(actor=actor, act=pours.PourAct(slab_id=slab.pk, share_ppm=share, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Plan a pour of %s") % slab.name,
        button=_("Plan the pour"),
        said=_("The pour is planned; its needs are being worked out."),
        back=acting.way_back(request, otherwise="/"),
    )
    initial = {"name": request.GET.get("name") or _("whole slab"), "share": _share(request)}
    return acting.page(request, sheet=sheet, form=PourForm, do=do, initial=initial)


def _share(request: HttpRequest) -> int:
    """The share that a link along the design's joints brings, in hundredths of a percent; else the whole."""
    asked = request.GET.get("share", "")
    known = asked.isascii() and asked.isdigit() and len(asked) < 6 and 0 < int(asked) <= WHOLE_HUNDREDTHS
    return int(asked) if known else WHOLE_HUNDREDTHS


@doors.with_permission(Permission.PLAN_POURS)
def move(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pour_rows.one(actor, pour_id=pour_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return pours.move(actor=actor, act=pours.MoveAct(pour_id=pour.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Move the pour of %s") % pour.slab.name,
        lead=_("Its needs and what is to be ordered move with it."),
        button=_("Move the pour"),
        said=_("The pour is moved; its needs and the plan are being worked out again."),
        back=acting.way_back(request, otherwise="/"),
    )
    return acting.page(request, sheet=sheet, form=MoveForm, do=do, initial={"pour_date": pour.pour_date})


@doors.with_permission(Permission.LOG_POURS)
def poured(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pour_rows.one(actor, pour_id=pour_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return pours.mark_poured(actor=actor, act=pours.PouredAct(pour_id=pour.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Record the pour of %s") % pour.slab.name,
        lead=_("Record returns and waste next, then close the pour. Keep the concrete wet from the start."),
        button=_("Record the pour"),
        said=_("The pour is recorded."),
        back=acting.way_back(request, otherwise="/"),
    )
    initial = {"poured_at": timezone.localtime()}
    return acting.page(request, sheet=sheet, form=PouredForm, do=do, initial=initial)


@doors.with_permission(Permission.EDIT_DESIGNS)
def finish(request: HttpRequest, slab_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    slab = pour_rows.slab(actor, slab_id=slab_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        del typed
        return slabs.finish(actor=actor, act=slabs.SlabClosingAct(slab_id=slab.pk), **how)

    sheet = acting.Sheet(
        heading=_("Finish %s") % slab.name,
        lead=_("Its account is closed: nothing more is issued to it. The record stays."),
        button=_("Finish the slab"),
        said=_("The slab is finished."),
        back=acting.way_back(request, otherwise="/"),
    )
    return acting.page(request, sheet=sheet, form=ActForm, do=do)
