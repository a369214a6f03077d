"""The forms of hire: what came, what is agreed, what went back or came to harm, and the day of return."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages.stock_forms import day_field
from projects.pages import figures
from projects.pages.forms import ActForm, CountField, MoneyField

BASES = (
    ("piece_day", gettext_lazy("for one piece and day")),
    ("day", gettext_lazy("for a day, all pieces together")),
    ("whole", gettext_lazy("for the whole hire")),
)
DAY_COUNTS = (
    ("both", gettext_lazy("The day it comes and the day it goes back both count")),
    ("nights", gettext_lazy("Days of 24 hours: the day it goes back does not count")),
)
ENDS = (
    ("back", gettext_lazy("Brought back whole")),
    ("damaged", gettext_lazy("Brought back damaged")),
    ("lost", gettext_lazy("Lost")),
)


class HireForm(ActForm):
    """What came on hire, and what it serves."""

    material_id = forms.TypedChoiceField(label=gettext_lazy("Kind"), coerce=int)
    what = forms.CharField(
        label=gettext_lazy("What it is"),
        max_length=120,
        help_text=gettext_lazy("Size, make, number on the machine: “steel prop, 3.5 m”."),
    )
    pieces = CountField(label=gettext_lazy("Pieces counted"), of=gettext_lazy("pieces"), least=1)
    supplier_id = forms.TypedChoiceField(label=gettext_lazy("From"), coerce=int)
    note_number = forms.CharField(
        label=gettext_lazy("Number of the delivery note"), max_length=60, required=False
    )
    out_date = day_field(gettext_lazy("Came on"))
    due_date = day_field(gettext_lazy("Goes back on, as planned"))
    serves = forms.ChoiceField(label=gettext_lazy("For"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("out_date", "due_date"):
            self.fields[name].required = True

    def refuse(self, refused: Any) -> None:
        """Show a refusal of the pour or the slab at the one box that stands for both."""
        served = {"pour_id": "serves", "slab_id": "serves"}
        refused.field = served.get(str(refused.field), refused.field)
        super().refuse(refused)


class TermsForm(ActForm):
    """What is agreed with the supplier."""

    basis = forms.ChoiceField(label=gettext_lazy("Price"), choices=BASES)
    day_count = forms.ChoiceField(
        label=gettext_lazy("How days count"), choices=DAY_COUNTS, widget=forms.RadioSelect
    )
    minimum_days = CountField(
        label=gettext_lazy("Days charged at the least"), of=gettext_lazy("days"), least=1, most=365
    )

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = figures.locale_for(kwargs["locale"])
        price = MoneyField(label=_("Amount"), currency=currency, extra_places=4)
        lost = MoneyField(label=_("For a piece that is lost"), currency=currency, required=False)
        for name, box in (("rate", price), ("lost_price_minor", lost)):
            box.localise(chosen)
            self.fields[name] = box
        self.order_fields(["rate", "basis", "day_count", "minimum_days", "lost_price_minor"])


class HireEndForm(ActForm):
    """Pieces that went back or came to harm; the charge is asked of those who see money."""

    kind = forms.ChoiceField(label=gettext_lazy("What happened"), choices=ENDS, widget=forms.RadioSelect)
    pieces = CountField(label=gettext_lazy("Pieces"), of=gettext_lazy("pieces"), least=1)
    day = day_field(gettext_lazy("On"))
    found = forms.CharField(
        label=gettext_lazy("Damaged or lost: what was found"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Facts: what is broken or missing, where, since when."),
    )
    seen_by = forms.CharField(label=gettext_lazy("Who saw it"), max_length=120, required=False)

    def __init__(self, *args: Any, currency: str | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["day"].required = True
        if currency is not None:
            charge = MoneyField(label=_("Charged for it, if known"), currency=currency, required=False)
            charge.localise(figures.locale_for(kwargs["locale"]))
            self.fields["charge_minor"] = charge


class DueForm(ActForm):
    """The day on which the rest goes back."""

    due_date = day_field(gettext_lazy("Goes back on, as planned"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["due_date"].required = True
