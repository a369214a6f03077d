"""What happens to an order once it is written: amended, told by telephone, expected on another day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from inventory.models import OrderAmendment, OrderDate, OrderLine, PurchaseOrder
from inventory.queries import order_rest
from inventory.services import called_off, firm_days, order_lines, orders, replan, texts
from inventory.services.orders import LineAct, State
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

WAYS = ("phone", "hand")


class BelowReceived(Refused):
    """Less is asked for than has come already."""

    code = "below_received"
    status = 409


class NothingChanged(Refused):
    """The amendment leaves the order as it is."""

    code = "nothing_changed"


class NothingLeft(Refused):
    """The amendment strikes every line; an order of nothing is cancelled instead."""

    code = "nothing_left"


@dataclass(frozen=True)
class LineChange:
    """A line as it shall be: so many packs (0 strikes it), and its price when it changes too."""

    order_line_id: int
    packs: int
    pack_price: int | None = None


@dataclass(frozen=True)
class AmendAct:
    """An order as it shall be: lines that change, lines that are added, another day; with the reason."""

    order_id: int
    reason: str
    lines: tuple[LineChange, ...] = ()
    added: tuple[LineAct, ...] = ()
    expected_date: date | None = None


@dataclass(frozen=True)
class ExpectAct:
    """Another day on which the order is expected, and who said so or why."""

    order_id: int
    expected_date: date
    reason: str


@dataclass(frozen=True)
class TellAct:
    """An order that is given by telephone or by hand, and to whom."""

    order_id: int
    way: str
    told_to: str


@business_act(result=PurchaseOrder)
def amend(*, actor: Actor, act: AmendAct, key: str, now: datetime) -> PurchaseOrder:
    """Make a new version of an order; a supplier who had the old one by mail gets the new one.

    Refused below what has come (`below_received`), without a change or a reason, when nothing is left of it,
    and above the limit that the actor may approve (`over_limit`).
    """
    del key
    actor.require(
        Permission.PLAN_ORDERS if actor.can(Permission.PLAN_ORDERS) else Permission.APPROVE_LARGE_ORDERS
    )
    reason = _reason(act.reason)
    order = orders.take_step(actor, order_id=act.order_id, step="amend")
    before = order.total_minor
    changes = [*_changed(order, act=act, actor=actor, now=now), *_added(order, act=act, actor=actor, now=now)]
    moved = act.expected_date is not None and act.expected_date != order.expected_date
    if not changes and not moved:
        raise NothingChanged(_("This is the order as it stands. Change a line or the day."), field="lines")
    lines = list(order.lines.all())
    if not any(line.packs for line in lines):
        message = _("Nothing would be left of %(number)s. Cancel the order instead.")
        raise NothingLeft(message % {"number": order.number}, field="lines")
    order.total_minor = sum(line.amount_minor for line in lines) + order.freight_minor
    if order.state != State.DRAFT and order.total_minor > before:
        orders.require_within_limit(order, actor=actor)
    order.version += 1
    order.save(update_fields=["total_minor", "version"])
    OrderAmendment.objects.create(
        order=order,
        version=order.version,
        reason=reason,
        changes=changes,
        total_before_minor=before,
        total_after_minor=order.total_minor,
        made_by_id=actor.person_id,
        made_at=now,
    )
    if moved and act.expected_date is not None:
        _expect(order, expected_date=act.expected_date, reason=reason, actor=actor, now=now)
    if order.sent_at is not None and order.way == PurchaseOrder.Way.MAIL:
        orders.ask_for_mail(order, now=now)
    replan.soon(actor.firm_id, now=now)
    return orders.note_receipt(order, now=now)


@business_act(result=PurchaseOrder)
def expect(*, actor: Actor, act: ExpectAct, key: str, now: datetime) -> PurchaseOrder:
    """Move the day on which an open order is expected; every change stays on record with who and why.

    Refused without a reason, for a day gone by, and for the day that it is expected on already.
    """
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    reason = _reason(act.reason)
    order = orders.take_step(actor, order_id=act.order_id, step="expect")
    if act.expected_date == order.expected_date:
        message = _("It is expected on %(day)s already. Give the day that it moves to.")
        raise NothingChanged(message % {"day": act.expected_date}, field="expected_date")
    _expect(order, expected_date=act.expected_date, reason=reason, actor=actor, now=now)
    replan.soon(actor.firm_id, now=now)
    return order


@business_act(result=PurchaseOrder)
def tell(*, actor: Actor, act: TellAct, key: str, now: datetime) -> PurchaseOrder:
    """Record that an approved order was given by telephone or by hand, and to whom; no mail leaves."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    told_to = texts.fitting(act.told_to, most=120, field="told_to")
    if act.way not in WAYS or not told_to:
        message = _("Say whether it was given by telephone or by hand, and who took it.")
        raise orders.ReasonMissing(message, field="way" if act.way not in WAYS else "told_to")
    order = orders.take_step(actor, order_id=act.order_id, step="send")
    order.way, order.told_to = act.way, told_to
    order.save(update_fields=["way", "told_to"])
    return orders.mark_sent(order, now=now)


