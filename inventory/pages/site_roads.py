from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.queries import plan_market, suppliers
from inventory.queries import site_roads as rows
from inventory.services import site_roads
from inventory.services.site_roads import RoadAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, MoneyField


@doors.with_permission(Permission.PLAN_ORDERS)
def change(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    sites = [(site.pk, site.name) for site in suppliers.sites(actor)]

    form = acting.offering(
        _form(actor.currency), offers={"from_site_id": sites, "to_site_id": sites}, locale=actor.locale
    )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        typed["tonne_minor"] = typed["tonne_minor"] or 0
        return site_roads.set_road(actor=actor, act=RoadAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Roads between sites"),
        lead=_(
            "Where a trip costs more or less than any other. It holds both ways, until the way back differs."
        ),
        button=_("Keep this road"),
        said=_("The road is kept; the plan is being worked out again."),
        back=reverse("inventory:plan_roads"),
        template="inventory/site_roads.html",
        more={"roads": rows.listing(actor), "any_trip": plan_market.terms(actor).freight_minor},
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


def _form(currency: str) -> type[ActForm]:
    def site(label: Any) -> forms.TypedChoiceField:
        return forms.TypedChoiceField(label=label, coerce=int)

    def money(label: Any, hint: Any) -> MoneyField:
        return MoneyField(label=label, help_text=hint, currency=currency, required=False)

    fields = {
        "from_site_id": site(gettext_lazy("From site")),
        "to_site_id": site(gettext_lazy("To site")),
        "trip_minor": money(gettext_lazy("A trip costs"), gettext_lazy("Empty: as any other trip.")),
        "tonne_minor": money(gettext_lazy("and each tonne on it"), gettext_lazy("Empty: nothing more.")),
    }
    return type("RoadForm", (ActForm,), fields)
