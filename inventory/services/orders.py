"""Purchase orders: written, approved, sent, delivered in parts, closed or cancelled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, Sum
from django.utils.translation import gettext as _

from inventory.models import OrderLine, PurchaseOrder, Supplier
from inventory.services import delivery_charge, firm_days, order_lines, replan
from inventory.services.order_lines import MOST_OF_LINE, MOST_PACKS, BadLine, Frame, LineAct, PriceMissing
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Firm, Site
from projects.services import numbers, outbox
from projects.services.acts import business_act

__all__ = ["MOST_OF_LINE", "MOST_PACKS", "BadLine", "LineAct", "PriceMissing"]

State = PurchaseOrder.State

FROM: dict[str, tuple[State, ...]] = {
    "approve": (State.DRAFT,),
    "send": (State.APPROVED,),
    "amend": (State.DRAFT, State.APPROVED, State.SENT, State.PART),
    "expect": (State.APPROVED, State.SENT, State.PART),
    "cancel": (State.DRAFT, State.APPROVED, State.SENT, State.PART),
    "close": (State.APPROVED, State.SENT, State.PART),
}
"""From which states each step can be taken; what arrives (`note_receipt`) moves an order by itself."""

SEND_JOB = "inventory.send_order"
MOST_LINES = 200


class WrongState(Stale):
    """The order is past, or not yet in, the state in which this can be done."""

    code = "wrong_state"


class OverLimit(Refused):
    """The order is above the amount that the office may approve; it waits for the owner."""

    code = "over_limit"
    status = 403


class NoLines(Refused):
    """An order of nothing, or of too many lines for one order."""

    code = "no_lines"


class SupplierEnded(Refused):
    """Nothing is bought from this supplier any more."""

    code = "supplier_ended"


class DateGone(Refused):
    """The day of delivery is over."""

    code = "date_gone"


class ReasonMissing(Refused):
    """A step that asks for its reason."""

    code = "reason_missing"


@dataclass(frozen=True)
class OrderAct:
    """An order to one supplier for one site; without `freight_minor` it bears the charge for its trucks."""

    site_id: int
    supplier_id: int
    expected_date: date
    lines: tuple[LineAct, ...]
    freight_minor: int | None = None


@dataclass(frozen=True)
class StepAct:
    """A step of an order, with its reason where one is asked for."""

    order_id: int
    reason: str = ""


@business_act(result=PurchaseOrder)
def draft(*, actor: Actor, act: OrderAct, key: str, now: datetime) -> PurchaseOrder:
    """Write an order; refused without lines, to an ended supplier, for a day gone by, or with a bad line."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    order = write(actor=actor, act=act, now=now)
    replan.soon(actor.firm_id, now=now)
    return order


