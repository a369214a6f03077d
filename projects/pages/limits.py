from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, MoneyField
from projects.queries import limits as rows
from projects.services import limits
from projects.services.limits import LimitsAct


@doors.with_permission(Permission.APPROVE_LARGE_ORDERS)
def change(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    firm = rows.of_firm(actor)

    def form(*args: Any, **kwargs: Any) -> ActForm:
        boxes = {
            "approval_limit_minor": MoneyField(
                label=_("Orders above this wait for the owner"),
                currency=actor.currency,
                help_text=_("0: none of them does."),
            ),
            "cash_limit_minor": MoneyField(
                label=_("A site may buy for cash in a day"),
                currency=actor.currency,
                help_text=_("0: nothing is bought for cash."),
            ),
        }
        made: ActForm = type("LimitsForm", (ActForm,), boxes)(*args, locale=actor.locale, **kwargs)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return limits.set_limits(actor=actor, act=LimitsAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Limits of buying"),
        lead=_("They hold from now on. What was approved before stays approved."),
        button=_("Set the limits"),
        said=_("The limits are set."),
        back=acting.way_back(request, otherwise=reverse("projects:sites")),
    )
    names = ("approval_limit_minor", "cash_limit_minor")
    initial = {name: getattr(firm, name) for name in names}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)
