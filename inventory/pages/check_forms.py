"""The forms of what waits: checks of a delivered material, and passing or sending it back."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.calc import receiving
from inventory.pages import units
from inventory.pages.units import Unit
from inventory.services.checks import CheckAct
from projects.errors import Refused
from projects.pages import figures
from projects.pages.forms import ActForm, FigureField

VERDICTS = (
    ("", gettext_lazy("not looked at")),
    ("pass", gettext_lazy("passes")),
    ("hold", gettext_lazy("hold it")),
    ("reject", gettext_lazy("send it back")),
)


class ChecksForm(ActForm):
    """The checks of one material: what was seen, with a word when it does not pass, and what was read."""

    def __init__(self, *args: Any, material: Any, locale: str, **kwargs: Any) -> None:
        self.checks = receiving.of_material(material.code)
        super().__init__(*args, locale=locale, **kwargs)
        for check in self.checks:
            title = _(check.title)
            if check.limit:
                self.fields[f"c_{check.code}"] = FigureField(
                    label=title, unit_shown=check.unit, scale=units.THOUSANDTHS, most=100_000, required=False
                )
            else:
                self.fields[f"c_{check.code}"] = forms.ChoiceField(
                    label=title, choices=VERDICTS, required=False
                )
            label = _("What was seen: %s") % title
            self.fields[f"why_{check.code}"] = forms.CharField(label=label, max_length=200, required=False)
        for field in self.fields.values():
            if isinstance(field, FigureField):
                field.localise(figures.locale_for(locale))

    @property
    def rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """The boxes of each check for the template."""
        return [(self[f"c_{check.code}"], self[f"why_{check.code}"]) for check in self.checks]

    def clean(self) -> dict[str, Any]:
        """Ask for a word beside what does not pass, and for the check of every word."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for check in self.checks:
            said, why = typed.get(f"c_{check.code}"), typed.get(f"why_{check.code}")
            if said in {"hold", "reject"} and not why:
                self.add_error(f"why_{check.code}", _("Say what was seen."))
            if why and said in {"", None} and f"c_{check.code}" not in self.errors:
                self.add_error(f"c_{check.code}", _("Choose what becomes of it."))
        return typed if self.errors else typed | {"checks": self._acts(typed)}

    def refuse(self, refused: Refused) -> None:
        """Show a refusal at the top: it names its check."""
        refused.field = None
        super().refuse(refused)

    def _acts(self, typed: dict[str, Any]) -> tuple[CheckAct, ...]:
        acts = []
        for check in self.checks:
            said, why = typed[f"c_{check.code}"], typed[f"why_{check.code}"]
            if said in {"", None}:
                continue
            if check.limit:
                acts.append(CheckAct(check.code, reading=units.amount(said), remark=why))
            else:
                acts.append(CheckAct(check.code, verdict=said, remark=why))
        return tuple(acts)


class WordForm(ActForm):
    """One word for the record."""

    reason = forms.CharField(label=gettext_lazy("Why"), max_length=150)


class SendBackForm(WordForm):
    """What goes back, empty for all of it, and why."""

    def __init__(self, *args: Any, line: Any, locale: str, **kwargs: Any) -> None:
        super().__init__(*args, locale=locale, **kwargs)
        amount = units.figure(
            Unit(line.measured_in),
            label=_("How much goes back"),
            required=False,
            help_text=_("Empty: all that waits."),
        )
        amount.localise(figures.locale_for(locale))
        self.fields["amount"] = amount
        self.order_fields(["key", "amount", "reason"])
