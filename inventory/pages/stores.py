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

from inventory.pages import units
from inventory.pages.stock_forms import day_field
from inventory.queries import counts, deliveries, moist, movements, on_road, slips, stock, storage
from inventory.services import opening
from projects.access.permissions import Permission
from projects.pages import acting, doors, figures
from projects.pages.forms import ActForm, MoneyField
from projects.queries import pours

FEW = 5


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {"stores": stock.stores(actor), "title_block": {"document": _("Stores")}}
    return render(request, "inventory/stores.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    hand = stock.on_hand(actor, site_id=site_id, today=today)
    dry = moist.dry(actor, site_id=site_id, on_hand={row.material.pk: row.quantity for row in hand.rows})
    context = {
        "hand": hand,
        "rows": [(row, _pack(row.material), dry.get(row.material.pk)) for row in hand.rows],
        "money": actor.can(Permission.SEE_MONEY),
        "may": {
            "receive": actor.can(Permission.RECORD_RECEIPTS),
            "move": actor.can(Permission.MOVE_STOCK),
            "count": actor.can(Permission.COUNT_STOCK),
            "open": actor.can(Permission.MOVE_STOCK) and actor.can(Permission.SEE_MONEY),
        },
        "crowded": storage.beyond(actor, site_ids=[hand.site.pk]),
        "expected": deliveries.expected(actor, today=today, site_id=site_id),
        "coming": on_road.coming(actor, site_id=site_id),
        "pours": pours.open_ones(actor, site_id=site_id),
        "receipts": deliveries.receipts(actor, site_id=site_id, limit=FEW).rows,
        "slips": slips.slips(actor, site_id=site_id, limit=FEW).rows,
        "counts": counts.counts(actor, site_id=site_id, limit=FEW).rows,
        "crumbs": crumbs(),
        "title_block": {"site": hand.site.name, "document": _("Store")},
    }
    return render(request, "inventory/store.html", context)


@doors.signed_in
@require_safe
def latest(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hand = stock.on_hand(actor, site_id=site_id, today=timezone.localdate())
    page = movements.latest(actor, site_id=site_id, after=request.GET.get("after", ""))
    context = {
        "site": hand.site,
        "page": page,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": crumbs(hand.site),
        "title_block": {"site": hand.site.name, "document": _("Movements")},
    }
    return render(request, "inventory/movements.html", context)


class OpeningForm(ActForm):
    what = forms.ChoiceField(label=gettext_lazy("Material and unit"))
    pour_id = forms.TypedChoiceField(
        label=gettext_lazy("Where it was"), coerce=int, required=False, empty_value=None
    )
    amount = units.figure(units.Unit(""), label=gettext_lazy("Counted"), least=1)
    supplier_id = forms.TypedChoiceField(
        label=gettext_lazy("From supplier"), coerce=int, required=False, empty_value=None
    )
    made_date = day_field(gettext_lazy("Made on, as printed"))
    lot_label = forms.CharField(label=gettext_lazy("Lot or heat number"), max_length=60, required=False)

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        locale = kwargs["locale"]
        super().__init__(*args, **kwargs)
        value = MoneyField(label=_("What it is worth"), currency=currency)
        value.localise(figures.locale_for(locale))
        self.fields["value_minor"] = value
        self.order_fields(["pour_id", "what", "amount", "value_minor"])


@doors.with_permission(Permission.SEE_MONEY)
def open_stock(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    actor.require(Permission.MOVE_STOCK)
    site = stock.on_hand(actor, site_id=site_id, today=timezone.localdate()).site
    found = {
        f"{material.pk}:{unit.code}": (material, unit)
        for material in slips.kept_materials(actor)
        for unit in units.choices(material)
    }
    sellers = deliveries.suppliers(actor, today=timezone.localdate())
    begun = [(pour.pk, _("in %s already") % pour) for pour in pours.of_site(actor, site_id=site.pk)]

    def form(*args: Any, **kwargs: Any) -> OpeningForm:
        made = OpeningForm(*args, currency=actor.currency, locale=actor.locale, **kwargs)
        whats = [(code, f"{material.name}, {unit.name}") for code, (material, unit) in found.items()]
        acting.offer(made, field="what", choices=whats)
        known = [("", _("not known")), *((row.pk, row.name) for row in sellers)]
        acting.offer(made, field="supplier_id", choices=known)
        acting.offer(made, field="pour_id", choices=[("", _("in the store")), *begun])
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        pour_id = typed.pop("pour_id")
        material, unit = found[typed.pop("what")]
        amount = units.amount(typed.pop("amount"))
        line = opening.OpeningLineAct(material_id=material.pk, amount=amount, **unit.act, **typed)
        act = opening.OpeningAct(site_id=site.pk, happened_at=None, lines=(line,), pour_id=pour_id)
        return opening.record(actor=actor, act=act, **how)

    what = acting.Sheet(
        heading=_("Opening stock of %s") % site.name,
        lead=_("What lay in the store or in a begun slab when you began: counted, with its value."),
        button=_("Record opening stock"),
        said=_("Recorded. Enter the next material, or go back to the store."),
        back=reverse("inventory:store", args=[site.pk]),
    )
    return acting.page(request, sheet=what, form=form, do=do, done=lambda _slip: request.path)


def crumbs(site: Any = None) -> list[dict[str, str]]:
    """Say the way to a page of the stores."""
    way = [{"url": reverse("inventory:stores"), "label": _("Stores")}]
    if site is not None:
        way.append({"url": reverse("inventory:store", args=[site.pk]), "label": site.name})
    return way


def _pack(material: Any) -> dict[str, Any]:
    unit = units.by_hand(material)
    return {"name": unit.name, "content": unit.content} if unit.pack_id else {"name": None, "content": 0}
