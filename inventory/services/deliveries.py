"""Deliveries: recorded as found, taken into the store, taken back as a whole when wrong."""

from __future__ import annotations

import functools
from datetime import date, datetime

from django.db.models import Sum
from django.utils.translation import gettext as _

from estimates.queries import standards
from inventory.models import (
    Payment,
    Place,
    PurchaseOrder,
    Receipt,
    ReceiptCheck,
    ReceiptLine,
    Supplier,
    SupplierBill,
)
from inventory.services import (
    firm_days,
    moments,
    orders,
    places,
    posting,
    receipt_lines,
    replan,
    texts,
)
from inventory.services.posting import Posting, Stamp
from inventory.services.receipt_acts import ReceiptAct, ReceiptLineAct, ReverseAct
from inventory.services.receipt_lines import OtherOrder
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Site
from projects.services import numbers
from projects.services.acts import business_act

__all__ = ["OtherOrder", "ReceiptAct", "ReceiptLineAct", "ReverseAct", "record", "reverse"]

MOST_LINES = 100


class NothingReceived(Refused):
    """A delivery of which nothing was found."""

    code = "nothing_received"


class TooManyLines(Refused):
    """More lines than one receipt may have."""

    code = "too_many_lines"


class SameNote(Refused):
    """The supplier's note number was used before in the same year."""

    code = "same_note"
    status = 409


class BilledAlready(Refused):
    """A supplier's bill stands on the receipt."""

    code = "billed_already"
    status = 409


class ReasonMissing(Refused):
    """An entry is taken back without a reason."""

    code = "reason_missing"


@business_act(result=Receipt)
def record(*, actor: Actor, act: ReceiptAct, key: str, now: datetime) -> Receipt:
    """Record a delivery: what was accepted goes to the store at the order's price, in lots.

    Nothing that arrived is refused for being unordered or too much: it is flagged. Refused are a note number
    used before (`same_note`, unless answered), a delivery of nothing, and figures that cannot be.
    """
    actor.require(Permission.RECORD_RECEIPTS)
    _require_lines(act)
    order, receipt = _head(actor=actor, act=act, now=now)
    order_lines = {line.pk: line for line in order.lines.select_related("order", "pack")} if order else {}
    on_date = firm_days.of(receipt.happened_at, actor=actor)
    frame = receipt_lines.Frame(
        actor=actor,
        receipt=receipt,
        order_lines=order_lines,
        on_date=on_date,
        profile=functools.cache(lambda: standards.of_firm(actor, profile_id=actor.profile)),
    )
    checked = []
    for n, stated in enumerate(act.lines, start=1):
        with texts.at_line(n):
            checked.append(receipt_lines.of(stated, position=n, frame=frame))
    lines = [one.line for one in checked]
    receipt.match = _match(lines, order=order)
    receipt.save()
    for line in lines:
        line.receipt = receipt
    ReceiptLine.objects.bulk_create(lines)
    for one in checked:
        for check in one.checks:
            check.line = one.line
    ReceiptCheck.objects.bulk_create([check for one in checked for check in one.checks])
    _take_in(
        lines, stamp=Stamp(actor=actor, happened_at=receipt.happened_at, now=now, key=key), site=receipt.site
    )
    if order is not None:
        orders.note_receipt(order, now=now)
    replan.soon(actor.firm_id, now=now)
    return receipt


