from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import showing
from inventory.pages.bill_forms import HEAD, NoteForm, OnBill, SettleForm, SupplierBillForm
from inventory.queries import slips
from inventory.queries import supplier_bills as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import supplier_bills as service
from inventory.services.supplier_bills import SettleAct, SupplierBillAct
from projects.access.permissions import Permission
from projects.pages import acting, doors

KINDS = {"held": "warning", "accepted": "enough", "rejected": "none"}


def causes() -> dict[str, Any]:
    """Say in words why a line is held."""
    return {
        "not_received": _("nothing was received for it"),
        "more_than_received": _("more than was received"),
        "dearer": _("dearer than ordered"),
        "cheaper": _("cheaper than ordered"),
        "no_price": _("taken in without a price"),
    }


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    chosen, start = request.GET.get("state", ""), _start(request)
    slab = request.GET.get("slab", "")
    slab = slab if slab.isdecimal() and len(slab) < 10 else ""
    wanted = rows.Wanted(
        state=chosen if chosen in KINDS else "",
        slab_id=int(slab) if slab else None,
        start=start,
        count=rows.PAGE + 1,
    )
    found = rows.listing(actor, wanted=wanted)
    address = f"{reverse('inventory:supplier_bills')}?state={chosen}&slab={slab}&start="
    context = {
        "bills": [_listed(row, today=today) for row in found[: rows.PAGE]],
        "earlier": f"{address}{max(start - rows.PAGE, 0)}" if start else "",
        "later": f"{address}{start + rows.PAGE}" if len(found) > rows.PAGE else "",
        "filters": [
            {"value": value, "label": label, "current": value == chosen}
            for value, label in (
                ("", _("all")),
                ("held", _("held")),
                ("accepted", _("accepted")),
                ("rejected", _("sent back")),
            )
        ],
        "owed": rows.owed(actor, today=today),
        "suppliers": supplier_rows.listing(actor) if _may_enter(actor) else (),
        "title_block": {"document": _("Suppliers' bills")},
    }
    return render(request, "inventory/supplier_bills.html", context)


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def one(request: HttpRequest, supplier_bill_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    sheet = rows.one(actor, bill_id=supplier_bill_id)
    bill = sheet.row.bill
    words = causes()
    context = {
        "sheet": sheet,
        "bill": bill,
        "kind": KINDS[bill.state],
        "state": _state(sheet.row),
        "late": sheet.row.late_days(timezone.localdate()),
        "lines": [
            {
                "line": line,
                "shown": showing.material(line.material, pack=line.pack),
                "causes": [words[cause] for cause in line.causes],
                "more_minor": None
                if line.expected_minor is None
                else line.landed_minor - line.expected_minor,
            }
            for line in sheet.lines
        ],
        "advances": _advances(sheet.row, actor=actor),
        "may_settle": bill.state == "held" and actor.can(Permission.SETTLE_SUPPLIER_BILLS),
        "may_note": bill.kind == "bill" and bill.state == "accepted" and _may_enter(actor),
        "may_pay": sheet.row.open_minor > 0 and actor.can(Permission.PAY_SUPPLIERS),
        "crumbs": crumbs(),
        "title_block": {"document": f"{bill.supplier.name}, {bill.number}"},
    }
    return render(request, "inventory/supplier_bill.html", context)


@doors.with_permission(Permission.ENTER_SUPPLIER_BILLS)
def new(request: HttpRequest, supplier_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    supplier = supplier_rows.one(actor, supplier_id)
    waiting = rows.unbilled(actor, supplier_id=supplier.pk)
    form = _form(SupplierBillForm, waiting=waiting, actor=actor)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = SupplierBillAct(supplier_id=supplier.pk, **{name: typed[name] for name in HEAD})
        return service.record(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("A bill of %s") % supplier.name,
        lead=_("Copy what is printed. Leave the amount empty of what is not on this bill."),
        button=_("Enter the bill"),
        said=_("The bill is entered and held against what was ordered and received."),
        back=reverse("inventory:supplier_bills"),
        template="inventory/supplier_bill_new.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=page_of)


@doors.with_permission(Permission.ENTER_SUPPLIER_BILLS)
def note(request: HttpRequest, supplier_bill_id: int) -> HttpResponse:
    """Enter a credit or debit note on a bill: its rows are those of the bill."""
    actor = doors.actor_of(request)
    found = rows.one(actor, bill_id=supplier_bill_id)
    bill = found.row.bill
    form = _form(NoteForm, waiting=rows.of_bill(found), actor=actor)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = SupplierBillAct(
            supplier_id=bill.supplier_id,
            kind=typed["kind"],
            of_bill_id=bill.pk,
            **{name: typed[name] for name in HEAD},
        )
        return service.record(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("A note on bill %s") % bill.number,
        lead=_("A credit makes the bill cheaper, a debit dearer; the stock and the slabs bear the change."),
        button=_("Enter the note"),
        said=_("The note is entered."),
        back=page_of(bill),
        template="inventory/supplier_bill_new.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=page_of)


@doors.with_permission(Permission.SETTLE_SUPPLIER_BILLS)
def settle(request: HttpRequest, supplier_bill_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    bill = rows.one(actor, bill_id=supplier_bill_id).row.bill

    def do(typed: dict[str, Any], **how: Any) -> Any:
        accept = typed["decision"] == "accept"
        act = SettleAct(bill_id=bill.pk, accept=accept, reason=typed["reason"])
        return service.settle(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Settle bill %s") % bill.number,
        lead=_(
            "Accepted, its price differences go to the store for what is on hand and to the slabs for what "
            "they have had. Sent back, its number and its deliveries are free again."
        ),
        button=_("Settle the bill"),
        said=_("The bill is settled."),
        back=page_of(bill),
    )
    return acting.page(request, sheet=sheet, form=SettleForm, do=do, done=page_of)


def _form(kind: type[SupplierBillForm], *, waiting: Sequence[Any], actor: Any) -> Any:
    on = OnBill(waiting=waiting, materials=slips.kept_materials(actor), currency=actor.currency)

    def form(*args: Any, **kwargs: Any) -> SupplierBillForm:
        made = kind(*args, on=on, locale=actor.locale, **kwargs)
        made.title_block = {"document": _("Supplier's bill")}
        return made

    return form


def crumbs() -> list[dict[str, str]]:
    """Say the way to a page of suppliers' bills."""
    return [{"url": reverse("inventory:supplier_bills"), "label": _("Suppliers' bills")}]


def page_of(bill: Any) -> str:
    """Return the address of a bill."""
    return reverse("inventory:supplier_bill", args=[bill.pk])


def _advances(row: Any, *, actor: Any) -> list[Any]:
    if row.open_minor <= 0 or not actor.can(Permission.PAY_SUPPLIERS):
        return []
    return [
        {"payment": payment, "left_minor": payment.amount_minor - payment.used}
        for payment in rows.advances(actor, supplier_id=row.bill.supplier_id)
    ]


def _may_enter(actor: Any) -> bool:
    may: bool = actor.can(Permission.ENTER_SUPPLIER_BILLS)
    return may


def _listed(row: Any, *, today: Any) -> dict[str, Any]:
    late = row.late_days(today)
    words = showing.late(late) if late else _state(row)
    return {
        "bill": row.bill,
        "open_minor": row.open_minor,
        "words": words,
        "kind": "stop" if late else KINDS[row.bill.state],
    }


def _state(row: Any) -> str:
    if row.bill.kind == "bill" and row.bill.state == "accepted" and row.open_minor <= 0:
        return _("paid")
    return str(row.bill.get_state_display())


def _start(request: HttpRequest) -> int:
    typed = request.GET.get("start", "")
    return int(typed) if typed.isdecimal() and len(typed) < 10 else 0
