"""Purchase orders: written, approved, sent, delivered in parts, closed or cancelled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, Sum
from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.calc import money
from inventory.models import OrderLine, PurchaseOrder, Supplier
from inventory.services import firm_days, replan
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Firm, Pour, Site
from projects.services import numbers, outbox
from projects.services.acts import business_act

State = PurchaseOrder.State

FROM: dict[str, tuple[State, ...]] = {
    "approve": (State.DRAFT,),
    "send": (State.APPROVED,),
    "cancel": (State.DRAFT, State.APPROVED, State.SENT),
    "close": (State.APPROVED, State.SENT, State.PART),
}
"""From which states each step can be taken; what arrives (`note_receipt`) moves an order by itself."""

SEND_JOB = "inventory.send_order"
MOST_LINES = 200
MOST_PACKS = 1_000_000
MOST_OF_LINE = 10**15
"""Stock units and minor units of one line: far above any site, and an order of them still adds up."""


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


class BadLine(Refused):
    """A line with a figure out of bounds, a pack of another material or a pour of another site."""

    code = "bad_line"


class PriceMissing(Refused):
    """A line without a price, of a supplier who has none on record."""

    code = "price_missing"


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
class LineAct:
    """A line: whole packs at `pack_price`, 1/10,000 minor unit for one; `pour_id` when it is for a pour.

    Without a price it takes what the supplier asks on the day of writing.
    """

    material_id: int
    pack_id: int
    packs: int
    pack_price: int | None = None
    pour_id: int | None = None


@dataclass(frozen=True)
class OrderAct:
    """An order to one supplier for one site."""

    site_id: int
    supplier_id: int
    expected_date: date
    lines: tuple[LineAct, ...]


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
    order = _step(actor, act=act, step="approve")
    if needs_owner(order, actor=actor):
        message = _("%(number)s is above your limit: it waits for the owner.")
        raise OverLimit(message % {"number": order.number}, order=order.number)
    replan.soon(actor.firm_id, now=now)
    return mark_approved(order, actor=actor, now=now)


@business_act(result=PurchaseOrder)
def send(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Mark an approved order as sent; a supplier with an address gets an e-mail, after the commit."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    order = _step(actor, act=act, step="send")
    order.state = State.SENT
    order.sent_at = now
    order.save(update_fields=["state", "sent_at"])
    if order.supplier.email:
        payload = {"firm_id": actor.firm_id, "order_id": order.id}
        outbox.ask(
            firm_id=actor.firm_id,
            job=SEND_JOB,
            key=f"{SEND_JOB}:{order.id}",
            payload=payload,
            now=now,
            due_at=now,
        )
    return order


@business_act(result=PurchaseOrder)
def cancel(*, actor: Actor, act: StepAct, key: str, now: datetime) -> PurchaseOrder:
    """Cancel an order of which nothing has come; asks for the reason."""
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


def write(*, actor: Actor, act: OrderAct, now: datetime) -> PurchaseOrder:
    """Write the rows of a draft, inside the caller's act; refuses as `draft` does."""
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    today = firm_days.of(now, actor=actor)
    _require_open(supplier, expected_date=act.expected_date, today=today)
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("An order has between 1 and %(most)s lines; this one has %(lines)s. Add what to buy.")
        raise NoLines(message % {"most": MOST_LINES, "lines": len(act.lines)}, field="lines")
    prices = _prices(supplier, on_date=today)
    lines = [
        _line(line, position=n, price=_price(line, position=n, prices=prices), site=site, actor=actor)
        for n, line in enumerate(act.lines, start=1)
    ]
    order = PurchaseOrder.objects.create(
        firm_id=actor.firm_id,
        site=site,
        supplier=supplier,
        number=numbers.next_number(firm_id=actor.firm_id, kind="PO", now=now),
        expected_date=act.expected_date,
        total_minor=sum(line.amount_minor for line in lines),
        created_by_id=actor.person_id,
        created_at=now,
    )
    for line in lines:
        line.order = order
    OrderLine.objects.bulk_create(lines)
    return order


def needs_owner(order: PurchaseOrder, *, actor: Actor) -> bool:
    """Say whether the order is above the firm's limit and the actor may not approve that much."""
    limit = Firm.objects.values_list("approval_limit_minor", flat=True).get(pk=actor.firm_id)
    return 0 < limit < order.total_minor and not actor.can(Permission.APPROVE_LARGE_ORDERS)


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


