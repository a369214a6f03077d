from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm
from projects.queries import holidays as rows
from projects.services import holidays
from projects.services.holidays import HolidayAct, WorkAct


class HolidayForm(ActForm):
    day = forms.DateField(
        label=gettext_lazy("Not worked on"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    name = forms.CharField(label=gettext_lazy("What it is called"), max_length=holidays.MOST_NAME)


@doors.with_permission(Permission.PLAN_ORDERS)
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return holidays.put(actor=actor, act=HolidayAct(**typed), **how)

    def form(*args: Any, **kwargs: Any) -> ActForm:
        return HolidayForm(*args, locale=actor.locale, **kwargs)

    sheet = acting.Sheet(
        heading=_("Holidays"),
        lead=_("Nothing is delivered on them, and no working day is counted: orders leave so much sooner."),
        button=_("Add the day"),
        said=_("The day is kept; needs and plan are being worked out again."),
        back=reverse("projects:holidays"),
        template="projects/holidays.html",
        more={"holidays": rows.listing(actor, since=timezone.localdate())},
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.with_permission(Permission.PLAN_ORDERS)
def work(request: HttpRequest, holiday_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, holiday_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        del typed
        return holidays.work(actor=actor, act=WorkAct(holiday_id=row.pk), **how)

    def form(*args: Any, **kwargs: Any) -> ActForm:
        return ActForm(*args, locale=actor.locale, **kwargs)

    sheet = acting.Sheet(
        heading=_("Work on %(day)s?") % {"day": date_format(row.day, "DATE_FORMAT")},
        lead=_("%(name)s is then a day like any other.") % {"name": row.name},
        button=_("Take the holiday out"),
        said=_("The day is worked; needs and plan are being worked out again."),
        back=reverse("projects:holidays"),
    )
    return acting.page(request, sheet=sheet, form=form, do=do)
