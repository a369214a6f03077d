"""The forms of enquiries and quotations; a quotation is typed as quoted, in any unit and on any basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from inventory.pages import units
from inventory.pages.order_forms import day_field
from inventory.pages.stock_forms import Row, RowForm
from inventory.services.enquiries import EnquiryLineAct
from inventory.services.quotations import QuotedLineAct
from projects.errors import Refused
from projects.pages.forms import ActForm, CountField, FigureField, MoneyField

ROWS = 6

LOOSE = (
    ("kg", gettext_noop("kg")),
    ("quintal", gettext_noop("quintal, 100 kg")),
    ("t", gettext_noop("tonne")),
    ("lb", gettext_noop("lb")),
    ("m3", "m³"),
    ("cft", "ft³"),
    ("brass", gettext_noop("brass, 100 ft³")),
    ("yd3", "yd³"),
    ("L", "L"),
)
"""Units in which what is kept by mass or volume may be quoted; the service settles whether they fit."""

BASES = (
    ("included", gettext_lazy("in the price")),
    ("unit", gettext_lazy("for each priced unit")),
    ("whole", gettext_lazy("for the whole quantity")),
)


BOXES = {
    "unit": "per",
    "pack_id": "per",
    "bulk_density_kg_m3": "density",
    "tax_percent": "tax",
    "lead_days": "lead",
}
"""Fields of a quoted line by the name of their box."""


class EnquiryForm(RowForm):
    site_id = forms.TypedChoiceField(label=gettext_lazy("For site"), coerce=int)
    needed_date = day_field(gettext_lazy("Needed on site by"))
    answer_date = day_field(gettext_lazy("Quotations by"))
    supplier_ids = forms.TypedMultipleChoiceField(
        label=gettext_lazy("Suppliers to ask"), coerce=int, widget=forms.CheckboxSelectMultiple
    )
    remark = forms.CharField(
        label=gettext_lazy("A word to all of them"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, materials: Sequence[Any], locale: str, **kwargs: Any) -> None:
        self.choices = {
            f"{material.pk}:{unit.code}": (material, unit)
            for material in materials
            for unit in units.choices(material)
        }
        super().__init__(*args, **kwargs)
        names = [(code, f"{material.name} – {unit.name}") for code, (material, unit) in self.choices.items()]
        for number in range(1, ROWS + 1):
            self.add_row(number, _asked_row([("", _("nothing")), *names]))
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows of the form, for the template."""
        names = ["what", "amount", "specification"]
        return [self.row(number, names=names, title=_("Line %s") % number) for number in range(1, ROWS + 1)]

    def clean(self) -> dict[str, Any]:
        """Ask for the quantity of every material that is named, and the other way round."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in range(1, ROWS + 1):
            what, amount = self.value("what", number), self.value("amount", number)
            if what and amount is None and f"amount_{number}" not in self.errors:
                self.add_error(f"amount_{number}", _("Say how much of it."))
            if amount is not None and not what:
                self.add_error(f"what_{number}", _("Choose what it is."))
        if not self._filled() and not self.errors:
            self.add_error("what_1", _("Name at least one material to ask for."))
        return self.with_lines(typed)

    def lines(self) -> tuple[EnquiryLineAct, ...]:
        """Return the filled rows as lines of the act."""
        found = []
        for number in self._filled():
            material, unit = self.choices[self.value("what", number)]
            amount = units.amount(self.value("amount", number))
            said = self.value("specification", number) or ""
            act = EnquiryLineAct(material_id=material.pk, amount=amount, specification=said, **unit.act)
            found.append(act)
        return tuple(found)

    def number_of_line(self, line: int) -> int:
        """Return the row that became a line of the act."""
        filled = self._filled()
        return filled[line - 1] if line <= len(filled) else line

    def _filled(self) -> list[int]:
        return [number for number in range(1, ROWS + 1) if self.value("what", number)]


def _asked_row(choices: list[tuple[str, str]]) -> dict[str, forms.Field]:
    return {
        "what": forms.ChoiceField(label=_("Material and unit"), choices=choices, required=False),
        "amount": FigureField(
            label=_("How much of that unit"), unit_shown="", scale=units.THOUSANDTHS, least=1, required=False
        ),
        "specification": forms.CharField(label=_("Specification"), max_length=200, required=False),
    }


@dataclass(frozen=True)
class ToQuote:
    """What a quotation answers: the lines of the enquiry, who may have quoted, and the firm's currency."""

    lines: Sequence[Any]
    suppliers: Sequence[tuple[Any, str]]
    currency: str