def _step(actor: Actor, *, act: StepAct, step: str) -> PurchaseOrder:
    rows = PurchaseOrder.objects.select_related("supplier", "site").select_for_update(of=("self",))
    order = scope.get(rows, actor, pk=act.order_id)
    if order.state not in FROM[step]:
        message = _("%(number)s is %(state)s by now, so this can no longer be done. Look at it again.")
        state = order.get_state_display()
        raise WrongState(message % {"number": order.number, "state": state}, state=order.state)
    return order


def _end(actor: Actor, *, act: StepAct, step: str, now: datetime) -> PurchaseOrder:
    if not act.reason.strip():
        raise ReasonMissing(_("Give the reason; it stays with the order."), field="reason")
    order = _step(actor, act=act, step=step)
    order.state = State.CANCELLED if step == "cancel" else State.CLOSED
    order.ended_at = now
    order.end_reason = act.reason.strip()[:200]
    order.save(update_fields=["state", "ended_at", "end_reason"])
    replan.soon(actor.firm_id, now=now)
    return order


def _require_open(supplier: Supplier, *, expected_date: date, today: date) -> None:
    if supplier.ended_date is not None and supplier.ended_date <= expected_date:
        message = _("Nothing is bought from %(name)s from %(date)s on. Choose another supplier.")
        params = {"name": supplier.name, "date": supplier.ended_date}
        raise SupplierEnded(message % params, field="supplier", **params)
    if expected_date < today:
        message = _("%(date)s is over. Give a day from today on.") % {"date": expected_date}
        raise DateGone(message, field="expected_date", expected_date=expected_date)


def _prices(supplier: Supplier, *, on_date: date) -> dict[int, int]:
    rows = supplier.offers.filter(from_date__lte=on_date).order_by("from_date", "id")
    return dict(rows.values_list("pack_id", "pack_price"))


def _price(line: LineAct, *, position: int, prices: dict[int, int]) -> int:
    if line.pack_price is not None:
        return line.pack_price
    if line.pack_id not in prices:
        message = _("Line %(line)s: this supplier has no price on record for it. Give the price of a pack.")
        raise PriceMissing(message % {"line": position}, field="lines", line=position)
    return prices[line.pack_id]


def _line(line: LineAct, *, position: int, price: int, site: Site, actor: Actor) -> OrderLine:
    material = scope.get(Material.objects.all(), actor, pk=line.material_id)
    pack = scope.get(Pack.objects.all(), actor, pk=line.pack_id)
    _require_line(line, price=price, position=position, fits=pack.material_id == material.id)
    if line.pour_id is not None:
        pour = scope.get(Pour.objects.select_related("slab"), actor, pk=line.pour_id)
        if pour.slab.site_id != site.id:
            message = _("Line %(line)s: %(pour)s is on another site than the order.")
            raise BadLine(message % {"line": position, "pour": pour}, field="lines", line=position)
    row = OrderLine(
        position=position,
        material=material,
        pack=pack,
        packs=line.packs,
        quantity=line.packs * pack.content,
        mass_g=None if pack.mass_g is None else line.packs * pack.mass_g,
        pack_price=price,
        amount_minor=money.amount(line.packs, rate=price, per=1),
        pour_id=line.pour_id,
    )
    if max(row.quantity, row.amount_minor) > MOST_OF_LINE:
        message = _(
            "Line %(line)s is more than one line may hold. Check the packs, what one holds and costs."
        )
        raise BadLine(message % {"line": position}, field="lines", line=position)
    return row


def _require_line(line: LineAct, *, price: int, position: int, fits: bool) -> None:
    if not fits:
        message = _("Line %(line)s: this pack is of another material. Choose one of the material's packs.")
        raise BadLine(message % {"line": position}, field="lines", line=position)
    if not 1 <= line.packs <= MOST_PACKS:
        message = _("Line %(line)s: %(packs)s packs; it must lie between 1 and %(most)s.")
        params = {"line": position, "packs": line.packs, "most": MOST_PACKS}
        raise BadLine(message % params, field="lines", **params)
    if price < 0:
        message = _("Line %(line)s: the price of a pack cannot be below 0.")
        raise BadLine(message % {"line": position}, field="lines", line=position)
