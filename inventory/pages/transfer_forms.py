"""The forms of a transfer: what is sent to another site, and what of it arrived."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import units
from inventory.pages.slip_forms import SlipForm
from inventory.pages.stock_forms import Row, TimedForm
from inventory.services.transfers import ArrivedLineAct


class DispatchForm(SlipForm):
    to_site_id = forms.TypedChoiceField(label=gettext_lazy("To the store of"), coerce=int)
    vehicle = forms.CharField(label=gettext_lazy("Vehicle"), max_length=30, required=False)
    remark = forms.CharField(label=gettext_lazy("Remark"), max_length=400, required=False)


class ArrivalForm(TimedForm):
    """A row for each line that was sent, filled with that amount; less needs a word on what happened."""

    def __init__(self, *args: Any, sent: Any, locale: str, **kwargs: Any) -> None:
        self.sent = sent
        super().__init__(*args, **kwargs)
        for number, line in enumerate(sent.lines, start=1):
            unit = units.by_hand(line.material)
            filled = round(line.sent * units.THOUSANDTHS / unit.content)
            fields: dict[str, forms.Field] = {
                "found": units.figure(unit, label=_("Arrived"), initial=filled),
                "lost_reason": forms.CharField(
                    label=_("What happened to the rest"), max_length=200, required=False
                ),
            }
            self.add_row(number, fields)
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows for the template."""
        return [
            self.row(number, names=["found", "lost_reason"], title=line.material.name)
            for number, line in enumerate(self.sent.lines, start=1)
        ]

    def clean(self) -> dict[str, Any]:
        """Put the lines of the act beside what was typed."""
        return self.with_lines(super().clean() or self.cleaned_data)

    def lines(self) -> tuple[ArrivedLineAct, ...]:
        """Return every row as a line of the act."""
        return tuple(
            ArrivedLineAct(
                line_id=line.pk,
                found=units.amount(self.value("found", number) or 0),
                lost_reason=self.value("lost_reason", number) or "",
                **units.by_hand(line.material).act,
            )
            for number, line in enumerate(self.sent.lines, start=1)
        )