def _reason(typed: str) -> str:
    reason = texts.fitting(typed, most=200, field="reason")
    if not reason:
        raise orders.ReasonMissing(_("Give the reason; it stays with the order."), field="reason")
    return reason


def _expect(order: PurchaseOrder, *, expected_date: date, reason: str, actor: Actor, now: datetime) -> None:
    if expected_date < firm_days.of(now, actor=actor):
        message = _("%(date)s is over. Give a day from today on.") % {"date": expected_date}
        raise orders.DateGone(message, field="expected_date", expected_date=expected_date)
    OrderDate.objects.create(
        order=order,
        was_date=order.expected_date,
        expected_date=expected_date,
        reason=reason,
        changed_by_id=actor.person_id,
        changed_at=now,
    )
    order.expected_date = expected_date
    order.save(update_fields=["expected_date"])


def _changed(order: PurchaseOrder, *, act: AmendAct, actor: Actor, now: datetime) -> Iterable[dict[str, Any]]:
    """Change the lines that are named; yields what each was and is."""
    rows = order.lines.select_related("material", "pack").annotate(
        good=order_rest.GOOD, good_g=order_rest.GOOD_G
    )
    lines = {line.pk: line for line in rows}
    for n, change in enumerate(act.lines, start=1):
        with texts.at_line(n):
            line = lines.get(change.order_line_id)
            if line is None:
                message = _("The order has no such line. Choose one of its own.")
                raise orders.BadLine(message, field="order_line_id")
            price = line.pack_price if change.pack_price is None else change.pack_price
            if (change.packs, price) == (line.packs, line.pack_price):
                continue
            _require_received(line, packs=change.packs)
            _require_agreed(line, order=order, packs=change.packs, price=price, by=(actor, now))
            yield _rewrite(line, packs=change.packs, price=price)


def _require_received(line: Any, *, packs: int) -> None:
    """What has come is not taken back by an amendment: the packs cover it, by mass where it is settled so."""
    come, holds = (line.good or 0, line.pack.content)
    if line.mass_g is not None:
        come, holds = (line.good_g or 0, line.pack.mass_g)
    least = -(-come // holds)
    if come and packs < least:
        message = _("%(material)s: %(least)s packs have come; the line cannot ask for fewer than that.")
        params = {"material": line.material.name, "least": least, "packs": packs}
        raise BelowReceived(message % params, field="packs", **params)


def _require_agreed(
    line: Any, *, order: PurchaseOrder, packs: int, price: int, by: tuple[Actor, datetime]
) -> None:
    """What is called off against a rate keeps its price, and more of it has to be left of the total."""
    if line.agreement_id is None:
        return
    if price != line.pack_price:
        message = _("The price of %(material)s was agreed. Amend the packs only, or order it apart.")
        raise orders.BadLine(message % {"material": line.material.name}, field="pack_price")
    if packs > line.packs:
        actor, now = by
        called_off.take(
            line.agreement_id,
            packs=packs - line.packs,
            pack=line.pack,
            order_to=(order.supplier, order.site),
            on=firm_days.of(now, actor=actor),
            actor=actor,
        )


def _rewrite(line: OrderLine, *, packs: int, price: int) -> dict[str, Any]:
    said = {
        "position": line.position,
        "material": line.material.name,
        "pack": line.pack.name,
        "packs": [line.packs, packs],
        "pack_price": [line.pack_price, price],
    }
    order_lines.set_packs(line, packs=packs, price=price)
    line.save(update_fields=["packs", "quantity", "mass_g", "pack_price", "amount_minor"])
    return said


def _added(order: PurchaseOrder, *, act: AmendAct, actor: Actor, now: datetime) -> list[dict[str, Any]]:
    if not act.added:
        return []
    rows = orders.add_lines(order, lines=act.added, actor=actor, now=now)
    return [
        {
            "position": row.position,
            "material": row.material.name,
            "pack": row.pack.name,
            "packs": [0, row.packs],
            "pack_price": [row.pack_price, row.pack_price],
        }
        for row in rows
    ]
