"""How much the store of a site takes, beside what lies there and what is on order."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.pages import stores, units
from inventory.queries import slips, storage
from inventory.services import storage_limits
from inventory.services.storage_limits import LimitAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, CountField, FigureField


class LimitForm(ActForm):
    """What a store takes of a material: bags by floor and height, everything else as a figure."""

    material_id = forms.TypedChoiceField(label=gettext_lazy("Material"), coerce=int)
    floor = FigureField(
        label=gettext_lazy("Bags: dry floor with its aisles"),
        unit_shown="m²",
        scale=units.THOUSANDTHS,
        least=1,
        required=False,
    )
    bags_high = CountField(label=gettext_lazy("Bags: high"), of=gettext_lazy("bags"), least=1, required=False)
    capacity = FigureField(
        label=gettext_lazy("Or the capacity, in the unit shown for the material"),
        unit_shown="",
        scale=units.THOUSANDTHS,
        least=1,
        required=False,
    )
    source = forms.CharField(
        label=gettext_lazy("Where that figure comes from"), max_length=200, required=False
    )

    def refuse(self, refused: Any) -> None:
        """Show a refusal of the floor at its box."""
        refused.field = {"floor_m2": "floor"}.get(str(refused.field), refused.field)
        super().refuse(refused)


@doors.signed_in
@require_safe
def rooms(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = storage.site(actor, site_id=site_id)
    context = {
        "site": site,
        "rows": storage.rooms(actor, site_ids=[site.pk]),
        "may_set": actor.can(Permission.PLAN_ORDERS),
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name, "document": _("What the store takes")},
    }
    return render(request, "inventory/storage.html", context)


@doors.with_permission(Permission.PLAN_ORDERS)
def set_limit(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = storage.site(actor, site_id=site_id)
    kept = [(row.pk, f"{row.name}, {row.show_unit}") for row in slips.kept_materials(actor)]

    form = acting.offering(LimitForm, offers={"material_id": [("", _("choose")), *kept]}, locale=actor.locale)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        floor, capacity = typed.pop("floor"), typed.pop("capacity")
        act = LimitAct(
            site_id=site.pk,
            floor_m2=None if floor is None else units.amount(floor),
            capacity=None if capacity is None else units.amount(capacity),
            **typed,
        )
        return storage_limits.set_limit(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("What the store of %s takes") % site.name,
        lead=_(
            "Orders beyond it are pointed out; none is refused. Stack cement off the floor and off the walls."
        ),
        button=_("Set it"),
        said=_("It is set."),
        back=reverse("inventory:storage", args=[site.pk]),
    )
    return acting.page(request, sheet=sheet, form=form, do=do)
