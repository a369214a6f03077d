"""Lines of a supplier's bill, each matched with the delivery that it is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum
from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from estimates.queries import standards
from inventory.calc import bill_match, money
from inventory.calc.bill_match import BilledLine, Tolerance
from inventory.models import OrderLine, ReceiptLine, SupplierBill, SupplierBillLine
from inventory.services import measures, texts
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused

BASIS_POINTS = 100


class OtherDelivery(Refused):
    """The delivery is of another supplier or material, or was taken back."""

    code = "other_delivery"


class DeliveredTwice(Refused):
    """Two lines of one bill are for the same delivery of a material."""

    code = "delivery_twice"


@dataclass(frozen=True, kw_only=True)
class BilledLineAct:
    """A material of a bill: quantity in packs when a pack is named, else in the unit; amount as printed.

    `receipt_line_id` is the delivery that it is for; without one the line is held as not received.
    """

    material_id: int
    quantity: Decimal
    amount_minor: int
    receipt_line_id: int | None = None
    pack_id: int | None = None
    unit: str = ""


def matched(acts: Sequence[BilledLineAct], *, bill: SupplierBill, actor: Actor) -> list[SupplierBillLine]:
    """Hold every line against its delivery; refused when a delivery is not the supplier's or named twice.

    Freight, and tax that is not recovered, are shared out by amount, so that a line is compared as landed.
    A credit or debit note changes a price, not a quantity: it is held against its own amount.
    """
    _require_once(acts)
    shares = _landed(acts, bill=bill)
    tolerance = tolerance_of(actor)
    lines = []
    for position, (act, landed) in enumerate(zip(acts, shares, strict=True), start=1):
        with texts.at_line(position):
            line = _line(act, position=position, bill=bill, actor=actor)
        line.landed_minor = landed
        if bill.kind == SupplierBill.Kind.BILL:
            line.causes = [str(cause) for cause in _match(line, tolerance=tolerance).causes]
        lines.append(line)
    return lines


def tolerance_of(actor: Actor) -> Tolerance:
    """Return how far a bill of the actor's firm may lie off before it is held."""
    profile = standards.of_firm(actor, profile_id=actor.profile)
    quantity, price = profile.value("matching.quantity"), profile.value("matching.price")
    return Tolerance(
        quantity_bp=round(quantity.value * BASIS_POINTS),
        price_bp=round(price.value * BASIS_POINTS),
        source=price.citation,
    )


def unbilled(line: ReceiptLine) -> int:
    """Return the stock units of a delivery's line that no bill has asked for yet."""
    rows = line.bill_lines.filter(bill__kind=SupplierBill.Kind.BILL)
    asked = rows.exclude(bill__state=SupplierBill.State.REJECTED).aggregate(all=Sum("quantity"))["all"]
    left: int = line.accepted - (asked or 0)
    return left if left > 0 else 0


def _require_once(acts: Sequence[BilledLineAct]) -> None:
    named = [act.receipt_line_id for act in acts if act.receipt_line_id is not None]
    if len(named) != len(set(named)):
        message = _("Two lines are for the same delivery of a material. Put them together in one line.")
        raise DeliveredTwice(message, field="lines")


def _landed(acts: Sequence[BilledLineAct], *, bill: SupplierBill) -> list[int]:
    amounts = [act.amount_minor for act in acts]
    charges = bill.freight_minor + (0 if bill.tax_recoverable else bill.tax_minor)
    if not charges:
        return amounts
    weights = amounts if any(amounts) else [1] * len(amounts)
    shares = bill_match.spread(charges, weights=weights)
    return [amount + share for amount, share in zip(amounts, shares, strict=True)]


def _line(act: BilledLineAct, *, position: int, bill: SupplierBill, actor: Actor) -> SupplierBillLine:
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    pack = None if act.pack_id is None else scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    measure = measures.measure(material, pack=pack, unit=act.unit, measured_mg_per_mm=None)
    quantity = measures.bounded(
        measure.stock(measures.thousandths(act.quantity, field="quantity")), field="quantity"
    )
    if quantity == 0:
        raise measures.BadQuantity(_("Enter the quantity that is billed."), field="quantity")
    if act.amount_minor < 0:
        raise measures.BadQuantity(
            _("An amount is 0 or more; a credit has a note of its own."), field="amount"
        )
    receipt_line = _receipt_line(act, material=material, bill=bill, actor=actor)
    return SupplierBillLine(
        position=position,
        material=material,
        receipt_line=receipt_line,
        order_line=_order_line(receipt_line),
        pack=pack,
        quantity=quantity,
        amount_minor=act.amount_minor,
        received=0 if receipt_line is None else unbilled(receipt_line),
        expected_minor=_expected(receipt_line, quantity=quantity),
    )


def _receipt_line(
    act: BilledLineAct, *, material: Material, bill: SupplierBill, actor: Actor
) -> ReceiptLine | None:
    if act.receipt_line_id is None:
        return None
    rows = ReceiptLine.objects.select_related("receipt__site", "order_line")
    line: ReceiptLine = scope.get(rows.select_for_update(of=("self",)), actor, pk=act.receipt_line_id)
    if (
        line.material_id != material.pk
        or line.receipt.supplier_id != bill.supplier_id
        or line.receipt.reversed_at is not None
        or not line.accepted
    ):
        message = _(
            "Receipt %(number)s is of another supplier or material, brought nothing, or was taken back. "
            "Choose the delivery that the line is for, or none."
        )
        raise OtherDelivery(message % {"number": line.receipt.number}, field="receipt_line_id")
    return line


def _order_line(line: ReceiptLine | None) -> OrderLine | None:
    return None if line is None else line.order_line


def _expected(line: ReceiptLine | None, *, quantity: int) -> int | None:
    if line is None:
        return None
    return money.half_even(line.value_minor * quantity, denominator=line.accepted)


def _match(line: SupplierBillLine, *, tolerance: Tolerance) -> bill_match.Match:
    return bill_match.match(
        BilledLine(
            billed=line.quantity,
            received=line.received,
            amount=line.landed_minor,
            expected=line.expected_minor,
        ),
        tolerance=tolerance,
    )
