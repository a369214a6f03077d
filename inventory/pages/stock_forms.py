"""The forms of the stores: receipts, slips and counts, each row a material in the unit people count it in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import units
from inventory.pages.units import Unit
from projects.errors import Refused
from projects.pages import figures
from projects.pages.forms import ActForm, CountField, FigureField

WHEN = "%Y-%m-%dT%H:%M"


def when_field(label: Any) -> forms.DateTimeField:
    """Make a box for a moment; empty is now."""
    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=WHEN)
    return forms.DateTimeField(label=label, required=False, widget=widget)


def day_field(label: Any, **options: Any) -> forms.DateField:
    """Make a box for a day."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, required=False, widget=widget, **options)


@dataclass(frozen=True)
class Row:
    """A row of a form: its number, title, a line under it, and its fields by name."""

    number: int
    title: str
    note: str
    fields: dict[str, forms.BoundField]

    @property
    def wrong(self) -> bool:
        """Whether a field of it is at fault."""
        return any(field.errors for field in self.fields.values())

    @property
    def typed(self) -> bool:
        """Whether anything was typed into it."""
        return any(field.value() for field in self.fields.values())

    @property
    def more_to_see(self) -> bool:
        """Whether something stands, or is at fault, in the part that is folded away."""
        shown = ("what", "found", "filled", "amount")
        folded = [field for name, field in self.fields.items() if name not in shown]
        return any(field.errors or field.value() for field in folded)


class RowForm(ActForm):
    """A form whose fields repeat by row, as found_1, found_2; a refusal that names its line shows there."""

    title_block: Mapping[str, Any] = MappingProxyType({})
    """What the title block of its sheet names."""

    def add_row(self, number: int, fields: dict[str, forms.Field]) -> None:
        """Add the fields of a row."""
        self.fields |= {f"{name}_{number}": field for name, field in fields.items()}

    def settle(self, locale: str) -> None:
        """Read and write the figures of the rows as the firm's locale does."""
        for field in self.fields.values():
            if isinstance(field, FigureField):
                field.localise(figures.locale_for(locale))

    def row(self, number: int, *, names: Sequence[str], title: str = "", note: str = "") -> Row:
        """Return a row with its bound fields, for the template."""
        return Row(number, title, note, {name: self[f"{name}_{number}"] for name in names})

    def value(self, name: str, number: int) -> Any:
        """Return what was typed into a field of a row."""
        return self.cleaned_data.get(f"{name}_{number}")

    def lines(self) -> tuple[Any, ...]:
        """Return the filled rows as lines of the act; each form knows its own."""
        return ()

    def with_lines(self, typed: dict[str, Any]) -> dict[str, Any]:
        """Put the lines of the act beside what was typed, once nothing is wrong with it."""
        return typed if self.errors else typed | {"lines": self.lines()}

    def number_of_line(self, line: int) -> int:
        """Return the row that became a line of the act; rows left empty are no lines."""
        return line

    def refuse(self, refused: Refused) -> None:
        """Show a refusal at the field of its row where there is one."""
        line = refused.params.get("line")
        field = f"{refused.field}_{self.number_of_line(line)}" if line else refused.field
        self.add_error(field if field in self.fields else None, refused.message)


class TimedForm(RowForm):
    """A form of rows with its moment; one that lies long ago is asked about."""

    happened_at = when_field(gettext_lazy("When, if not now"))
    sure_of_time = forms.BooleanField(label=gettext_lazy("It was really then"), required=False)

    @property
    def asks_if_sure(self) -> bool:
        """Whether the time lies so long ago that the form asks, or the answer is given."""
        return bool(self["happened_at"].errors or self["sure_of_time"].value())


class ReasonForm(ActForm):
    reason = forms.CharField(
        label=gettext_lazy("Why is it taken back?"),
        max_length=150,
        help_text=gettext_lazy("It stays on record beside the entry."),
    )


def lot_fields(material: Any) -> dict[str, forms.Field]:
    """Return the boxes that tell a load apart: the date of make of what ages, heat and mass of bars."""
    if material.stock_unit == "mm":
        return {
            "lot": forms.CharField(label=_("Heat number"), max_length=60, required=False),
            **bar_fields(),
        }
    if material.shelf_days:
        return {
            "made": day_field(_("Made on, as printed")),
            "lot": forms.CharField(label=_("Lot, as printed"), max_length=60, required=False),
        }
    return {}


def bar_fields() -> dict[str, forms.Field]:
    """Return the boxes for what is weighed and counted of bars."""
    return {
        "mass": FigureField(
            label=_("Weighed mass of a metre"),
            unit_shown="kg/m",
            scale=units.THOUSANDTHS,
            least=1,
            required=False,
        ),
        "bars": CountField(
            label=_("Good bars counted"),
            of=_("bars"),
            least=1,
            required=False,
            help_text=_("Beside a weighed load: number and length then give the metres."),
        ),
        "length": FigureField(
            label=_("Length of one bar"), unit_shown="m", scale=units.THOUSANDTHS, least=1, required=False
        ),
    }


def rejection_fields(unit: Unit) -> dict[str, forms.Field]:
    """Return the boxes for what the note says and for what was rejected."""
    return {
        "stated": units.figure(
            unit, label=_("On the note"), required=False, help_text=_("Empty: the note says what was found.")
        ),
        "rejected": units.figure(unit, label=_("Rejected of it"), required=False),
        "why": forms.CharField(label=_("Why rejected"), max_length=200, required=False),
        "hold": forms.CharField(label=_("Hold the rest back, and why"), max_length=200, required=False),
    }
