"""The form of a load that is measured by readings: each marked as measured or assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.calc.measuring import methods
from inventory.calc.measuring.methods import Asked, Method
from inventory.pages import units
from inventory.pages.receipt_forms import DeliveryForm
from inventory.pages.stock_forms import lot_fields, rejection_fields, when_field
from inventory.pages.units import Unit
from inventory.queries.measuring import ForOrder
from inventory.services.deliveries import ReceiptLineAct
from inventory.services.measurings import MeasurementAct, ReadingAct, TicketAct
from projects.errors import Refused
from projects.pages.forms import FigureField

TIMES = ("batched_at", "arrived_at", "discharged_at")
NOT_ORDERED = ""
ROW = 1


@dataclass(frozen=True)
class ReadingRow:
    """A reading as the template draws it: its box, and the mark that it was assumed."""

    box: forms.BoundField
    assumed: forms.BoundField


class MeasuredForm(DeliveryForm):
    """One material measured one way: for which order, its readings, and what the note says."""

    order_line = forms.ChoiceField(label=gettext_lazy("For which order"), required=False)
    site_id = forms.TypedChoiceField(
        label=gettext_lazy("At site"), coerce=int, required=False, empty_value=None
    )
    supplier_id = forms.TypedChoiceField(
        label=gettext_lazy("From supplier"),
        coerce=int,
        required=False,
        empty_value=None,
    )
    unit = forms.ChoiceField(label=gettext_lazy("Recorded in"))

    def __init__(
        self,
        *args: Any,
        material: Any,
        method: Method,
        orders: Sequence[ForOrder],
        locale: str,
        **kwargs: Any,
    ) -> None:
        self.material, self.method = material, method
        self.orders = {str(one.line.pk): one.line for one in orders}
        self.units = {unit.code: unit for unit in units.choices(material)}
        super().__init__(*args, locale=locale, **kwargs)
        self.fields["unit"].choices = [(code, unit.name) for code, unit in self.units.items()]  # type: ignore[attr-defined]  # a choice
        self.fields["order_line"].choices = [  # type: ignore[attr-defined]  # a choice
            *((key, _order_words(line)) for key, line in self.orders.items()),
            (NOT_ORDERED, _("it was not ordered")),
        ]
        for ask in method.asks:
            self.fields[f"r_{ask.name}"] = _reading(ask)
            self.fields[f"assumed_{ask.name}"] = forms.BooleanField(label=_("assumed"), required=False)
        if method.work_out is None:
            self.fields["found_1"] = units.figure(Unit(""), label=_("Found"))
        if method is methods.TICKET:
            self.fields["batched_at"] = when_field(_("Batched, by the ticket"))
            self.fields["arrived_at"] = when_field(_("Arrived"))
            self.fields["discharged_at"] = when_field(_("Empty"))
            self.fields["batched_at"].required = True
        self.add_row(ROW, rejection_fields(Unit("")) | _lot_boxes(material))
        self.settle(locale)

    @property
    def readings(self) -> list[ReadingRow]:
        """The readings that are needed, for the template."""
        return self._rows(needed=True)

    @property
    def more_readings(self) -> list[ReadingRow]:
        """The readings that may be given, folded away."""
        return self._rows(needed=False)

    @property
    def more_readings_to_see(self) -> bool:
        """Whether one of these stands, or is at fault."""
        return any(row.box.errors or row.box.value() for row in self.more_readings)

    def _rows(self, *, needed: bool) -> list[ReadingRow]:
        asks = [ask for ask in self.method.asks if ask.needed is needed]
        return [ReadingRow(self[f"r_{ask.name}"], self[f"assumed_{ask.name}"]) for ask in asks]

    @property
    def further(self) -> list[forms.BoundField]:
        """The boxes that are folded away."""
        names = [name for name in self.fields if name.endswith(f"_{ROW}") and name != "found_1"]
        sure = ["sure_of_time"] if self.asks_if_sure else []
        return [self[name] for name in (*names, "vehicle", "happened_at", *sure, "remark")]

    @property
    def times(self) -> list[forms.BoundField]:
        """The boxes of the ticket's times."""
        return [self[name] for name in TIMES if name in self.fields]

    @property
    def further_to_see(self) -> bool:
        """Whether something stands, or is at fault, in the part that is folded away."""
        return any(field.errors or field.value() for field in self.further)

    def clean(self) -> dict[str, Any]:
        """Take site and supplier from the order; ask for both where there is none."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        line = self.orders.get(typed.get("order_line") or "")
        if line is not None:
            order = line.order
            head = {"site_id": order.site_id, "supplier_id": order.supplier_id, "order_id": order.pk}
            return self.with_lines(typed | head)
        for name, words in (("site_id", _("Choose the site.")), ("supplier_id", _("Choose the supplier."))):
            if typed.get(name) is None and name not in self.errors:
                self.add_error(name, words)
        return self.with_lines(typed | {"order_id": None})

    def lines(self) -> tuple[ReceiptLineAct, ...]:
        """Return the load as the one line of the act."""
        typed = self.cleaned_data
        order_line = self.orders.get(typed["order_line"])
        found, stated, rejected = (self.value(name, ROW) for name in ("found", "stated", "rejected"))
        return (
            ReceiptLineAct(
                material_id=self.material.pk,
                stated=None if stated is None else units.amount(stated),
                found=units.amount(found or 0),
                rejected=units.amount(rejected or 0),
                reject_reason=self.value("why", ROW) or "",
                hold_reason=self.value("hold", ROW) or "",
                lot_label=self.value("lot", ROW) or "",
                made_date=self.value("made", ROW),
                order_line_id=order_line.pk if order_line else None,
                measurement=self._measurement(),
                **self.units[typed["unit"]].act,
            ),
        )

    def refuse(self, refused: Refused) -> None:
        """Show a refusal of a reading at its box."""
        refused.field = f"r_{refused.field}" if f"r_{refused.field}" in self.fields else refused.field
        refused.field = {"pack_id": "unit"}.get(str(refused.field), refused.field)
        if refused.field in self.fields:
            refused.params.pop("line", None)  # there is one line, and its boxes have no number
        super().refuse(refused)

    def _measurement(self) -> MeasurementAct:
        typed = self.cleaned_data
        readings = tuple(
            ReadingAct(ask.name, _amount(typed[f"r_{ask.name}"], ask=ask), not typed[f"assumed_{ask.name}"])
            for ask in self.method.asks
            if typed[f"r_{ask.name}"] is not None
        )
        times = TicketAct(*(typed[name] for name in TIMES)) if self.method is methods.TICKET else None
        return MeasurementAct(self.method.code, readings, times)


def _reading(ask: Asked) -> FigureField:
    """Make the box of a reading; a mistake is refused by the bounds of the method."""
    scale = 1 if ask.whole else units.THOUSANDTHS
    return FigureField(
        label=_(ask.title),
        unit_shown=ask.unit,
        scale=scale,
        least=int(ask.least * scale),
        most=int(ask.most * scale),
        required=ask.needed,
    )


def _amount(whole: int, *, ask: Asked) -> Decimal:
    return Decimal(whole) if ask.whole else units.amount(whole)


def _lot_boxes(material: Any) -> dict[str, forms.Field]:
    """The boxes that tell a load apart, without those that the readings stand for."""
    return {name: box for name, box in lot_fields(material).items() if name in {"lot", "made"}}


def _order_words(line: Any) -> str:
    words = {"number": line.order.number, "supplier": line.order.supplier.name, "site": line.order.site.name}
    return _("%(number)s, %(supplier)s, to %(site)s") % words
