"""What was open when the firm began here: orders given before, and bills that were unpaid."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Day, RowId, Typed, Whole, listed
from api.resource import Resource
from api.resources.orders import OrderInFull, read_order
from api.resources.supplier_bills import SupplierBillInFull
from inventory.queries import supplier_bills as bill_rows
from inventory.services import opening_bills, opening_orders
from inventory.services.opening_bills import OwedBillAct
from inventory.services.opening_orders import EarlierLineAct, EarlierOrderAct
from inventory.services.orders import MOST_LINES, MOST_PACKS


class EarlierLineTyped(Typed):
    material_id = RowId()
    pack_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS, help_text="As ordered.")
    packs_before = serializers.IntegerField(
        min_value=0, max_value=MOST_PACKS, required=False, help_text="Of them delivered before."
    )
    pack_price = Whole(help_text="Ten-thousandths of a minor unit for one pack.")
    pour_id = RowId(required=False, allow_null=True)


class EarlierOrderTyped(Typed):
    site_id = RowId()
    supplier_id = RowId()
    number = serializers.CharField(max_length=60, help_text="That it had.")
    ordered_date = Day()
    expected_date = Day()
    lines = listed(EarlierLineTyped, most=MOST_LINES)


class OwedBillTyped(Typed):
    supplier_id = RowId()
    number = serializers.CharField(max_length=60, help_text="As printed.")
    dated = Day()
    due_date = Day(required=False, allow_null=True, help_text="Left out: after the supplier's credit days.")
    total_minor = Whole(help_text="As printed.")
    paid_minor = Whole(required=False, help_text="Paid on it so far.")


class EarlierOrders(Resource):
    @doc.acts(
        "enter_earlier_order",
        types=EarlierOrderTyped,
        shown=OrderInFull,
        made=True,
        says="Enter an order given before: what is still to come is a sent order; nothing is mailed.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(EarlierOrderTyped)
        lines = tuple(EarlierLineAct(**line) for line in typed.pop("lines"))
        act = EarlierOrderAct(lines=lines, **typed)
        return self.do(opening_orders.record, act=act, read=self._read, as_=OrderInFull, made=True)

    def _read(self, order_id: int) -> Any:
        return read_order(self.actor, order_id)


class OwedBills(Resource):
    @doc.acts(
        "enter_owed_bill",
        types=OwedBillTyped,
        shown=SupplierBillInFull,
        made=True,
        says="Enter a bill that was unpaid before: it is owed, and changes no stock and no slab.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = OwedBillAct(**self.typed(OwedBillTyped))
        return self.do(opening_bills.record, act=act, read=self._read, as_=SupplierBillInFull, made=True)

    def _read(self, bill_id: int) -> Any:
        return bill_rows.one(self.actor, bill_id=bill_id)
