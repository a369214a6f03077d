from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import order_forms
from inventory.queries import suppliers as rows
from inventory.services import supplier_terms
from inventory.services.supplier_terms import SupplierTermsAct
from inventory.services.suppliers import BreakAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm, CountField, MoneyField


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def change(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    supplier = rows.one(actor, supplier_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = SupplierTermsAct(
            supplier_id=supplier.pk,
            trip_minor=typed["trip_minor"] or 0,
            truck_kg=typed["truck_kg"],
            least_order_minor=typed["least_order_minor"] or 0,
            order_days=tuple(typed["order_days"]),
            delivery_days=tuple(typed["delivery_days"]),
        )
        return supplier_terms.set_terms(actor=actor, act=act, **how)

    def form(*args: Any, **kwargs: Any) -> ActForm:
        return _form(actor.currency)(*args, locale=actor.locale, **kwargs)

    sheet = acting.Sheet(
        heading=_("How %(name)s delivers") % {"name": supplier.name},
        lead=_("The plan fills trucks, keeps to the days and orders no less than they take."),
        button=_("Keep this"),
        said=_("It is kept; the plan is being worked out again."),
        back=reverse("inventory:supplier", args=[supplier.pk]),
    )
    initial = {
        "trip_minor": supplier.trip_minor or None,
        "truck_kg": supplier.truck_kg,
        "least_order_minor": supplier.least_order_minor or None,
        "order_days": supplier.order_days,
        "delivery_days": supplier.delivery_days,
    }
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)


def told(supplier: Any) -> dict[str, Any]:
    """Put a supplier's terms into words, for its page."""
    return {
        "any": bool(
            supplier.trip_minor or supplier.least_order_minor or supplier.order_days or supplier.delivery_days
        ),
        "order_days": weekdays(supplier.order_days),
        "delivery_days": weekdays(supplier.delivery_days),
    }


def weekdays(days: list[int]) -> str:
    """Write weekdays in their order; every working day when there are none."""
    return ", ".join(str(WEEKDAYS[day]) for day in days) if days else _("every working day")


def _form(currency: str) -> type[ActForm]:
    def money(label: Any, hint: Any) -> MoneyField:
        return MoneyField(label=label, help_text=hint, currency=currency, required=False)

    def days(label: Any) -> forms.TypedMultipleChoiceField:
        return forms.TypedMultipleChoiceField(
            label=label,
            coerce=int,
            required=False,
            choices=list(WEEKDAYS.items()),
            widget=forms.CheckboxSelectMultiple,
            help_text=gettext_lazy("None ticked: every working day."),
        )

    fields = {
        "trip_minor": money(
            gettext_lazy("A truck to a site costs"),
            gettext_lazy("Beside the prices, whatever is on it. Empty: the prices hold on site."),
        ),
        "truck_kg": CountField(
            label=gettext_lazy("Such a truck takes"),
            of="kg",
            least=1,
            most=supplier_terms.MOST_TRUCK_KG,
            required=False,
            help_text=gettext_lazy("Empty: one truck takes any order."),
        ),
        "least_order_minor": money(
            gettext_lazy("Takes orders from"),
            gettext_lazy("Goods of one order, without the truck. Empty: any order."),
        ),
        "order_days": days(gettext_lazy("Takes orders on")),
        "delivery_days": days(gettext_lazy("Delivers on")),
    }
    return type("SupplierTermsForm", (ActForm,), fields)


BREAKS = (1, 2, 3)


class BreaksForm(ActForm):
    """Rows of an offer's form for prices that hold from a number of packs on."""

    def clean(self) -> dict[str, Any]:
        """Ask for both figures of a break."""
        typed = super().clean()
        for n in BREAKS:
            packs, price = f"break_packs_{n}", f"break_price_{n}"
            for given, missing, words in (
                (packs, price, _("Say what a pack costs then.")),
                (price, packs, _("Say from how many packs on.")),
            ):
                if typed.get(given) is not None and typed.get(missing) is None and missing not in self.errors:
                    self.add_error(missing, words)
        return typed


def offer_form(currency: str) -> type[ActForm]:
    """Make the form of an offer in the firm's currency, with its breaks."""
    fields: dict[str, Any] = {}
    for n in BREAKS:
        fields[f"break_packs_{n}"] = CountField(
            label=_("Break %(n)s: from") % {"n": n}, of=_("packs"), least=2, required=False
        )
        fields[f"break_price_{n}"] = MoneyField(
            label=_("Break %(n)s: price of a pack") % {"n": n},
            currency=currency,
            extra_places=4,
            required=False,
        )
    priced = order_forms.offer_form(currency)
    names = [name for n in BREAKS for name in (f"break_packs_{n}", f"break_price_{n}")]
    tail = ["minimum_packs", "lead_days", "valid_until", "truck_packs"]
    order = ["pack_id", "pack_price", "from_date", *names, "incremental", *tail]
    return type("OfferWithBreaksForm", (BreaksForm, priced), fields | {"field_order": order})


def breaks_of(typed: dict[str, Any]) -> tuple[BreakAct, ...]:
    """Take the breaks out of what was typed."""
    pairs = [(typed.pop(f"break_packs_{n}"), typed.pop(f"break_price_{n}")) for n in BREAKS]
    return tuple(BreakAct(from_packs=packs, pack_price=price) for packs, price in pairs if packs is not None)
