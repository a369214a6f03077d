"""What was open when the firm began here, one by one: orders given before, and bills that were unpaid."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.pages import stores
from inventory.pages import suppliers as supplier_pages
from inventory.pages.stock_forms import Row, RowForm, day_field
from inventory.queries import stock
from inventory.queries import suppliers as supplier_rows
from inventory.services import opening_bills, opening_orders
from inventory.services.opening_bills import OwedBillAct
from inventory.services.opening_orders import EarlierLineAct, EarlierOrderAct
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.pages import acting, doors, figures
from projects.pages.forms import ActForm, CountField, MoneyField
from projects.queries import pours

ROWS = range(1, 6)
NAMES = ("pack", "packs", "before", "price", "pour")


class EarlierOrderForm(RowForm):
    """An order as it was given, and how much of each line had come."""

    supplier_id = forms.TypedChoiceField(label=gettext_lazy("Supplier"), coerce=int)
    number = forms.CharField(label=gettext_lazy("Number that it had"), max_length=60)
    ordered_date = day_field(gettext_lazy("Ordered on"))
    expected_date = day_field(gettext_lazy("Expected on"))

    def __init__(self, *args: Any, packs: Any, served: Any, currency: str, **kwargs: Any) -> None:
        locale = kwargs["locale"]
        super().__init__(*args, **kwargs)
        self.packs = packs
        for name in ("ordered_date", "expected_date"):
            self.fields[name].required = True
        choices = [("", _("nothing")), *supplier_pages.pack_choices(packs.values())]
        for number in ROWS:
            self.add_row(number, _line_fields(choices, served=served, currency=currency))
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The rows for the template."""
        return [self.row(number, names=NAMES, title=_("Line %s") % number) for number in ROWS]

    def clean(self) -> dict[str, Any]:
        """Ask for what is missing in a row of which a part was typed; at least one row is filled."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for number in self._filled():
            for name, said in (("packs", _("Enter what was ordered.")), ("price", _("Enter the price."))):
                if self.value(name, number) is None and f"{name}_{number}" not in self.errors:
                    self.add_error(f"{name}_{number}", said)
        if not self.errors and not self._filled():
            self.add_error("pack_1", _("Choose what was ordered."))
        return self.with_lines(typed)

    def lines(self) -> tuple[EarlierLineAct, ...]:
        """Return the filled rows as lines of the act."""
        return tuple(
            EarlierLineAct(
                material_id=self.packs[self.value("pack", number)].material_id,
                pack_id=self.value("pack", number),
                packs=self.value("packs", number),
                packs_before=self.value("before", number) or 0,
                pack_price=self.value("price", number),
                pour_id=self.value("pour", number),
            )
            for number in self._filled()
        )

    def number_of_line(self, line: int) -> int:
        """Return the row that became the line."""
        return self._filled()[line - 1]

    def refuse(self, refused: Refused) -> None:
        """Show a refusal of the delivered packs at their box."""
        refused.field = {"packs_before": "before"}.get(str(refused.field), refused.field)
        super().refuse(refused)

    def _filled(self) -> list[int]:
        return [number for number in ROWS if self.value("pack", number)]


class OwedBillForm(ActForm):
    """A bill that was unpaid."""

    supplier_id = forms.TypedChoiceField(label=gettext_lazy("Supplier"), coerce=int)
    number = forms.CharField(label=gettext_lazy("Number on the bill"), max_length=60)
    dated = day_field(gettext_lazy("Date of the bill"))
    due_date = day_field(
        gettext_lazy("To be paid by"),
        help_text=gettext_lazy("Empty: the supplier's days of credit after its date."),
    )

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["dated"].required = True
        boxes = {
            "total_minor": MoneyField(label=_("Total, as printed"), currency=currency, least=1),
            "paid_minor": MoneyField(label=_("Paid on it so far"), currency=currency, required=False),
        }
        for name, box in boxes.items():
            box.localise(figures.locale_for(kwargs["locale"]))
            self.fields[name] = box
        self.order_fields(["supplier_id", "number", "dated", "total_minor", "paid_minor", "due_date"])


@doors.with_permission(Permission.PLAN_ORDERS)
def order(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    site = stock.on_hand(actor, site_id=site_id, today=today).site
    packs = {pack.pk: pack for pack in supplier_rows.packs(actor)}
    served = [(row.pk, str(row)) for row in pours.open_ones(actor, site_id=site.pk)]
    sellers = [(row.pk, row.name) for row in supplier_rows.to_choose(actor, on=today)]

    def form(*args: Any, **kwargs: Any) -> EarlierOrderForm:
        made = EarlierOrderForm(
            *args, packs=packs, served=served, currency=actor.currency, locale=actor.locale, **kwargs
        )
        made.title_block = {"site": site.name, "document": _("Open order")}
        acting.offer(made, field="supplier_id", choices=[("", _("choose")), *sellers])
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        names = ("supplier_id", "number", "ordered_date", "expected_date", "lines")
        act = EarlierOrderAct(site_id=site.pk, **{name: typed[name] for name in names})
        return opening_orders.record(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("An open order for %s") % site.name,
        lead=_(
            "Given before you began here. What is still to come is an order from now on; nothing is sent."
        ),
        button=_("Enter the order"),
        said=_("The order is entered with what is still to come."),
        back=stores.crumbs(site)[-1]["url"],
        template="inventory/opening_order.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=_order)


@doors.with_permission(Permission.ENTER_SUPPLIER_BILLS)
def bill(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    sellers = [(row.pk, row.name) for row in supplier_rows.listing(actor)]

    form = acting.offering(
        OwedBillForm,
        offers={"supplier_id": [("", _("choose")), *sellers]},
        currency=actor.currency,
        locale=actor.locale,
    )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = OwedBillAct(**(typed | {"paid_minor": typed["paid_minor"] or 0}))
        return opening_bills.record(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("A bill that was unpaid"),
        lead=_("From before you began here: it is owed and grows old, and changes no stock and no slab."),
        button=_("Enter the bill"),
        said=_("The bill is entered."),
        back=reverse("inventory:supplier_bills"),
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=_bill)


def _line_fields(choices: Any, *, served: Any, currency: str) -> dict[str, forms.Field]:
    return {
        "pack": forms.TypedChoiceField(
            label=_("Material and pack"), coerce=int, empty_value=None, required=False, choices=choices
        ),
        "packs": CountField(label=_("Ordered"), of=_("packs"), least=1, required=False),
        "before": CountField(label=_("Of it had come"), of=_("packs"), required=False),
        "price": MoneyField(label=_("Price of a pack"), currency=currency, extra_places=4, required=False),
        "pour": forms.TypedChoiceField(
            label=_("For"),
            coerce=int,
            empty_value=None,
            required=False,
            choices=[("", _("the site as a whole")), *served],
        ),
    }


def _order(row: Any) -> str:
    return reverse("inventory:order", args=[row.pk])


def _bill(row: Any) -> str:
    return reverse("inventory:supplier_bill", args=[row.pk])
