"""The forms that change an order, and those of rate agreements."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages.order_forms import Offered, day_field
from inventory.pages.stock_forms import Row, RowForm
from inventory.services.order_changes import LineChange
from inventory.services.orders import LineAct
from projects.pages.forms import ActForm, CountField, MoneyField

FREE_ROWS = 2


class AmendForm(RowForm):
    """An order as it shall be: a box for every line, filled with what it asks for, and rows for new lines."""

    expected_date = day_field(gettext_lazy("To be there on"))
    reason = forms.CharField(label=gettext_lazy("Why it is amended"), max_length=200)

    def __init__(self, *args: Any, rows: Sequence[Any], offered: Offered, locale: str, **kwargs: Any) -> None:
        self.asked = tuple(rows)
        super().__init__(*args, **kwargs)
        for number, row in enumerate(self.asked, start=1):
            self.add_row(number, _line_boxes(row, currency=offered.currency))
        for number in self._free():
            self.add_row(number, _free_boxes(offered))
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The lines of the order, for the template."""
        return [
            self.row(number, names=["packs", "price"], title=row.material.name, note=row.pack.name)
            for number, row in enumerate(self.asked, start=1)
        ]

    @property
    def free_rows(self) -> list[Row]:
        """The rows for lines that are added."""
        return [self.row(number, names=["what", "packs", "price"]) for number in self._free()]

    def clean(self) -> dict[str, Any]:
        """Ask for both what is added and how many packs of it."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in self._free():
            what, packs = self.value("what", number), self.value("packs", number)
            if what and packs is None and f"packs_{number}" not in self.errors:
                self.add_error(f"packs_{number}", _("Say how many packs."))
            if packs is not None and not what:
                self.add_error(f"what_{number}", _("Choose what it is."))
        return typed

    def changes(self) -> tuple[LineChange, ...]:
        """Return the lines of the order as they shall be."""
        return tuple(
            LineChange(row.pk, self.value("packs", number), self.value("price", number))
            for number, row in enumerate(self.asked, start=1)
        )

    def added(self, packs: dict[int, Any]) -> tuple[LineAct, ...]:
        """Return the lines that are new; `packs` are the firm's by id."""
        return tuple(
            LineAct(
                material_id=packs[self.value("what", number)].material_id,
                pack_id=self.value("what", number),
                packs=self.value("packs", number),
                pack_price=self.value("price", number),
            )
            for number in self._free()
            if self.value("what", number)
        )

    def _free(self) -> range:
        return range(len(self.asked) + 1, len(self.asked) + 1 + FREE_ROWS)


def _line_boxes(row: Any, *, currency: str) -> dict[str, forms.Field]:
    return {
        "packs": CountField(
            label=_("Packs"), of=row.pack.name, initial=row.packs, help_text=_("0 strikes the line.")
        ),
        "price": MoneyField(
            label=_("Price of a pack"), currency=currency, extra_places=4, initial=row.pack_price
        ),
    }


def _free_boxes(offered: Offered) -> dict[str, forms.Field]:
    return {
        "what": forms.TypedChoiceField(
            label=_("Material and pack"),
            coerce=int,
            empty_value=None,
            required=False,
            choices=[("", _("nothing")), *offered.packs],
        ),
        "packs": CountField(label=_("Packs"), of=_("packs"), least=1, required=False),
        "price": MoneyField(
            label=_("Price of a pack"), currency=offered.currency, extra_places=4, required=False
        ),
    }


class ExpectForm(ActForm):
    expected_date = day_field(gettext_lazy("Now expected on"))
    reason = forms.CharField(
        label=gettext_lazy("Who said so, or why"),
        max_length=200,
        help_text=gettext_lazy("It stays with the order, beside the day before."),
    )


class TellForm(ActForm):
    way = forms.ChoiceField(
        label=gettext_lazy("How it was given"),
        choices=[("phone", gettext_lazy("by telephone")), ("hand", gettext_lazy("by hand, on paper"))],
        widget=forms.RadioSelect,
        initial="phone",
    )
    told_to = forms.CharField(label=gettext_lazy("Who took it"), max_length=120)


class AgreementForm(ActForm):
    supplier_id = forms.TypedChoiceField(label=gettext_lazy("With supplier"), coerce=int)
    pack_id = forms.TypedChoiceField(label=gettext_lazy("Material and pack"), coerce=int)
    total_packs = CountField(label=gettext_lazy("In all"), of=gettext_lazy("packs"), least=1)
    from_date = day_field(gettext_lazy("From"))
    valid_until = day_field(gettext_lazy("Until"))
    lead_days = CountField(label=gettext_lazy("Delivery takes"), of=gettext_lazy("working days"), initial=1)
    site_id = forms.TypedChoiceField(
        label=gettext_lazy("For site"), coerce=int, empty_value=None, required=False
    )
    remark = forms.CharField(label=gettext_lazy("Remark"), max_length=200, required=False)


def agreement_form(currency: str) -> type[ActForm]:
    """Make the form of an agreement in the firm's currency."""
    price = MoneyField(label=_("Price of one pack, on site"), currency=currency, extra_places=4)
    order = ["supplier_id", "pack_id", "pack_price", "total_packs", "from_date", "valid_until"]
    return type("PricedAgreementForm", (AgreementForm,), {"pack_price": price, "field_order": order})


class CallOffForm(ActForm):
    site_id = forms.TypedChoiceField(label=gettext_lazy("For site"), coerce=int)
    packs = CountField(label=gettext_lazy("Packs"), of=gettext_lazy("packs"), least=1)
    expected_date = day_field(gettext_lazy("To be there on"))
