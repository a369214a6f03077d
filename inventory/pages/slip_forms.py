"""Issue, return, waste and count: a row for each material that lies there."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import showing, units
from inventory.pages.stock_forms import Row, TimedForm, when_field
from inventory.services.counts import CountLineAct
from inventory.services.usage import SlipLineAct
from projects.errors import Refused
from projects.pages.forms import ActForm


class SlipForm(TimedForm):
    """Amounts of what lies at a place; rows are numbered by material. Empty rows are left out."""

    short = False
    """Whether the store has less than was asked for, so that a count is offered."""

    def __init__(self, *args: Any, hand: Any, locale: str, choose_lot: bool = False, **kwargs: Any) -> None:
        self.hand = hand
        self.locale = locale
        self.choose_lot = choose_lot
        super().__init__(*args, locale=locale, **kwargs)
        for held in hand.rows:
            self.add_row(held.material.pk, self._fields(held))
        self.settle(locale)

    def _fields(self, held: Any) -> dict[str, forms.Field]:
        fields: dict[str, forms.Field] = {
            "amount": units.figure(units.by_hand(held.material), label=held.material.name, required=False)
        }
        if self.choose_lot and held.lots:
            lots = [(lot.lot_id, f"{lot.label} {lot.words}".strip()) for lot in held.lots]
            fields["lot"] = forms.TypedChoiceField(
                label=_("From lot"),
                choices=[("", _("oldest first")), *lots],
                coerce=int,
                empty_value=None,
                required=False,
            )
        return fields

    @property
    def rows(self) -> list[Row]:
        """The rows for the template, each with what is there; what is used up shows only when typed."""
        return [
            self.row(
                held.material.pk,
                names=list(self._fields(held)),
                title=held.material.name,
                note=_there(held, locale=self.locale),
            )
            for held in self.hand.rows
            if held.quantity or self[f"amount_{held.material.pk}"].value()
        ]

    def refuse(self, refused: Refused) -> None:
        """Show a refusal at its row; when the store is short, a count is offered."""
        self.short = refused.code == "not_enough_stock"
        super().refuse(refused)

    def clean(self) -> dict[str, Any]:
        """Ask for at least one amount."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not self._filled():
            self.add_error(None, _("Enter the amount of at least one material."))
        return self.with_lines(typed)

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return int(self._filled()[line - 1].material.pk)

    def lines(self) -> tuple[SlipLineAct, ...]:
        """Return the filled rows as lines of the act."""
        return tuple(
            SlipLineAct(
                material_id=held.material.pk,
                amount=units.amount(self.value("amount", held.material.pk)),
                lot_id=self.value("lot", held.material.pk),
                **units.by_hand(held.material).act,
            )
            for held in self._filled()
        )

    def _filled(self) -> list[Any]:
        return [held for held in self.hand.rows if self.value("amount", held.material.pk)]


def _there(held: Any, *, locale: str) -> str:
    unit = units.by_hand(held.material)
    pack = next((pack for pack in held.material.packs.all() if pack.pk == unit.pack_id), None)
    shown = showing.material(held.material, pack=pack)
    if pack is not None and not shown.pack:
        shown = showing.Shown(shown.name, shown.unit, pack.name, pack.content)
    there = _("%(amount)s there") % {"amount": showing.quantity(held.usable, shown=shown, locale=locale)}
    if not held.blocked:
        return there
    old = showing.quantity(held.blocked, shown=shown, locale=locale)
    return f"{there}; " + _("%(amount)s blocked: over age") % {"amount": old}


class IssueForm(SlipForm):
    given_to = forms.CharField(label=gettext_lazy("Given to"), max_length=120, required=False)
    reason = forms.CharField(
        label=gettext_lazy("Remark"),
        max_length=150,
        required=False,
        help_text=gettext_lazy("A lot over age opens by its test, recorded on its page."),
    )


class ReturnForm(SlipForm):
    given_to = forms.CharField(label=gettext_lazy("Brought by"), max_length=120, required=False)


class WasteForm(SlipForm):
    reason = forms.CharField(
        label=gettext_lazy("What happened to it?"),
        max_length=150,
        help_text=gettext_lazy("The cause, as you would tell it: “bags burst in the rain”."),
    )


