"""The two forms of a delivery: of an order, filled with what is still to come, and without an order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import receipt_papers, units
from inventory.pages.stock_forms import Row, TimedForm, bar_fields, lot_fields, rejection_fields
from inventory.pages.units import Unit
from inventory.services.deliveries import ReceiptLineAct
from projects.errors import Refused

ROWS = 4
AS_ORDERED = "as_ordered"


HEAD = ("note_number", "same_note_answer", "vehicle", "happened_at", "sure_of_time", "remark", "lines")
"""What a form gives about the delivery as a whole, under the names of the act."""


class DeliveryForm(TimedForm):
    """What every delivery has: its note, its vehicle, and why a note's number comes again."""

    note_number = forms.CharField(
        label=gettext_lazy("Number of the delivery note"),
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "enterkeyhint": "done"}),
    )
    same_note_answer = forms.CharField(
        label=gettext_lazy("Why this number again?"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Only when it is another load with the same number."),
    )
    vehicle = forms.CharField(label=gettext_lazy("Vehicle"), max_length=30, required=False)
    remark = forms.CharField(label=gettext_lazy("Remark"), max_length=200, required=False)
    photo = receipt_papers.photo_field(
        label=gettext_lazy("Photo of the note"), required=False, max_length=200, allow_empty_file=True
    )

    same_load: Mapping[str, Any] = MappingProxyType({})
    """The receipt whose note has the same number, when that was asked."""

    @property
    def asks_for_answer(self) -> bool:
        """Whether the note's number was used before, or the answer is given."""
        return bool(self["same_note_answer"].errors or self["same_note_answer"].value())

    def refuse(self, refused: Refused) -> None:
        """Show a refusal of the act's fields at the boxes that stand for them."""
        boxes = {
            "lot_label": "lot",
            "reject_reason": "why",
            "hold_reason": "hold",
            "measured_kg_per_m": "mass",
            "made_date": "made",
            "bar_length_mm": "length",
        }
        refused.field = boxes.get(str(refused.field), refused.field)
        self.same_load = refused.params if refused.code == "same_note" else {}
        super().refuse(refused)

    def line_of(self, number: int, *, material_id: int, unit: Unit) -> ReceiptLineAct:
        """Return a row as a line of the act; an empty figure of the note is the figure found."""
        found = units.amount(self.value("found", number) or 0)
        stated, rejected, mass = (self.value(name, number) for name in ("stated", "rejected", "mass"))
        return ReceiptLineAct(
            material_id=material_id,
            stated=found if stated is None else units.amount(stated),
            found=found,
            rejected=units.amount(rejected or 0),
            reject_reason=self.value("why", number) or "",
            hold_reason=self.value("hold", number) or "",
            lot_label=self.value("lot", number) or "",
            made_date=self.value("made", number),
            measured_kg_per_m=None if mass is None else units.amount(mass),
            bars=self.value("bars", number),
            bar_length_mm=self.value("length", number),
            **unit.act,
        )


class OrderDeliveryForm(DeliveryForm):
    """A delivery of an order: a row for each of its lines, filled with what is still to come.

    Each row also carries the figure that it was filled with, so that the same sheet sent again, when nothing
    is to come any more, still says the same.
    """

    def __init__(self, *args: Any, expected: Any, locale: str, **kwargs: Any) -> None:
        self.expected = expected
        super().__init__(*args, locale=locale, **kwargs)
        for number, line in enumerate(expected.every, start=1):
            unit = units.packed(line.line.pack)
            left = line.packs_left * units.THOUSANDTHS
            found = units.figure(unit, label=_("Found"), initial=left, required=False)
            filled = forms.IntegerField(widget=forms.HiddenInput, initial=left, required=False)
            rest = rejection_fields(unit) | lot_fields(line.line.material)
            self.add_row(number, {"found": found, "filled": filled} | rest)
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows for the template."""
        return [
            self.row(
                number,
                names=["found", "filled", *rejection_fields(Unit("")), *lot_fields(line.line.material)],
                title=line.line.material.name,
            )
            for number, line in enumerate(self.expected.every, start=1)
        ]

    def clean(self) -> dict[str, Any]:
        """Refuse “all as ordered” beside figures that were changed: one of the two is a mistake."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if AS_ORDERED in self.data and any(self._changed(n) for n in self._numbers()):
            message = _("Figures below were changed. Tap “Record these quantities”, or load the page again.")
            self.add_error(None, message)
        elif not self.errors and not self._filled():
            self.add_error(None, _("Enter what was found of at least one material."))
        for number in set(self._numbers()) - set(self._filled()):
            if f"found_{number}" not in self.errors and self._rejected(number):
                self.add_error(f"found_{number}", _("Say how much was found, with what was rejected."))
        return self.with_lines(typed)

    def _rejected(self, number: int) -> bool:
        """Whether a rejection or hold was typed into a row of which nothing came; it is not left out."""
        return any(self.value(name, number) for name in ("rejected", "why", "hold"))

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return self._filled()[line - 1]

    def lines(self) -> tuple[ReceiptLineAct, ...]:
        """Return the rows of which something came, or should have by the note, as lines of the act."""
        made = []
        for number in self._filled():
            line = self.expected.every[number - 1].line
            act = self.line_of(number, material_id=line.material.pk, unit=units.packed(line.pack))
            made.append(replace(act, order_line_id=line.pk))
        return tuple(made)

    def _numbers(self) -> range:
        return range(1, len(self.expected.every) + 1)

    def _filled(self) -> list[int]:
        return [n for n in self._numbers() if self.value("found", n) or self.value("stated", n)]

    def _changed(self, number: int) -> bool:
        others = ("stated", "rejected", "why")
        figure = self.value("found", number) != self.value("filled", number)
        return figure or any(self.value(name, number) for name in others)


class FreeDeliveryForm(DeliveryForm):
    """A delivery without an order: supplier, and rows in which material and unit are chosen in one go."""

    site_id = forms.TypedChoiceField(label=gettext_lazy("At site"), coerce=int)
    supplier_id = forms.TypedChoiceField(label=gettext_lazy("From supplier"), coerce=int)

    def __init__(self, *args: Any, materials: Sequence[Any], locale: str, **kwargs: Any) -> None:
        self.choices = {
            f"{material.pk}:{unit.code}": (material, unit)
            for material in materials
            for unit in units.choices(material)
        }
        super().__init__(*args, locale=locale, **kwargs)
        offered = [("", _("choose")), *_grouped(materials)]
        for number in range(1, ROWS + 1):
            self.add_row(number, _free_row(offered, required=number == 1))
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows for the template."""
        names = list(_free_row([], required=False))
        return [self.row(number, names=names) for number in range(1, ROWS + 1)]

    def clean(self) -> dict[str, Any]:
        """Ask for the figure of every material that is named, and for the material of every figure."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in range(1, ROWS + 1):
            named, found = self.value("what", number), self.value("found", number)
            if named and found is None and f"found_{number}" not in self.errors:
                self.add_error(f"found_{number}", _("Say how much was found."))
            if not named and self._typed(number) and f"what_{number}" not in self.errors:
                self.add_error(f"what_{number}", _("Choose what it is."))
        return self.with_lines(typed)

    def _typed(self, number: int) -> bool:
        """Whether anything of a row was typed; a row of which only a part was typed is not left out."""
        rest = (
            self.value(name, number) for name in (*rejection_fields(Unit("")), "made", "lot", *bar_fields())
        )
        return self.value("found", number) is not None or any(rest)

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return self._filled()[line - 1]

    def lines(self) -> tuple[ReceiptLineAct, ...]:
        """Return the filled rows as lines of the act."""
        made = []
        for number in self._filled():
            material, unit = self.choices[self.value("what", number)]
            made.append(self.line_of(number, material_id=material.pk, unit=unit))
        return tuple(made)

    def _filled(self) -> list[int]:
        return [number for number in range(1, ROWS + 1) if self.value("what", number)]


def _grouped(materials: Sequence[Any]) -> list[tuple[str, list[tuple[str, str]]]]:
    return [
        (
            material.name,
            [(f"{material.pk}:{u.code}", f"{material.name}, {u.name}") for u in units.choices(material)],
        )
        for material in materials
    ]


def _free_row(offered: list[Any], *, required: bool) -> dict[str, forms.Field]:
    unit = Unit("")
    return {
        "what": forms.ChoiceField(label=_("Material and unit"), choices=offered, required=required),
        "found": units.figure(unit, label=_("Found, counted or measured"), required=required),
        **rejection_fields(unit),
        "made": forms.DateField(
            label=_("Made on, as printed"), required=False, widget=forms.DateInput(attrs={"type": "date"})
        ),
        "lot": forms.CharField(label=_("Lot or heat number"), max_length=60, required=False),
        **bar_fields(),
    }
