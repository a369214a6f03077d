"""Purchases for cash, and the firm's limits of buying."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Money, RowId, Shown, Typed, Whole, listed
from api.resource import Resource
from api.resources.orders import OrderInFull, read_order
from inventory.services import cash
from inventory.services.cash import MOST_LINES, MOST_PACKS, CashAct, CashLineAct
from projects.access.permissions import Permission
from projects.queries import limits as rows
from projects.services import limits
from projects.services.limits import LimitsAct


class CashLineTyped(Typed):
    material_id = RowId()
    pack_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    paid_minor = Whole(min_value=1, help_text="Minor units, for all packs of the line.")


class CashTyped(Typed):
    site_id = RowId()
    supplier_id = RowId(required=False, allow_null=True)
    shop = serializers.CharField(
        max_length=120, required=False, allow_blank=True, help_text="A shop that is no supplier yet."
    )
    note_number = serializers.CharField(max_length=60, required=False, allow_blank=True)
    lines = listed(CashLineTyped, most=MOST_LINES)


class LimitsTyped(Typed):
    approval_limit_minor = Whole(help_text="Orders above it wait for the owner; 0: none does.")
    cash_limit_minor = Whole(help_text="What a site may buy for cash in a day; 0: nothing.")


class LimitsShown(Shown):
    approval_limit = Money(source="approval_limit_minor")
    cash_limit = Money(source="cash_limit_minor")


class Purchases(Resource):
    @doc.acts(
        "buy_for_cash",
        types=CashTyped,
        shown=OrderInFull,
        made=True,
        says="Record a purchase for cash: order, receipt and payment in one, within the limit of the day.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(CashTyped)
        lines = tuple(CashLineAct(**line) for line in typed.pop("lines"))

        def read(order_id: int) -> Any:
            return read_order(self.actor, order_id)

        act = CashAct(lines=lines, **typed)
        return self.do(cash.buy, act=act, read=read, as_=OrderInFull, made=True)


class Limits(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads(
        "read_limits", shown=LimitsShown, says="What is ordered without the owner, or bought for cash."
    )
    def get(self, request: Request) -> Response:
        del request
        return self.show(rows.of_firm(self.actor), as_=LimitsShown)

    @doc.acts("set_limits", types=LimitsTyped, shown=LimitsShown, says="Set the limits; only the owner does.")
    def put(self, request: Request) -> Response:
        del request
        return self.do(limits.set_limits, act=LimitsAct(**self.typed(LimitsTyped)), as_=LimitsShown)
