from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import suppliers
from inventory.pages.stock_forms import Row, RowForm
from inventory.queries import deliveries
from inventory.queries import suppliers as supplier_rows
from inventory.services import cash
from inventory.services.cash import CashAct, CashLineAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import CountField, MoneyField
from projects.queries import sites

ROWS = 3


class CashForm(RowForm):
    """What was bought for cash: packs and what was paid for them; a row without a material is left out."""

    site_id = forms.TypedChoiceField(label=gettext_lazy("For site"), coerce=int)
    supplier_id = forms.TypedChoiceField(
        label=gettext_lazy("Bought from"), coerce=int, empty_value=None, required=False
    )
    shop = forms.CharField(label=gettext_lazy("Or the name of the shop"), max_length=120, required=False)
    note_number = forms.CharField(label=gettext_lazy("Number on the bill"), max_length=60, required=False)

    def __init__(
        self, *args: Any, packs: list[tuple[Any, str]], currency: str, locale: str, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        for number in range(1, ROWS + 1):
            self.add_row(number, _boxes([("", _("nothing")), *packs], currency=currency))
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows of the form, for the template."""
        names = ["what", "packs", "paid_minor"]
        return [self.row(number, names=names, title=_("Line %s") % number) for number in range(1, ROWS + 1)]

    def clean(self) -> dict[str, Any]:
        """Ask for number and amount of every material that is named, and the other way round."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in range(1, ROWS + 1):
            what = self.value("what", number)
            for name, ask in (("packs", _("Say how many packs.")), ("paid_minor", _("Say what was paid."))):
                value = self.value(name, number)
                if what and value is None and f"{name}_{number}" not in self.errors:
                    self.add_error(f"{name}_{number}", ask)
                if value is not None and not what and f"what_{number}" not in self.errors:
                    self.add_error(f"what_{number}", _("Choose what it is."))
        if not self._filled() and not self.errors:
            self.add_error("what_1", _("Name at least one material that was bought."))
        return typed

    def bought(self, packs: dict[int, Any]) -> tuple[CashLineAct, ...]:
        """Return the filled rows as lines of the act; `packs` are the firm's by id."""
        return tuple(
            CashLineAct(
                material_id=packs[self.value("what", number)].material_id,
                pack_id=self.value("what", number),
                packs=self.value("packs", number),
                paid_minor=self.value("paid_minor", number),
            )
            for number in self._filled()
        )

    def number_of_line(self, line: int) -> int:
        """Return the row that became a line of the act."""
        filled = self._filled()
        return filled[line - 1] if line <= len(filled) else line

    def _filled(self) -> list[int]:
        return [number for number in range(1, ROWS + 1) if self.value("what", number)]


@doors.with_permission(Permission.BUY_FOR_CASH)
def buy(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    packs = {pack.pk: pack for pack in supplier_rows.packs(actor)}
    names = suppliers.pack_choices(packs.values())
    sellers = [(row.pk, row.name) for row in deliveries.suppliers(actor, today=timezone.localdate())]
    own = [(row.pk, row.name) for row in sites.all_sites(actor)]
    held: list[CashForm] = []

    def form(*args: Any, **kwargs: Any) -> CashForm:
        made = CashForm(*args, packs=names, currency=actor.currency, locale=actor.locale, **kwargs)
        acting.offer(made, field="site_id", choices=own)
        acting.offer(made, field="supplier_id", choices=[("", _("a shop that is not listed")), *sellers])
        held.append(made)
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = {name: typed[name] for name in ("site_id", "supplier_id", "shop", "note_number")}
        return cash.buy(actor=actor, act=CashAct(lines=held[-1].bought(packs), **whole), **how)

    sheet = acting.Sheet(
        heading=_("Bought for cash"),
        lead=_("Order, receipt and payment in one. Keep the shop's bill for the office."),
        button=_("Record the purchase"),
        said=_("The purchase is recorded; the store has it, and it counts as paid."),
        back=reverse("inventory:expected"),
        template="inventory/cash.html",
    )
    initial = {"site_id": request.GET.get("site")}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial, done=_order)


def _boxes(choices: list[tuple[Any, str]], *, currency: str) -> dict[str, forms.Field]:
    return {
        "what": forms.TypedChoiceField(
            label=_("Material and pack"), coerce=int, empty_value=None, required=False, choices=choices
        ),
        "packs": CountField(label=_("Packs"), of=_("packs"), least=1, required=False),
        "paid_minor": MoneyField(label=_("Paid for them"), currency=currency, required=False),
    }


def _order(order: Any) -> str:
    return reverse("inventory:order", args=[order.pk])
