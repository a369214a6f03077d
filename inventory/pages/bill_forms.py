"""The forms of suppliers' bills and payments; a bill has a row for each delivery that waits to be billed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import units
from inventory.pages.stock_forms import Row, RowForm, day_field
from inventory.pages.units import Unit
from inventory.services.bill_lines import BilledLineAct
from projects.errors import Refused
from projects.pages.forms import ActForm, MoneyField

MOST_ROWS = 40
FREE_ROWS = 2
HEAD = (
    "number",
    "dated",
    "due_date",
    "freight_minor",
    "tax_minor",
    "tax_recoverable",
    "total_minor",
    "retained_minor",
    "retained_until",
    "lines",
)
"""What the form gives, under the names of the act."""


@dataclass(frozen=True)
class OnBill:
    """What may stand on a bill: deliveries with what is left to bill, materials, and the firm's currency."""

    waiting: Sequence[Any]
    materials: Sequence[Any]
    currency: str


class SupplierBillForm(RowForm):
    """A bill as printed; a delivery without an amount is not on it."""

    number = forms.CharField(
        label=gettext_lazy("Number on the bill"),
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    dated = day_field(gettext_lazy("Date of the bill"))
    due_date = day_field(
        gettext_lazy("To be paid by"),
        help_text=gettext_lazy("Empty: the supplier's days of credit after its date."),
    )
    tax_recoverable = forms.BooleanField(
        label=gettext_lazy("The firm gets this tax back"), required=False, initial=True
    )
    retained_until = day_field(gettext_lazy("Kept back until"))

    def __init__(self, *args: Any, on: OnBill, locale: str, **kwargs: Any) -> None:
        self.waiting = tuple(on.waiting)[:MOST_ROWS]
        currency = on.currency
        self.choices = {
            f"{material.pk}:{unit.code}": (material, unit)
            for material in on.materials
            for unit in units.choices(material)
        }
        super().__init__(*args, **kwargs)
        self.fields["dated"].required = True
        self._add_money(currency)
        for number, row in enumerate(self.waiting, start=1):
            self.add_row(number, _waiting_row(row, currency=currency))
        for number in self._free():
            self.add_row(number, _free_row(list(self.choices.items()), currency=currency))
        self.settle(locale)

    def _add_money(self, currency: str) -> None:
        boxes = {
            "freight_minor": _("Freight and loading on it"),
            "tax_minor": _("Tax on it"),
            "total_minor": _("Total, as printed"),
            "retained_minor": _("Kept back of it"),
        }
        for name, label in boxes.items():
            self.fields[name] = MoneyField(label=label, currency=currency, required=name == "total_minor")

    @property
    def rows(self) -> list[Row]:
        """The deliveries that wait, for the template."""
        return [
            self.row(
                number,
                names=["billed", "amount"],
                title=row.line.material.name,
                note=_("received %(day)s at %(site)s, %(receipt)s")
                % {
                    "day": row.line.receipt.happened_at.date().isoformat(),
                    "site": row.line.receipt.site.name,
                    "receipt": row.line.receipt.number,
                },
            )
            for number, row in enumerate(self.waiting, start=1)
        ]

    @property
    def free_rows(self) -> list[Row]:
        """The rows for what stands on the bill and was not received."""
        return [self.row(number, names=["what", "billed", "amount"]) for number in self._free()]

    def clean(self) -> dict[str, Any]:
        """Ask for what is missing in a row of which a part was typed; at least one row has an amount."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in self._free():
            if self.value("amount", number) is not None and not self.value("what", number):
                self.add_error(f"what_{number}", _("Choose what it is."))
        for number in self._filled():
            if self.value("billed", number) is None and f"billed_{number}" not in self.errors:
                self.add_error(f"billed_{number}", _("Enter the quantity that is billed."))
        if not self.errors and not self._filled():
            self.add_error(None, _("Enter the amount of at least one material, as printed on the bill."))
        for name in ("freight_minor", "tax_minor", "retained_minor"):
            if typed.get(name) is None:
                typed[name] = 0
        return self.with_lines(typed)

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return self._filled()[line - 1]

    def lines(self) -> tuple[BilledLineAct, ...]:
        """Return the rows with an amount as lines of the act."""
        return tuple(self._line(number) for number in self._filled())

    def refuse(self, refused: Refused) -> None:
        """Show a refusal of the act's fields at the boxes that stand for them."""
        refused.field = {"quantity": "billed"}.get(str(refused.field), refused.field)
        super().refuse(refused)

    def _line(self, number: int) -> BilledLineAct:
        quantity, amount = units.amount(self.value("billed", number)), self.value("amount", number)
        if number > len(self.waiting):
            material, unit = self.choices[self.value("what", number)]
            return BilledLineAct(material_id=material.pk, quantity=quantity, amount_minor=amount, **unit.act)
        line = self.waiting[number - 1].line
        return BilledLineAct(
            material_id=line.material_id,
            quantity=quantity,
            amount_minor=amount,
            receipt_line_id=line.pk,
            **_unit(line).act,
        )

    def _filled(self) -> list[int]:
        last = len(self.waiting) + FREE_ROWS
        return [number for number in range(1, last + 1) if self.value("amount", number) is not None]

    def _free(self) -> range:
        return range(len(self.waiting) + 1, len(self.waiting) + FREE_ROWS + 1)


class NoteForm(SupplierBillForm):
    """A credit or debit note on a bill."""

    kind = forms.ChoiceField(
        label=gettext_lazy("What is it?"),
        choices=[
            ("credit", gettext_lazy("credit note: less to pay")),
            ("debit", gettext_lazy("debit note: more to pay")),
        ],
        widget=forms.RadioSelect,
    )


class SettleForm(ActForm):
    decision = forms.ChoiceField(
        label=gettext_lazy("What is done with it?"),
        choices=[
            ("accept", gettext_lazy("Accept it as billed")),
            ("reject", gettext_lazy("Send it back to the supplier")),
        ],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=400,
        help_text=gettext_lazy("What was agreed, with whom; it stays on record."),
    )


class PaymentForm(ActForm):
    paid_date = forms.DateField(
        label=gettext_lazy("Paid on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    reference = forms.CharField(
        label=gettext_lazy("Number of the transfer or cheque"), max_length=60, required=False
    )


def payment_form(currency: str) -> type[ActForm]:
    """Make the form of a payment in the firm's currency."""
    amount = MoneyField(label=_("Amount"), currency=currency, least=1)
    order = ["amount_minor", "paid_date", "reference"]
    return type("AmountPaymentForm", (PaymentForm,), {"amount_minor": amount, "field_order": order})


def amount_form(currency: str) -> type[ActForm]:
    """Make the form of one amount in the firm's currency."""
    amount = MoneyField(label=_("Amount"), currency=currency, least=1)
    return type("AmountForm", (ActForm,), {"amount_minor": amount})


def _unit(line: Any) -> Unit:
    return units.packed(line.pack) if line.pack is not None else units.shown(line.material)


def _waiting_row(row: Any, *, currency: str) -> dict[str, forms.Field]:
    unit = _unit(row.line)
    left = round(row.left * units.THOUSANDTHS / unit.content)
    return {
        "billed": units.figure(unit, label=_("Billed"), initial=left, required=False),
        "amount": MoneyField(label=_("Amount"), currency=currency, required=False),
    }


def _free_row(offered: Sequence[Any], *, currency: str) -> dict[str, forms.Field]:
    choices = [(code, f"{material.name}, {unit.name}") for code, (material, unit) in offered]
    return {
        "what": forms.ChoiceField(
            label=_("Material and unit"), choices=[("", _("nothing")), *choices], required=False
        ),
        "billed": units.figure(Unit(""), label=_("Billed"), required=False),
        "amount": MoneyField(label=_("Amount"), currency=currency, required=False),
    }