@business_act(result=Receipt)
def reverse(*, actor: Actor, act: ReverseAct, key: str, now: datetime) -> Receipt:
    """Take a receipt back as a whole: its stock leaves the store again at its original value.

    Refused without a reason, when it was taken back before, or when part of it has been used.
    """
    actor.require(Permission.RECORD_RECEIPTS)
    reason = act.reason.strip()
    if not reason:
        raise ReasonMissing(_("Say why the receipt is taken back; it stays on record."), field="reason")
    rows = Receipt.objects.select_for_update(of=("self",)).select_related("site", "order")
    receipt = scope.get(rows, actor, pk=act.receipt_id)
    if receipt.reversed_at is not None:
        raise posting.AlreadyReversed(_("%(number)s was taken back before.") % {"number": receipt.number})
    _undo_cash(receipt, reason=reason, actor=actor, now=now)
    _require_unbilled(receipt)
    order = _locked_order(actor, order_id=receipt.order_id)
    posting.reverse(of=receipt, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    receipt.reversed_at = now
    receipt.remark = texts.fitting(
        f"{receipt.remark} · {reason}".removeprefix(" · "), most=400, field="reason"
    )
    receipt.save(update_fields=["reversed_at", "remark"])
    receipt.lines.update(held=0)
    if order is not None:
        orders.note_receipt(order, now=now)
    replan.soon(actor.firm_id, now=now)
    return receipt


def _undo_cash(receipt: Receipt, *, reason: str, actor: Actor, now: datetime) -> None:
    """A purchase for cash goes back as a whole: its own bill is sent back, its payment taken back."""
    order = receipt.order
    if order is None or order.way != PurchaseOrder.Way.CASH:
        return
    bills = SupplierBill.objects.filter(supplier_id=order.supplier_id, number=order.number)
    bill = bills.exclude(state=SupplierBill.State.REJECTED).first()
    if bill is None:
        return
    Payment.objects.filter(parts__bill=bill, reversed_at=None).update(
        reversed_at=now, reverse_reason=reason[:200]
    )
    bill.state, bill.settle_reason = SupplierBill.State.REJECTED, reason[:400]
    bill.settled_by_id, bill.settled_at = actor.person_id, now
    bill.save(update_fields=["state", "settle_reason", "settled_by", "settled_at"])


def _require_unbilled(receipt: Receipt) -> None:
    live = SupplierBill.objects.exclude(state=SupplierBill.State.REJECTED)
    bill = live.filter(lines__receipt_line__receipt=receipt).order_by("id").first()
    if bill is not None:
        message = _("The supplier's bill %(bill)s is for this delivery. Send that bill back first.")
        raise BilledAlready(message % {"bill": bill.number}, bill_id=bill.pk)


def _require_lines(act: ReceiptAct) -> None:
    if not any(line.found or receipt_lines.by_readings(line) for line in act.lines):
        message = _("Nothing was found in this delivery. Enter what was counted or measured.")
        raise NothingReceived(message, field="found")
    if len(act.lines) > MOST_LINES:
        message = _("A receipt has at most %(most)s lines, not %(count)s. Record it in two receipts.")
        raise TooManyLines(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")


def _head(*, actor: Actor, act: ReceiptAct, now: datetime) -> tuple[PurchaseOrder | None, Receipt]:
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    supplier = scope.get(Supplier.objects.select_for_update(no_key=True), actor, pk=act.supplier_id)
    note = texts.fitting(act.note_number, most=60, field="note_number")
    happened_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    if note and not act.same_note_answer.strip():
        _require_new_note(
            note, on_date=firm_days.of(happened_at, actor=actor), supplier=supplier, actor=actor
        )
    order = _locked_order(actor, order_id=act.order_id)
    if order is not None and (order.site_id, order.supplier_id) != (site.pk, supplier.pk):
        message = _(
            "Order %(number)s is of another supplier or site. Choose its own, or record without an order."
        )
        raise OtherOrder(message % {"number": order.number}, field="order_id")
    receipt = Receipt(
        firm_id=actor.firm_id,
        site=site,
        supplier=supplier,
        order=order,
        number=numbers.next_number(firm_id=actor.firm_id, kind="RC", now=now),
        note_number=note,
        same_note_answer=texts.fitting(act.same_note_answer, most=200, field="same_note_answer"),
        vehicle=texts.fitting(act.vehicle, most=30, field="vehicle"),
        happened_at=happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
        remark=texts.fitting(act.remark, most=400, field="remark"),
    )
    return order, receipt


def _locked_order(actor: Actor, *, order_id: int | None) -> PurchaseOrder | None:
    if order_id is None:
        return None
    return scope.get(PurchaseOrder.objects.select_for_update(of=("self",)), actor, pk=order_id)


def _require_new_note(note: str, *, on_date: date, supplier: Supplier, actor: Actor) -> None:
    earlier = Receipt.objects.filter(supplier=supplier, note_number__iexact=note, reversed_at=None)
    for receipt in earlier.order_by("-happened_at", "-id"):
        when = firm_days.of(receipt.happened_at, actor=actor)
        if when.year == on_date.year:
            message = _(
                "Note %(note)s of %(supplier)s is recorded already, on %(date)s. If this is the same load, "
                "there is nothing to do; if it is another one, say why it has the same number."
            )
            params = {"note": note, "supplier": supplier.name, "date": when.isoformat()}
            known = {"receipt_id": receipt.pk, "number": receipt.number}
            raise SameNote(message % params, field="same_note_answer", **params, **known)


def _match(lines: list[ReceiptLine], *, order: PurchaseOrder | None) -> Receipt.Match:
    """Say whether the delivery is as ordered, partly not ordered, or more than was still to come.

    A draft, a cancelled order and one that a person has closed are no orders to deliver against.
    """
    ended = order is not None and order.state == PurchaseOrder.State.CLOSED and bool(order.end_reason)
    no_orders = (PurchaseOrder.State.DRAFT, PurchaseOrder.State.CANCELLED)
    if order is None or ended or order.state in no_orders:
        return Receipt.Match.UNORDERED
    earlier = ReceiptLine.objects.filter(order_line__order=order, receipt__reversed_at=None)
    sums = earlier.values_list("order_line").annotate(Sum("accepted"), Sum("mass_g")).order_by("order_line")
    came = {line_id: (accepted, mass_g or 0) for line_id, accepted, mass_g in sums}
    for line in lines:
        asked = line.order_line
        if asked is None:
            continue
        before, before_g = came.get(asked.pk, (0, 0))
        came[asked.pk] = (before + line.accepted, before_g + (line.mass_g or 0))
        good, good_g = came[asked.pk]
        if (good > asked.quantity) if asked.mass_g is None else (good_g > asked.mass_g):
            return Receipt.Match.EXCESS
    if any(line.order_line is None for line in lines):
        return Receipt.Match.UNORDERED
    return Receipt.Match.ORDERED


def _taken_to(line: ReceiptLine, *, site: Site) -> Place:
    """What waits for a check goes to quarantine, everything else to the store."""
    return places.of_site(site, kind=Place.Kind.QUARANTINE if line.held else Place.Kind.STORE)


def _take_in(lines: list[ReceiptLine], *, stamp: Stamp, site: Site) -> None:
    supplier = places.of_site(site, kind=Place.Kind.SUPPLIER)
    moves = [
        Posting(
            material=line.material,
            lot=line.lot,
            source=supplier,
            target=_taken_to(line, site=site),
            quantity=line.accepted,
            value_minor=line.value_minor,
            reason=posting.Reason.RECEIPT,
            receipt_line=line,
        )
        for line in lines
        if line.accepted
    ]
    posting.post(moves, stamp=stamp)
