"""The forms of ordering: suppliers, offers, orders and what is decided on the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from projects.pages.forms import ActForm, CountField, MoneyField

ROWS = 4
MOST_ROWS = 40
MOST_ROWS_OF_PLAN = 200


def day_field(label: Any, **options: Any) -> forms.DateField:
    """Make a field for a day, picked from the browser's calendar."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **options)


class SupplierForm(ActForm):
    name = forms.CharField(label=gettext_lazy("Name of the supplier"), max_length=120)
    phone = forms.CharField(
        label=gettext_lazy("Telephone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"type": "tel"}),
    )
    email = forms.EmailField(
        label=gettext_lazy("E-mail for orders"),
        required=False,
        help_text=gettext_lazy("Orders are mailed there. Without it they are only marked as sent."),
    )
    credit_days = CountField(
        label=gettext_lazy("Bills are due after"),
        of=gettext_lazy("days"),
        most=365,
        required=False,
        help_text=gettext_lazy("Empty: on the day of the bill."),
    )

    is_client = forms.BooleanField(
        label=gettext_lazy("This is the client"),
        required=False,
        help_text=gettext_lazy("What comes from there is the client's own and has no value in the store."),
    )

    def clean_credit_days(self) -> int:
        """Return the days of credit; none when left empty."""
        days: int | None = self.cleaned_data["credit_days"]
        return 0 if days is None else days


class SupplierChangeForm(SupplierForm):
    ended_date = day_field(
        gettext_lazy("Nothing is bought there from"),
        required=False,
        help_text=gettext_lazy("Leave it empty while you buy there."),
    )


class OfferForm(ActForm):
    pack_id = forms.TypedChoiceField(label=gettext_lazy("Material and pack"), coerce=int)
    from_date = day_field(gettext_lazy("Price from"))
    minimum_packs = CountField(label=gettext_lazy("Least order"), of=gettext_lazy("packs"), least=1)
    lead_days = CountField(label=gettext_lazy("Takes"), of=gettext_lazy("working days"))
    valid_until = day_field(
        gettext_lazy("Price holds until"),
        required=False,
        help_text=gettext_lazy("Afterwards the plan no longer buys by it. Empty: until a later price."),
    )
    incremental = forms.BooleanField(
        label=gettext_lazy("The lower price is for the packs beyond that number only"),
        required=False,
        help_text=gettext_lazy("Not ticked: for all packs of the order."),
    )
    truck_packs = CountField(
        label=gettext_lazy("A truck is full with"),
        of=gettext_lazy("packs"),
        least=1,
        required=False,
        help_text=gettext_lazy("Only where its room and not its mass fills it."),
    )


def offer_form(currency: str) -> type[ActForm]:
    """Make the form of an offer in the firm's currency."""
    price = MoneyField(
        label=_("Price of one pack, on site"),
        currency=currency,
        extra_places=4,
        help_text=_("With freight, loading and the tax that you cannot claim back."),
    )
    return type("PricedOfferForm", (OfferForm,), {"pack_price": price})


class ReasonForm(ActForm):
    reason = forms.CharField(label=gettext_lazy("Reason"), max_length=200)


class PostponeForm(ReasonForm):
    until = forms.DateField(
        label=gettext_lazy("Show it again on"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    field_order = ("until", "reason")


class KeyForm(ActForm):
    """An act that asks for nothing but its key."""


@dataclass(frozen=True)
class Offered:
    """What a row of an order may choose from, by name, and the currency of its price."""

    packs: list[tuple[Any, str]]
    pours: list[tuple[Any, str]]
    currency: str


class OrderForm(ActForm):
    """An order with a fixed number of rows; a row without a material is left out."""

    NUMBERS: ClassVar[range] = range(0)
    site_id = forms.TypedChoiceField(label=gettext_lazy("For site"), coerce=int)
    supplier_id = forms.TypedChoiceField(label=gettext_lazy("From supplier"), coerce=int)
    expected_date = day_field(gettext_lazy("To be there on"))

    @property
    def rows(self) -> list[dict[str, Any]]:
        """The rows as bound fields, for the template."""
        names = ("pack", "packs", "price", "pour")
        return [{name: self[f"{name}_{n}"] for name in names} | {"number": n} for n in self.NUMBERS]

    def clean(self) -> dict[str, Any]:
        """Ask for the number of packs in every row that names a material, and the other way round."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for n in self.NUMBERS:
            what, packs = f"pack_{n}", f"packs_{n}"
            if typed.get(what) and not typed.get(packs) and packs not in self.errors:
                self.add_error(packs, _("Say how many packs."))
            others = typed.get(packs) or typed.get(f"pour_{n}") or typed.get(f"price_{n}") is not None
            if others and not typed.get(what) and what not in self.errors:
                self.add_error(what, _("Choose what it is."))
        return typed


def order_form(offered: Offered, *, rows: int) -> type[OrderForm]:
    """Make the form of an order with so many rows."""
    fields: dict[str, Any] = {"NUMBERS": range(1, rows + 1)}
    fields["freight_minor"] = MoneyField(
        label=_("Delivery costs"),
        currency=offered.currency,
        required=False,
        help_text=_("Empty: what the supplier charges for its trucks."),
    )
    for n in fields["NUMBERS"]:
        fields |= _row(n, offered=offered)
    return type("RowsOrderForm", (OrderForm,), fields)


def _row(n: int, *, offered: Offered) -> dict[str, forms.Field]:
    materials = [("", _("nothing")), *offered.packs]
    whole = [("", _("the site as a whole")), *offered.pours]
    return {
        f"pack_{n}": forms.TypedChoiceField(
            label=_("Row %(n)s: material and pack") % {"n": n},
            coerce=int,
            empty_value=None,
            required=False,
            choices=materials,
        ),
        f"packs_{n}": CountField(
            label=_("Row %(n)s: packs") % {"n": n}, of=_("packs"), least=1, required=False
        ),
        f"price_{n}": MoneyField(
            label=_("Row %(n)s: price of a pack") % {"n": n},
            currency=offered.currency,
            extra_places=4,
            required=False,
        ),
        f"pour_{n}": forms.TypedChoiceField(
            label=_("Row %(n)s: for") % {"n": n},
            coerce=int,
            empty_value=None,
            required=False,
            choices=whole,
        ),
    }


class PlanForm(ActForm):
    """What is ticked on the plan, with the packs to order of each."""

    ids: ClassVar[list[str]] = []

    def chosen(self) -> list[tuple[int, int]]:
        """Return the ticked suggestions with their packs."""
        typed = self.cleaned_data
        return [(int(pk), typed[f"packs_{pk}"]) for pk in self.ids if typed[f"choose_{pk}"]]


def plan_form(ids: Sequence[str]) -> type[PlanForm]:
    """Make the form of one order out of these suggestions; what is no number is left out."""
    known = [pk for pk in ids if pk.isdecimal() and len(pk) < 16][:MOST_ROWS_OF_PLAN]
    fields: dict[str, Any] = {"ids": known}
    for pk in known:
        fields[f"choose_{pk}"] = forms.BooleanField(label=_("Order this"), required=False)
        fields[f"packs_{pk}"] = CountField(label=_("Packs to order"), of="", least=1)
    return type("RowsPlanForm", (PlanForm,), fields)


def choice_form(row: Any, *, offers: Sequence[dict[str, Any]]) -> type[ActForm]:
    """Make the form that orders one suggestion in other packs or from another supplier."""
    sellers = [(offer["supplier_id"], offer["supplier"]) for offer in offers]
    fields = {
        "supplier_id": forms.TypedChoiceField(
            label=_("From supplier"), coerce=int, choices=list(dict(sellers).items())
        ),
        "packs": CountField(
            label=_("Packs to order"),
            of=row.pack.name,
            least=1,
            required=False,
            help_text=_("Leave it empty with another supplier: their packs are then counted anew."),
        ),
    }
    return type("SuggestionForm", (ActForm,), fields)
