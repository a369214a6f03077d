from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST

from inventory.pages import order_forms
from inventory.queries import plan_market
from inventory.services import plan_moves, plan_terms
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors
from projects.pages.forms import ActForm, CountField, FigureField, MoneyField

MOST_IDS = 40


@doors.with_permission(Permission.PLAN_ORDERS)
@require_POST
def send(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    form = order_forms.KeyForm(request.POST, locale=actor.locale)
    typed = [one for one in request.POST.getlist("move")[:MOST_IDS] if one.isdecimal() and len(one) < 19]
    if not form.is_valid():
        messages.error(request, _("The form was not complete. Send it again from here."))
        return redirect("inventory:plan")
    act = plan_moves.SendAct(suggestion_ids=tuple(int(one) for one in typed))
    try:
        made = plan_moves.send(actor=actor, act=act, key=str(form.cleaned_data["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        messages.error(request, refused.message)
        return redirect("inventory:plan")
    words = _("%(number)s is on the road. Receive it at its site when it is there.")
    messages.success(request, words % {"number": made.number})
    return redirect("inventory:transfer", transfer_id=made.pk)


@doors.with_permission(Permission.PLAN_ORDERS)
def terms(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        percents = {f"{name}_permille": typed.pop(f"{name}_percent") or 0 for name in ("keep", "rest")}
        stop = typed.pop("stop_cost_minor") or 0
        act = plan_terms.TermsAct(stop_cost_minor=stop, **percents, **typed)
        return plan_terms.set_terms(actor=actor, act=act, **how)

    row = plan_market.terms(actor)
    initial = {
        "stop_cost_minor": row.stop_cost_minor or None,
        "keep_percent": row.keep_permille or None,
        "rest_percent": row.rest_permille or None,
        "week_budget_minor": row.week_budget_minor,
        "freight_minor": row.freight_minor,
        "van_kg": row.van_kg,
    }
    words = acting.Sheet(
        heading=_("What the plan weighs"),
        lead=_(
            "Without these figures each need is bought by itself, when it is due. Leave the others empty."
        ),
        button=_("Keep these figures"),
        said=_("The figures are kept; the plan is being worked out again."),
        back=reverse("inventory:plan"),
    )

    def form(*args: Any, **kwargs: Any) -> ActForm:
        return _terms_form(actor.currency)(*args, locale=actor.locale, **kwargs)

    return acting.page(request, sheet=words, form=form, do=do, initial=initial)


def _terms_form(currency: str) -> type[ActForm]:
    def money(label: Any, hint: Any) -> MoneyField:
        return MoneyField(label=label, help_text=hint, currency=currency, required=False)

    def percent(label: Any, hint: Any) -> FigureField:
        return FigureField(label=label, help_text=hint, unit_shown="%", scale=10, most=1_000, required=False)

    fields = {
        "stop_cost_minor": money(
            gettext_lazy("A pour that stands costs, a day"),
            gettext_lazy("Crew and machines that wait, and the joint that has to be made good."),
        ),
        "keep_percent": percent(
            gettext_lazy("Keeping goods for a year costs"),
            gettext_lazy("Of their price: interest, loss and care."),
        ),
        "rest_percent": percent(
            gettext_lazy("What is left over loses"), gettext_lazy("Of its price, when no pour uses it.")
        ),
        "week_budget_minor": money(gettext_lazy("Most to order in a week"), gettext_lazy("Empty: no limit.")),
        "freight_minor": money(
            gettext_lazy("A trip between two sites costs"),
            gettext_lazy("Empty: the plan suggests no moves between sites."),
        ),
        "van_kg": CountField(
            label=gettext_lazy("Such a trip takes"),
            of="kg",
            least=1,
            required=False,
        ),
    }
    return type("TermsForm", (ActForm,), fields)
