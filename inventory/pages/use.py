"""What other works of a site use of each material in a week, as the plan takes it."""

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

from inventory.pages import stores, units
from inventory.queries import other_use, slips, storage
from inventory.services.other_use import UseAct
from inventory.services.other_use import set_use as set_it
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, FigureField


class UseForm(ActForm):
    material_id = forms.TypedChoiceField(label=gettext_lazy("Material"), coerce=int)
    a_week = FigureField(
        label=gettext_lazy("Used in a week, in the unit shown for the material"),
        unit_shown="",
        scale=units.THOUSANDTHS,
        least=0,
        required=False,
        help_text=gettext_lazy("0 leaves it out of the plan; empty takes the mean of the latest weeks."),
    )


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = storage.site(actor, site_id=site_id)
    context = {
        "site": site,
        "rows": other_use.of_site(actor, site_id=site.pk, today=timezone.localdate()),
        "may_set": actor.can(Permission.PLAN_ORDERS),
        "may_issue": actor.can(Permission.MOVE_STOCK),
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name, "document": _("What other works use")},
    }
    return render(request, "inventory/use.html", context)


@doors.with_permission(Permission.PLAN_ORDERS)
def set_use(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = storage.site(actor, site_id=site_id)
    kept = [(row.pk, f"{row.name}, {row.show_unit}") for row in slips.kept_materials(actor)]

    form = acting.offering(UseForm, offers={"material_id": [("", _("choose")), *kept]}, locale=actor.locale)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        a_week = typed.pop("a_week")
        act = UseAct(site_id=site.pk, a_week=None if a_week is None else units.amount(a_week), **typed)
        return set_it(actor=actor, act=act, **how)

    words = acting.Sheet(
        heading=_("What other works of %s use") % site.name,
        lead=_("The plan counts it beside the pours, up to the last pour that takes the material."),
        button=_("Set it"),
        said=_("It is set; the plan is worked out anew."),
        back=reverse("inventory:use", args=[site.pk]),
    )
    return acting.page(request, sheet=words, form=form, do=do)