class OtherWorkForm(SlipForm):
    works = forms.CharField(
        label=gettext_lazy("For which works?"),
        max_length=200,
        help_text=gettext_lazy("As you would tell it: “plaster, ground floor”, “garden wall”."),
    )
    given_to = forms.CharField(label=gettext_lazy("Given to"), max_length=120, required=False)


class SendBackForm(ActForm):
    reason = forms.CharField(
        label=gettext_lazy("Why is it counted again?"),
        max_length=150,
        help_text=gettext_lazy("It stays on record beside the count."),
    )


class CountForm(TimedForm):
    """What was found; the book is not shown until figures are in. Rows are numbered by material."""

    remark = forms.CharField(label=gettext_lazy("Remark"), max_length=200, required=False)
    happened_at = when_field(gettext_lazy("Counted when, if not now"))
    recounted = forms.BooleanField(label=gettext_lazy("I have counted these again"), required=False)

    def __init__(
        self, *args: Any, materials: list[Any], locale: str, required: bool = False, **kwargs: Any
    ) -> None:
        self.materials = materials
        self.locale = locale
        self.book: dict[int, int] = {}
        self.far: set[int] = set()
        super().__init__(*args, locale=locale, **kwargs)
        for material in materials:
            self.add_row(material.pk, self._fields(material, required=required))
        self.settle(locale)

    def _fields(self, material: Any, *, required: bool = False) -> dict[str, forms.Field]:
        return {
            "found": units.figure(units.by_hand(material), label=material.name, required=required),
            "explanation": forms.CharField(
                label=_("Why %(material)s differs") % {"material": material.name},
                max_length=200,
                required=False,
            ),
        }

    @property
    def rows(self) -> list[Row]:
        """The rows for the template; a difference that waits for its reason says so."""
        return [
            self.row(
                material.pk,
                names=list(self._fields(material)),
                title=material.name,
                note=self._said(material),
            )
            for material in self.materials
        ]

    def _said(self, material: Any) -> str:
        if material.pk in self.far:
            return _("Far from what the book says. Count it again.")
        if material.pk not in self.book:
            return ""
        unit = units.by_hand(material)
        pack = next((pack for pack in material.packs.all() if pack.pk == unit.pack_id), None)
        shown = showing.material(material, pack=pack)
        figure = showing.quantity(self.book[material.pk], shown=shown, locale=self.locale)
        return _("The book says %(figure)s. Count again, or say why.") % {"figure": figure}

    @property
    def asks_for_recount(self) -> bool:
        """Whether figures lie far from the book, or the answer is given."""
        return bool(self["recounted"].errors or self["recounted"].value())

    def clean(self) -> dict[str, Any]:
        """Ask for at least one figure."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for one in self.materials:
            found, why = self.value("found", one.pk), self.value("explanation", one.pk)
            if why and found is None and f"found_{one.pk}" not in self.errors:
                self.add_error(f"found_{one.pk}", _("Enter what you found; 0 when there is none."))
        if self.materials and not self.errors and not self._filled():
            self.add_error(None, _("Enter what you found of at least one material; 0 when there is none."))
        return self.with_lines(typed)

    def refuse(self, refused: Refused) -> None:
        """Ask for a second count, or show the book beside each difference that waits for its reason."""
        self.far = set(refused.params.get("material_ids", ()))
        for fact in refused.params.get("differences", ()):
            self.book[fact["material_id"]] = fact["book"]
            self.add_error(f"explanation_{fact['material_id']}", _("Say why, or correct the figure."))
        if not self.book:
            super().refuse(refused)

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return int(self._filled()[line - 1].pk)

    def lines(self) -> tuple[CountLineAct, ...]:
        """Return the filled rows as lines of the act."""
        return tuple(
            CountLineAct(
                material_id=material.pk,
                found=units.amount(self.value("found", material.pk)),
                explanation=self.value("explanation", material.pk) or "",
                **units.by_hand(material).act,
            )
            for material in self._filled()
        )

    def _filled(self) -> list[Any]:
        return [one for one in self.materials if self.value("found", one.pk) is not None]
