"""Orders that were open when the firm began here: the rest of each is a sent order like any other."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from django.utils.translation import gettext as _

from inventory.models import OrderLine, PurchaseOrder
from inventory.services import firm_days, orders, replan, texts
from inventory.services.orders import LineAct, OrderAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

NOON = time(12)
"""Time of day of an order that is known by its day."""


class BadEarlierOrder(Refused):
    """An order without its number, of a day to come, or a line that has come in full."""

    code = "bad_earlier_order"


class OrderedBefore(Refused):
    """The supplier's order of this number was entered before."""

    code = "ordered_before"
    status = 409


@dataclass(frozen=True, kw_only=True)
class EarlierLineAct:
    """A line as it was ordered, and how much of it had come: whole packs, at 1/10,000 minor unit for one."""

    material_id: int
    pack_id: int
    packs: int
    pack_price: int
    packs_before: int = 0
    pour_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class EarlierOrderAct:
    """An order that was given before, under the number that it had."""

    site_id: int
    supplier_id: int
    number: str
    ordered_date: date
    expected_date: date
    lines: tuple[EarlierLineAct, ...]


@business_act(result=PurchaseOrder)
def record(*, actor: Actor, act: EarlierOrderAct, key: str, now: datetime) -> PurchaseOrder:
    """Enter an order that was given before: what is still to come of it is ordered, and nothing is mailed.

    Refused without its number, for a day of ordering to come, for a number entered before
    (`ordered_before`), and for a line of which nothing is to come. It waits for nobody's approval: it was
    given.
    """
    del key
    return put(actor=actor, act=act, now=now)


def put(*, actor: Actor, act: EarlierOrderAct, now: datetime) -> PurchaseOrder:
    """Enter it inside the caller's act; refuses as `record` does."""
    actor.require(Permission.PLAN_ORDERS)
    actor.require(Permission.APPROVE_ORDERS)
    number = texts.fitting(act.number, most=60, field="number")
    _require_head(act, number=number, actor=actor, today=firm_days.of(now, actor=actor))
    for position, line in enumerate(act.lines, start=1):
        _require_rest(line, position=position)
    written = OrderAct(
        site_id=act.site_id,
        supplier_id=act.supplier_id,
        expected_date=act.expected_date,
        lines=tuple(_rest(line) for line in act.lines),
        freight_minor=0,
    )
    order = orders.write(actor=actor, act=written, now=now, from_day=act.ordered_date)
    order.earlier_number, order.way = number, PurchaseOrder.Way.HAND
    order.state = PurchaseOrder.State.SENT
    order.sent_at = datetime.combine(act.ordered_date, NOON, tzinfo=UTC)
    order.save(update_fields=["earlier_number", "way", "state", "sent_at"])
    rows = list(order.lines.order_by("position"))
    for row, line in zip(rows, act.lines, strict=True):
        row.packs_before = line.packs_before
    OrderLine.objects.bulk_update(rows, ["packs_before"])
    replan.soon(actor.firm_id, now=now)
    return order


def _rest(line: EarlierLineAct) -> LineAct:
    return LineAct(
        material_id=line.material_id,
        pack_id=line.pack_id,
        packs=line.packs - line.packs_before,
        pack_price=line.pack_price,
        pour_id=line.pour_id,
    )


def _require_head(act: EarlierOrderAct, *, number: str, actor: Actor, today: date) -> None:
    if not number:
        raise BadEarlierOrder(_("Give the number that the order had."), field="number")
    if act.ordered_date > today:
        message = _("Ordered on %(day)s, a day to come. An order of today is written as an order.")
        raise BadEarlierOrder(message % {"day": act.ordered_date.isoformat()}, field="ordered_date")
    if act.expected_date < act.ordered_date:
        message = _("It cannot be expected on %(day)s, before it was ordered. Correct one of the days.")
        raise BadEarlierOrder(message % {"day": act.expected_date.isoformat()}, field="expected_date")
    before = PurchaseOrder.objects.filter(supplier_id=act.supplier_id, earlier_number=number)
    earlier = scope.visible(before, actor).first()
    if earlier is not None:
        message = _("Order %(number)s of this supplier was entered before, as %(order)s.")
        params = {"number": number, "order": earlier.number}
        raise OrderedBefore(message % params, field="number", order_id=earlier.pk)


def _require_rest(line: EarlierLineAct, *, position: int) -> None:
    if not 0 <= line.packs_before < line.packs:
        message = _(
            "Line %(line)s: %(before)s of %(packs)s packs had come. Leave out a line of which nothing is "
            "to come, and correct one of which more came."
        )
        params = {"line": position, "before": line.packs_before, "packs": line.packs}
        raise BadEarlierOrder(message % params, field="packs_before", **params)