class QuotationForm(RowForm):
    """A quotation; a line without a price was not quoted."""

    supplier_id = forms.TypedChoiceField(label=gettext_lazy("From supplier"), coerce=int)
    dated = day_field(gettext_lazy("Date of the quotation"))
    valid_until = day_field(
        gettext_lazy("Valid until"),
        required=False,
        help_text=gettext_lazy("Empty: no end was named."),
    )
    credit_days = CountField(
        label=gettext_lazy("Days of credit"), of=gettext_lazy("days"), most=365, required=False
    )
    reference = forms.CharField(label=gettext_lazy("Their number"), max_length=60, required=False)
    remark = forms.CharField(label=gettext_lazy("Remark"), max_length=400, required=False)

    def __init__(self, *args: Any, to: ToQuote, locale: str, **kwargs: Any) -> None:
        self.asked = tuple(to.lines)
        super().__init__(*args, **kwargs)
        self.fields["supplier_id"].choices = list(to.suppliers)  # type: ignore[attr-defined]  # a choice
        self.boxes: list[str] = []
        for number, line in enumerate(self.asked, start=1):
            fields = _quoted_row(line, currency=to.currency)
            self.boxes = list(fields)
            self.add_row(number, fields)
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The lines of the enquiry, for the template."""
        return [
            self.row(number, names=self.boxes, title=line.material.name, note=line.specification)
            for number, line in enumerate(self.asked, start=1)
        ]

    def clean(self) -> dict[str, Any]:
        """Ask for at least one price."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if not self._filled() and not self.errors:
            self.add_error("price_1", _("Give the price of at least one line."))
        typed["credit_days"] = typed.get("credit_days") or 0
        return self.with_lines(typed)

    def lines(self) -> tuple[QuotedLineAct, ...]:
        """Return the lines that were quoted."""
        return tuple(self._line(number, asked=self.asked[number - 1]) for number in self._filled())

    def number_of_line(self, line: int) -> int:
        """Return the row that became a line of the act."""
        filled = self._filled()
        return filled[line - 1] if line <= len(filled) else line

    def refuse(self, refused: Refused) -> None:
        """Show a refusal at its box; the act has other names for some of them."""
        if refused.field in BOXES:
            refused.field = BOXES[refused.field]
        super().refuse(refused)

    def _filled(self) -> list[int]:
        return [n for n in range(1, len(self.asked) + 1) if self.value("price", n) is not None]

    def _line(self, number: int, *, asked: Any) -> QuotedLineAct:
        unit = self.value("per", number)
        load, minimum = self.value("load", number), self.value("minimum", number)
        is_pack = unit.startswith("p")
        return QuotedLineAct(
            line_id=asked.pk,
            price=self.value("price", number),
            pack_id=int(unit[1:]) if is_pack else None,
            unit="" if is_pack else unit,
            load=None if load is None else units.amount(load),
            bulk_density_kg_m3=self.value("density", number),
            freight=self.value("freight", number) or 0,
            freight_basis=self.value("freight_basis", number),
            loading=self.value("loading", number) or 0,
            loading_basis=self.value("loading_basis", number),
            tax_percent=Decimal(self.value("tax", number) or 0) / 100,
            tax_included=self.value("tax_basis", number) == "in",
            tax_recoverable=bool(self.value("recovered", number)),
            minimum=Decimal(0) if minimum is None else units.amount(minimum),
            lead_days=self.value("lead", number) or 0,
        )


def _per(line: Any) -> list[tuple[str, str]]:
    """What a price of this material may be for: its packs, its own unit, and the units of mass and volume."""
    own = [(unit.code, unit.name) for unit in units.choices(line.material)]
    loose = LOOSE if line.material.stock_unit in {"g", "cm3"} else ()
    return list(dict([*own, *((code, _(name)) for code, name in loose if code not in dict(own))]).items())


def _quoted_row(line: Any, *, currency: str) -> dict[str, forms.Field]:
    def money(label: Any) -> MoneyField:
        return MoneyField(label=label, currency=currency, extra_places=4, required=False)

    def basis(label: Any) -> forms.ChoiceField:
        return forms.ChoiceField(label=label, choices=BASES)

    def figure(label: Any, **options: Any) -> FigureField:
        return FigureField(
            label=label, unit_shown="", scale=units.THOUSANDTHS, least=1, required=False, **options
        )

    return {
        "price": money(_("Price")),
        "per": forms.ChoiceField(label=_("for one"), choices=_per(line)),
        "load": figure(_("A load holds so many of them"), help_text=_("Only when priced by the truck load.")),
        "freight_basis": basis(_("Freight to the site is")),
        "freight": money(_("Freight")),
        "loading_basis": basis(_("Loading is")),
        "loading": money(_("Loading")),
        "tax_basis": forms.ChoiceField(
            label=_("Tax is"), choices=[("on", _("on top of these figures")), ("in", _("in these figures"))]
        ),
        "tax": FigureField(label=_("Rate of tax"), unit_shown="%", scale=100, most=10_000, required=False),
        "recovered": forms.BooleanField(label=_("The firm gets this tax back"), required=False),
        "minimum": figure(_("Least order, in what is priced")),
        "density": CountField(
            label=_("Bulk density that they state"),
            of="kg/m³",
            least=1,
            most=8_000,
            required=False,
            help_text=_("Needed only between mass and volume."),
        ),
        "lead": CountField(label=_("Takes"), of=_("working days"), most=365, required=False),
    }


class ChoiceForm(ActForm):
    reason = forms.CharField(label=gettext_lazy("Why this one"), max_length=200)
    pack_id = forms.TypedChoiceField(
        label=gettext_lazy("The plan buys it in"), coerce=int, empty_value=None, required=False
    )
