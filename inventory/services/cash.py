"""Buying for cash on a site: what was bought, that it is there, and that it is paid, in one act."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Sum
from django.utils.translation import gettext as _

from inventory.calc import money
from inventory.models import PurchaseOrder, Receipt, Supplier, SupplierBill
from inventory.services import deliveries, firm_days, orders, payments, supplier_bills, suppliers, texts
from inventory.services.bill_lines import BilledLineAct
from inventory.services.orders import LineAct, OrderAct
from inventory.services.receipt_acts import ReceiptAct, ReceiptLineAct
from inventory.services.supplier_bills import SupplierBillAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm, Site
from projects.services.acts import business_act

MOST_LINES = 20
MOST_PACKS = 5_000
"""Packs of one line: so few that the price of a pack gives back what was paid, to the last minor unit."""


class OverCash(Refused):
    """More than the site may still buy for cash today."""

    code = "over_cash_limit"
    status = 403


class BadCash(Refused):
    """A purchase of nothing, for nothing, or of nobody."""

    code = "bad_cash_purchase"


@dataclass(frozen=True)
class CashLineAct:
    """Whole packs of a material, and what was paid for all of them, in minor units."""

    material_id: int
    pack_id: int
    packs: int
    paid_minor: int


@dataclass(frozen=True)
class CashAct:
    """What was bought, where: of a supplier on record, or of a shop by its name."""

    site_id: int
    lines: tuple[CashLineAct, ...]
    supplier_id: int | None = None
    shop: str = ""
    note_number: str = ""


@business_act(result=PurchaseOrder)
def buy(*, actor: Actor, act: CashAct, key: str, now: datetime) -> PurchaseOrder:
    """Record a purchase for cash: an order that is closed, its receipt, its bill, and its payment.

    Refused above what the site may still spend today (`over_cash_limit`), and for nothing or of nobody. The
    bill has the order's number: what the shop gives at the counter need not have one.
    """
    actor.require(Permission.BUY_FOR_CASH)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    today = firm_days.of(now, actor=actor)
    _require_lines(act)
    total = sum(line.paid_minor for line in act.lines)
    _require_limit(total, site=site, today=today, actor=actor)
    supplier = _supplier(act, actor=actor)
    order = orders.write(actor=actor, act=_ordered(act, supplier=supplier, today=today), now=now)
    order.way = PurchaseOrder.Way.CASH
    order.save(update_fields=["way"])
    orders.mark_sent(orders.mark_approved(order, actor=actor, now=now), now=now)
    receipt = _received(act, order=order, now=now)
    came = deliveries.record(actor=actor, act=receipt, key=f"{key}~receipt", now=now)
    billed = _billed(act, order=order, receipt=came, today=today)
    bill = supplier_bills.put(actor=actor, act=billed, key=f"{key}~bill", now=now)
    # What has no value, as the client's own, does not fit its bill: that is held, the payment an advance.
    settles = bill.state == SupplierBill.State.ACCEPTED
    paid = payments.PaymentAct(
        supplier_id=supplier.pk,
        paid_date=today,
        amount_minor=total,
        parts=(payments.PartAct(bill.pk, total),) if settles else (),
        reference=_("cash, %(number)s") % {"number": order.number},
    )
    payments.put(actor=actor, act=paid, now=now)
    order.refresh_from_db()
    return order


def left_today(actor: Actor, *, site: Site, today: date) -> int:
    """Return the minor units that the site may still buy for cash today."""
    firm = Firm.objects.get(pk=actor.firm_id)
    start = datetime.combine(today, time.min, tzinfo=ZoneInfo(actor.time_zone))
    bought = PurchaseOrder.objects.filter(site=site, way=PurchaseOrder.Way.CASH, created_at__gte=start)
    spent = bought.aggregate(all=Sum("total_minor"))["all"] or 0
    return max(firm.cash_limit_minor - spent, 0)


def _require_lines(act: CashAct) -> None:
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("A purchase for cash has between 1 and %(most)s lines, not %(lines)s.")
        raise BadCash(message % {"most": MOST_LINES, "lines": len(act.lines)}, field="lines")
    for n, line in enumerate(act.lines, start=1):
        with texts.at_line(n):
            if not 1 <= line.packs <= MOST_PACKS:
                message = _("%(packs)s packs; it must lie between 1 and %(most)s.")
                raise BadCash(message % {"packs": line.packs, "most": MOST_PACKS}, field="packs")
            if not 0 < line.paid_minor <= orders.MOST_OF_LINE:
                raise BadCash(_("Say what was paid for it, more than nothing."), field="paid_minor")


def _require_limit(total: int, *, site: Site, today: date, actor: Actor) -> None:
    """The firm's row is locked, so that two purchases at once do not both take the rest of the day."""
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    left = left_today(actor, site=site, today=today)
    if total > left:
        message = _(
            "This comes to %(total)s; %(site)s may buy for cash for %(left)s more today. Ask the office to "
            "order it."
        )
        said = {
            "total": texts.money(total, actor=actor),
            "left": texts.money(left, actor=actor),
            "site": site.name,
        }
        raise OverCash(message % said, field="lines", total_minor=total, left_minor=left)


def _supplier(act: CashAct, *, actor: Actor) -> Supplier:
    if act.supplier_id is not None:
        return scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    shop = texts.fitting(act.shop, most=120, field="shop")
    if not shop:
        raise BadCash(_("Choose the supplier, or name the shop."), field="shop")
    known = scope.visible(Supplier.objects.filter(name__iexact=shop), actor).order_by("id").first()
    return known or suppliers.put(actor=actor, name=shop)


def _ordered(act: CashAct, *, supplier: Supplier, today: date) -> OrderAct:
    lines = tuple(
        LineAct(
            material_id=line.material_id,
            pack_id=line.pack_id,
            packs=line.packs,
            pack_price=money.rate_from_amount(line.paid_minor, quantity=line.packs, per=1),
        )
        for line in act.lines
    )
    return OrderAct(
        site_id=act.site_id, supplier_id=supplier.pk, expected_date=today, lines=lines, freight_minor=0
    )


def _billed(act: CashAct, *, order: PurchaseOrder, receipt: Receipt, today: date) -> SupplierBillAct:
    """Bill each line of the receipt as it was paid; the receipt has the lines of the act in their order."""
    rows = receipt.lines.order_by("position")
    lines = tuple(
        BilledLineAct(
            material_id=row.material_id,
            pack_id=row.pack_id,
            quantity=Decimal(line.packs),
            amount_minor=line.paid_minor,
            receipt_line_id=row.pk,
        )
        for row, line in zip(rows, act.lines, strict=True)
    )
    return SupplierBillAct(
        supplier_id=order.supplier_id,
        number=order.number,
        dated=today,
        due_date=today,
        lines=lines,
        total_minor=sum(line.paid_minor for line in act.lines),
    )


def _received(act: CashAct, *, order: PurchaseOrder, now: datetime) -> ReceiptAct:
    lines = tuple(
        ReceiptLineAct(
            material_id=row.material_id,
            pack_id=row.pack_id,
            order_line_id=row.pk,
            stated=Decimal(row.packs),
            found=Decimal(row.packs),
        )
        for row in order.lines.order_by("position")
    )
    return ReceiptAct(
        site_id=order.site_id,
        supplier_id=order.supplier_id,
        order_id=order.pk,
        happened_at=now,
        note_number=act.note_number,
        lines=lines,
    )