@business_act(result=PurchaseOrder)
def approve(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Approve a draft; refused with `over_limit` when only the owner may. One's own is marked as such."""
    del key
    actor.require(Permission.APPROVE_ORDERS)
    order = take_step(actor, order_id=act.order_id, step="approve")
    require_within_limit(order, actor=actor)
    replan.soon(actor.firm_id, now=now)
    return mark_approved(order, actor=actor, now=now)


@business_act(result=PurchaseOrder)
def send(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Mark an approved order as sent; a supplier with an address gets an e-mail, after the commit."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    return mark_sent(take_step(actor, order_id=act.order_id, step="send"), now=now)


@business_act(result=PurchaseOrder)
def cancel(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Cancel an order; of one that has come in part the rest is closed. Asks for the reason.

    A supplier who had it by mail is told by mail.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    return _end(actor, act=act, step="cancel", now=now)


@business_act(result=PurchaseOrder)
def close(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Close an order whose rest will not come; asks for the reason."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    return _end(actor, act=act, step="close", now=now)


@business_act(result=PurchaseOrder)
def note_mailed(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Keep on record that the order's e-mail has left, so that no second one does."""
    del key, now
    actor.require(Permission.PLAN_ORDERS)
    return scope.get(PurchaseOrder.objects.all(), actor, pk=act.order_id)


def write(*, actor: Actor, act: OrderAct, now: datetime, from_day: date | None = None) -> PurchaseOrder:
    """Write the rows of a draft, inside the caller's act; refuses as `draft` does.

    `from_day` is the first day on which it may be expected; left out, today.
    """
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    today = firm_days.of(now, actor=actor)
    _require_open(supplier, expected_date=act.expected_date, from_day=from_day or today)
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("An order has between 1 and %(most)s lines; this one has %(lines)s. Add what to buy.")
        raise NoLines(message % {"most": MOST_LINES, "lines": len(act.lines)}, field="lines")
    frame = Frame(supplier=supplier, site=site, today=today, actor=actor)
    lines = order_lines.build(act.lines, frame=frame)
    freight = _freight(act, supplier=supplier, lines=lines, today=today)
    order = PurchaseOrder.objects.create(
        firm_id=actor.firm_id,
        site=site,
        supplier=supplier,
        number=numbers.next_number(firm_id=actor.firm_id, kind="PO", now=now),
        expected_date=act.expected_date,
        freight_minor=freight,
        total_minor=sum(line.amount_minor for line in lines) + freight,
        created_by_id=actor.person_id,
        created_at=now,
    )
    for line in lines:
        line.order = order
    OrderLine.objects.bulk_create(lines)
    return order


def add_lines(
    order: PurchaseOrder, *, lines: tuple[LineAct, ...], actor: Actor, now: datetime
) -> list[OrderLine]:
    """Add lines to an order, inside the caller's act; its total is the caller's to write."""
    there = order.lines.count()
    if there + len(lines) > MOST_LINES:
        message = _("An order has at most %(most)s lines. Write a second order.")
        raise NoLines(message % {"most": MOST_LINES}, field="lines")
    today = firm_days.of(now, actor=actor)
    frame = Frame(supplier=order.supplier, site=order.site, today=today, actor=actor)
    rows = order_lines.build(lines, frame=frame, after=there)
    for row in rows:
        row.order = order
    return OrderLine.objects.bulk_create(rows)


def needs_owner(order: PurchaseOrder, *, actor: Actor) -> bool:
    """Say whether the order is above the firm's limit and the actor may not approve that much."""
    limit = Firm.objects.values_list("approval_limit_minor", flat=True).get(pk=actor.firm_id)
    return 0 < limit < order.total_minor and not actor.can(Permission.APPROVE_LARGE_ORDERS)


def require_within_limit(order: PurchaseOrder, *, actor: Actor) -> None:
    """Refuse with `over_limit` an order that only the owner may approve."""
    if needs_owner(order, actor=actor):
        message = _("%(number)s is above your limit: it waits for the owner.")
        raise OverLimit(message % {"number": order.number}, order=order.number)


def mark_sent(order: PurchaseOrder, *, now: datetime) -> PurchaseOrder:
    """Write that the supplier has the order, inside the caller's act, and ask for its mail if that is how."""
    order.state = State.SENT
    order.sent_at = now
    order.save(update_fields=["state", "sent_at"])
    if order.way == PurchaseOrder.Way.MAIL:
        ask_for_mail(order, now=now)
    return order


def ask_for_mail(order: PurchaseOrder, *, now: datetime, ended: bool = False) -> None:
    """Ask for the mail of the order's version, or of its end, once; nothing without an address."""
    if not order.supplier.email:
        return
    payload = {"firm_id": order.firm_id, "order_id": order.pk} | ({"ended": True} if ended else {})
    suffix = ":ended" if ended else "" if order.version == 1 else f":{order.version}"
    key = f"{SEND_JOB}:{order.pk}{suffix}"
    outbox.ask(firm_id=order.firm_id, job=SEND_JOB, key=key, payload=payload, now=now, due_at=now)


def mark_approved(order: PurchaseOrder, *, actor: Actor, now: datetime) -> PurchaseOrder:
    """Write the approval, inside the caller's act."""
    order.state = State.APPROVED
    order.approved_by_id = actor.person_id
    order.approved_at = now
    order.self_approved = order.created_by_id == actor.person_id
    order.save(update_fields=["state", "approved_by", "approved_at", "self_approved"])
    return order


def note_receipt(order: PurchaseOrder, *, now: datetime) -> PurchaseOrder:
    """Bring an order's state in line with what was accepted against it, inside the caller's act.

    Complete closes it; a receipt taken back opens it again. A draft, a cancelled order and one that a person
    has closed stay as they are: what came against them is flagged on the receipt.
    """
    by_receipts = order.state == State.CLOSED and not order.end_reason
    if order.state not in PurchaseOrder.OPEN and not by_receipts:
        return order
    accepted = _accepted(order)
    if all(good >= asked for asked, good in accepted):
        order.state = State.CLOSED
    elif any(good for _asked, good in accepted):
        order.state = State.PART
    else:
        order.state = State.SENT if order.sent_at else State.APPROVED
    order.ended_at = now if order.state == State.CLOSED else None
    order.save(update_fields=["state", "ended_at"])
    return order


def _accepted(order: PurchaseOrder) -> list[tuple[int, int]]:
    """What each line asks for and what was accepted of it: grams where it is settled by mass."""
    valid = Q(receipt_lines__receipt__reversed_at__isnull=True)
    lines = order.lines.annotate(
        good=Sum("receipt_lines__accepted", filter=valid), good_g=Sum("receipt_lines__mass_g", filter=valid)
    )
    return [
        (line.quantity, line.good or 0) if line.mass_g is None else (line.mass_g, line.good_g or 0)
        for line in lines
    ]


def take_step(actor: Actor, *, order_id: int, step: str) -> PurchaseOrder:
    """Load and lock an order for a step of FROM; refused with `wrong_state` when it is past it."""
    rows = PurchaseOrder.objects.select_related("supplier", "site").select_for_update(of=("self",))
    order = scope.get(rows, actor, pk=order_id)
    if order.state not in FROM[step]:
        message = _("%(number)s is %(state)s by now, so this can no longer be done. Look at it again.")
        state = order.get_state_display()
        raise WrongState(message % {"number": order.number, "state": state}, state=order.state)
    return order


def _end(actor: Actor, *, act: StepAct, step: str, now: datetime) -> PurchaseOrder:
    if not act.reason.strip():
        raise ReasonMissing(_("Give the reason; it stays with the order."), field="reason")
    order = take_step(actor, order_id=act.order_id, step=step)
    whole = step == "cancel" and order.state != State.PART
    order.state = State.CANCELLED if whole else State.CLOSED
    order.ended_at = now
    order.end_reason = act.reason.strip()[:200]
    order.save(update_fields=["state", "ended_at", "end_reason"])
    if step == "cancel" and order.sent_at is not None and order.way == PurchaseOrder.Way.MAIL:
        ask_for_mail(order, now=now, ended=True)
    replan.soon(actor.firm_id, now=now)
    return order


def _freight(act: OrderAct, *, supplier: Supplier, lines: list[OrderLine], today: date) -> int:
    if act.freight_minor is None:
        return delivery_charge.of(supplier, lines=lines, today=today)
    if not 0 <= act.freight_minor <= MOST_OF_LINE:
        message = _("The charge for delivery must lie between 0 and %(most)s. Correct it.")
        raise BadLine(message % {"most": MOST_OF_LINE}, field="freight_minor")
    return act.freight_minor


def _require_open(supplier: Supplier, *, expected_date: date, from_day: date) -> None:
    if supplier.ended_date is not None and supplier.ended_date <= expected_date:
        message = _("Nothing is bought from %(name)s from %(date)s on. Choose another supplier.")
        params = {"name": supplier.name, "date": supplier.ended_date}
        raise SupplierEnded(message % params, field="supplier", **params)
    if expected_date < from_day:
        message = _("%(date)s is over. Give a day from today on.") % {"date": expected_date}
        raise DateGone(message, field="expected_date", expected_date=expected_date)
