"""Purchase orders: drafted, approved, sent, closed or cancelled."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import (
    Day,
    MaterialNamed,
    Money,
    Named,
    Nothing,
    Numbered,
    PourNamed,
    Price,
    Quantity,
    Reason,
    RowId,
    Shown,
    Typed,
    Whole,
    listed,
)
from api.pagination import PageAsked
from api.resource import Resource
from inventory.documents import order as paper
from inventory.documents import ubl
from inventory.queries import orders as rows
from inventory.queries.orders import Wanted
from inventory.services import order_changes, orders
from inventory.services.order_changes import AmendAct, ExpectAct, LineChange, TellAct
from inventory.services.orders import MOST_LINES, MOST_PACKS, LineAct, OrderAct, StepAct
from projects.access.actor import Actor
from projects.access.permissions import Permission

WAYS = ["phone", "hand"]
ALL_WAYS = ["mail", "phone", "hand", "cash"]
STATES = ["draft", "approved", "sent", "part", "closed", "cancelled"]


class OrderLineTyped(Typed):
    material_id = RowId()
    pack_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS)
    pack_price = Whole(help_text="Ten-thousandths of a minor unit for one pack on site.")
    pour_id = RowId(required=False, allow_null=True)
    agreement_id = RowId(required=False, allow_null=True, help_text="Called off at its price, which wins.")


class LineChangeTyped(Typed):
    order_line_id = RowId()
    packs = serializers.IntegerField(min_value=0, max_value=MOST_PACKS, help_text="0 strikes the line.")
    pack_price = Whole(required=False, allow_null=True, help_text="Null: as it is.")


class AmendTyped(Reason):
    lines = listed(LineChangeTyped, most=MOST_LINES, required=False)
    added = listed(OrderLineTyped, most=MOST_LINES, required=False)
    expected_date = Day(required=False, allow_null=True)


class ExpectTyped(Reason):
    expected_date = Day()


class TellTyped(Typed):
    way = serializers.ChoiceField(choices=WAYS)
    told_to = serializers.CharField(max_length=120, help_text="Who took the order.")


class OrderTyped(Typed):
    site_id = RowId()
    supplier_id = RowId()
    expected_date = Day()
    lines = listed(OrderLineTyped, most=MOST_LINES)
    freight_minor = Whole(
        required=False, allow_null=True, help_text="Delivery. Null: what the supplier charges for its trucks."
    )


class OrdersAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)
    state = serializers.ChoiceField(choices=STATES, required=False, allow_blank=True, default="")
    late = serializers.BooleanField(
        required=False, default=False, help_text="Only open orders that should have come before today."
    )


class OrderShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    site = Named()
    supplier = Named()
    state = serializers.ChoiceField(choices=STATES)
    version = serializers.IntegerField(help_text="Goes up with each amendment.")
    expected_date = serializers.DateField()
    freight = Money(source="freight_minor", help_text="Delivery, within the total.")
    total = Money(source="total_minor")
    created_at = serializers.DateTimeField()


class OrderLineShown(Shown):
    id = serializers.IntegerField(source="row.id")
    material = MaterialNamed(source="row.material")
    pack = Named(source="row.pack")
    packs = serializers.IntegerField(source="row.packs")
    quantity = Quantity("row.quantity", material="row.material")
    good = Quantity("good", material="row.material", help_text="Accepted so far.")
    left = Quantity("left", material="row.material", help_text="Still to come.")
    pack_price = Price(source="row.pack_price")
    amount = Money(source="row.amount_minor")
    pour = PourNamed(source="row.pour", allow_null=True)
    agreement = Numbered(source="row.agreement", allow_null=True)
    late_days = serializers.IntegerField(help_text="Days by which it comes after its pour needs it.")


class AmendmentShown(Shown):
    money_fields = ("changes",)

    version = serializers.IntegerField()
    reason = serializers.CharField()
    changes = serializers.JSONField(help_text="Packs and price of each changed line, before and after.")
    total_before = Money(source="total_before_minor")
    total_after = Money(source="total_after_minor")
    made_by = Named(allow_null=True)
    made_at = serializers.DateTimeField()


class OrderDateShown(Shown):
    was_date = serializers.DateField()
    expected_date = serializers.DateField()
    reason = serializers.CharField()
    changed_by = Named(allow_null=True)
    changed_at = serializers.DateTimeField()


class OrderInFull(OrderShown):
    created_by = Named(allow_null=True)
    approved_by = Named(allow_null=True)
    approved_at = serializers.DateTimeField(allow_null=True)
    self_approved = serializers.BooleanField(help_text="Approved by the person who wrote it.")
    sent_at = serializers.DateTimeField(allow_null=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    end_reason = serializers.CharField()
    way = serializers.ChoiceField(choices=ALL_WAYS, help_text="How the order was given.")
    told_to = serializers.CharField()
    lines = OrderLineShown(many=True, source="sheet_lines")
    amendments = AmendmentShown(many=True, source="sheet_amendments")
    dates = OrderDateShown(many=True, source="sheet_dates")


def read_order(actor: Actor, order_id: int) -> Any:
    """Read an order and its lines."""
    order: Any = rows.one(actor, order_id)
    order.sheet_lines = rows.lines(actor, order)
    order.sheet_amendments = rows.amendments(actor, order)
    order.sheet_dates = rows.dates(actor, order)
    return order


class _Order(Resource):
    def _read(self, order_id: int) -> Any:
        return read_order(self.actor, order_id)


class Orders(_Order):
    @doc.lists("list_orders", shown=OrderShown, asks=OrdersAsked, says="The orders, newest first.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(OrdersAsked)
        states = (asked["state"],) if asked["state"] else ()
        late_on = self.today if asked["late"] else None

        def rows_at(start: int, count: int) -> Any:
            wanted = Wanted(
                states=states, site_id=asked["site_id"], late_on=late_on, start=start, count=count
            )
            return rows.listing(self.actor, wanted=wanted)

        return self.page(pagination.positioned(asked, rows=rows_at), as_=OrderShown)

    @doc.acts(
        "draft_order",
        types=OrderTyped,
        shown=OrderInFull,
        made=True,
        says="Write an order to one supplier for one site, in whole packs; nothing is sent.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(OrderTyped)
        lines = tuple(LineAct(**line) for line in typed.pop("lines"))
        act = OrderAct(lines=lines, **typed)
        return self.do(orders.draft, act=act, read=self._read, as_=OrderInFull, made=True)


class Order(_Order):
    @doc.reads("read_order", shown=OrderInFull, says="One order with what has come of it.")
    def get(self, request: Request, order_id: int) -> Response:
        del request
        return self.show(self._read(order_id), as_=OrderInFull)


class Approve(_Order):
    @doc.acts(
        "approve_order",
        types=Nothing,
        shown=OrderInFull,
        says="Approve a draft; above the firm's limit the owner does.",
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = StepAct(order_id=order_id, **self.typed(Nothing))
        return self.do(orders.approve, act=act, read=self._read, as_=OrderInFull)


class Send(_Order):
    @doc.acts(
        "send_order",
        types=Nothing,
        shown=OrderInFull,
        says="Send an approved order: by e-mail where there is one.",
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = StepAct(order_id=order_id, **self.typed(Nothing))
        return self.do(orders.send, act=act, read=self._read, as_=OrderInFull)


class Cancel(_Order):
    @doc.acts(
        "cancel_order",
        types=Reason,
        shown=OrderInFull,
        says="Cancel an order; one that came in part is closed.",
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = StepAct(order_id=order_id, **self.typed(Reason))
        return self.do(orders.cancel, act=act, read=self._read, as_=OrderInFull)


class Close(_Order):
    @doc.acts("close_order", types=Reason, shown=OrderInFull, says="Close an order whose rest will not come.")
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = StepAct(order_id=order_id, **self.typed(Reason))
        return self.do(orders.close, act=act, read=self._read, as_=OrderInFull)


class Amend(_Order):
    @doc.acts(
        "amend_order",
        types=AmendTyped,
        shown=OrderInFull,
        says="Make a new version: lines that change or are added, another day; never below what has come.",
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        typed = self.typed(AmendTyped)
        lines = tuple(LineChange(**line) for line in typed.pop("lines", ()))
        added = tuple(LineAct(**line) for line in typed.pop("added", ()))
        act = AmendAct(order_id=order_id, lines=lines, added=added, **typed)
        return self.do(order_changes.amend, act=act, read=self._read, as_=OrderInFull)


class Expect(_Order):
    @doc.acts(
        "expect_order", types=ExpectTyped, shown=OrderInFull, says="Move the day on which it is expected."
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = ExpectAct(order_id=order_id, **self.typed(ExpectTyped))
        return self.do(order_changes.expect, act=act, read=self._read, as_=OrderInFull)


class Tell(_Order):
    @doc.acts(
        "tell_order",
        types=TellTyped,
        shown=OrderInFull,
        says="Record that an approved order was given by telephone or by hand; no mail leaves.",
    )
    def post(self, request: Request, order_id: int) -> Response:
        del request
        act = TellAct(order_id=order_id, **self.typed(TellTyped))
        return self.do(order_changes.tell, act=act, read=self._read, as_=OrderInFull)


class Paper(_Order):
    reading_needs = Permission.SEE_MONEY

    @doc.reads_file(
        "order_pdf", kind="pdf", says="The order as its supplier gets it, with a code for its receipt."
    )
    def get(self, request: Request, order_id: int) -> HttpResponse:
        letter = rows.paper(self.actor, order_id)
        receipt = request.build_absolute_uri(reverse("inventory:receipt_of_order", args=[order_id]))
        content = paper.pdf(self.actor, letter=letter, receipt_url=receipt, at=timezone.now())
        return doc.file(f"{letter.number}.pdf", content=content)


class Ubl(_Order):
    reading_needs = Permission.SEE_MONEY

    @doc.reads_file("order_ubl", kind="xml", says="The order as a UBL 2.1 Order.")
    def get(self, request: Request, order_id: int) -> HttpResponse:
        del request
        letter = rows.paper(self.actor, order_id)
        content = ubl.xml(letter, currency=self.actor.currency)
        return doc.file(f"{letter.number}.xml", content=content)
