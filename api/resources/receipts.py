"""Deliveries: what is expected, and what came."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import (
    Asked,
    Day,
    Figure,
    MaterialNamed,
    Moment,
    Money,
    Named,
    Numbered,
    Quantity,
    Reason,
    RowId,
    Shown,
    Typed,
    listed,
)
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.movements import MovementShown
from inventory.queries import deliveries as rows
from inventory.services import deliveries
from inventory.services.deliveries import MOST_LINES, ReceiptAct, ReceiptLineAct, ReverseAct
from inventory.services.loads import LONGEST_BAR_MM


class ReceiptLineTyped(Typed):
    material_id = RowId()
    order_line_id = RowId(required=False, allow_null=True)
    pack_id = RowId(required=False, allow_null=True, help_text="The figures are then in this pack.")
    unit = serializers.CharField(
        max_length=12,
        required=False,
        allow_blank=True,
        help_text="kg, quintal, t, m, m3, L, m2 or no; as shown if empty.",
    )
    stated = Figure(help_text="By the delivery note.")
    found = Figure(help_text="As counted or measured.")
    rejected = Figure(required=False, help_text="Part of what was found.")
    reject_reason = serializers.CharField(max_length=200, required=False, allow_blank=True)
    lot_label = serializers.CharField(max_length=60, required=False, allow_blank=True)
    made_date = Day(required=False, allow_null=True)
    measured_kg_per_m = Figure(required=False, allow_null=True, help_text="Steel: mass per metre as weighed.")
    bars = serializers.IntegerField(
        min_value=1,
        max_value=1_000_000,
        required=False,
        allow_null=True,
        help_text="Steel by mass: good bars, counted beside the scales.",
    )
    bar_length_mm = serializers.IntegerField(
        min_value=1, max_value=LONGEST_BAR_MM, required=False, allow_null=True, help_text="Length of one bar."
    )


class ReceiptTyped(Typed):
    site_id = RowId()
    supplier_id = RowId()
    order_id = RowId(required=False, allow_null=True)
    happened_at = Moment()
    note_number = serializers.CharField(max_length=60, required=False, allow_blank=True)
    same_note_answer = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="Why a used note number is another load."
    )
    vehicle = serializers.CharField(max_length=30, required=False, allow_blank=True)
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)
    lines = listed(ReceiptLineTyped, most=MOST_LINES)


class ReceiptsAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)
    note = serializers.CharField(
        max_length=60,
        required=False,
        allow_blank=True,
        default="",
        help_text="How the delivery note begins, or the receipt's or order's number.",
    )


class ExpectedAsked(Asked):
    site_id = RowId(required=False, allow_null=True, default=None)


class ReceiptLineBrief(Shown):
    material = MaterialNamed()
    accepted = Quantity("accepted")


class ReceiptShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    site = Named()
    supplier = Named()
    order = Numbered(allow_null=True)
    note_number = serializers.CharField()
    match = serializers.ChoiceField(choices=["ordered", "unordered", "excess"])
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()
    reversed_at = serializers.DateTimeField(allow_null=True)


class ReceiptBrief(ReceiptShown):
    lines = ReceiptLineBrief(many=True)


class ReceiptLineShown(Shown):
    id = serializers.IntegerField(source="line.id")
    material = MaterialNamed(source="line.material")
    order_line_id = serializers.IntegerField(source="line.order_line_id", allow_null=True)
    measured_in = serializers.CharField(source="line.measured_in", help_text="The unit of the next three.")
    stated_thousandths = serializers.IntegerField(source="line.stated_thousandths")
    found_thousandths = serializers.IntegerField(source="line.found_thousandths")
    rejected_thousandths = serializers.IntegerField(source="line.rejected_thousandths")
    reject_reason = serializers.CharField(source="line.reject_reason")
    conversion_source = serializers.CharField(source="line.conversion_source")
    lot_id = serializers.IntegerField(source="line.lot_id", allow_null=True)
    accepted = Quantity("line.accepted", material="line.material")
    mass_g = serializers.IntegerField(
        source="line.mass_g", allow_null=True, help_text="Steel: mass accepted."
    )
    bars = serializers.IntegerField(source="line.bars", allow_null=True, help_text="Steel: good bars.")
    value = Money(source="value_minor")
    short = serializers.BooleanField()
    over = serializers.BooleanField()
    unordered = serializers.BooleanField()
    over_age = serializers.BooleanField()


class ReceiptInFull(Shown):
    receipt = ReceiptShown()
    recorded_by = Named(source="receipt.recorded_by", allow_null=True)
    vehicle = serializers.CharField(source="receipt.vehicle")
    same_note_answer = serializers.CharField(source="receipt.same_note_answer")
    remark = serializers.CharField(source="receipt.remark")
    value = Money(source="value_minor")
    lines = ReceiptLineShown(many=True)
    movements = MovementShown(many=True)


class ExpectedLineShown(Shown):
    order_line_id = serializers.IntegerField(source="line.id")
    material = MaterialNamed(source="line.material")
    pack = Named(source="line.pack")
    left = Quantity("left", material="line.material")
    packs_left = serializers.IntegerField()


class ExpectedShown(Shown):
    order = Numbered()
    site = Named(source="order.site")
    supplier = Named(source="order.supplier")
    expected_date = serializers.DateField(source="order.expected_date")
    late_days = serializers.IntegerField()
    lines = ExpectedLineShown(many=True)


class _Receipt(Resource):
    def _read(self, receipt_id: int) -> Any:
        return rows.receipt(self.actor, receipt_id=receipt_id)


class Expected(Resource):
    @doc.reads(
        "list_expected",
        shown=ExpectedShown,
        many=True,
        asks=ExpectedAsked,
        says="The open orders of which something is still to come, soonest first.",
    )
    def get(self, request: Request) -> Response:
        del request
        site_id = self.asked(ExpectedAsked)["site_id"]
        found = rows.expected(self.actor, today=self.today, site_id=site_id)
        return self.show(found, as_=ExpectedShown, many=True)


class Receipts(_Receipt):
    @doc.lists("list_receipts", shown=ReceiptBrief, asks=ReceiptsAsked, says="The receipts, newest first.")
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.receipts(self.actor, **self.asked(ReceiptsAsked)), as_=ReceiptBrief)

    @doc.acts(
        "record_receipt",
        types=ReceiptTyped,
        shown=ReceiptInFull,
        made=True,
        says="Record a delivery as it was found. What was not ordered, or is too much, is only flagged.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(ReceiptTyped)
        lines = tuple(ReceiptLineAct(**line) for line in typed.pop("lines"))
        act = ReceiptAct(lines=lines, **typed)
        return self.do(deliveries.record, act=act, read=self._read, as_=ReceiptInFull, made=True)


class Receipt(_Receipt):
    @doc.reads("read_receipt", shown=ReceiptInFull, says="One receipt with its lines and movements.")
    def get(self, request: Request, receipt_id: int) -> Response:
        del request
        return self.show(self._read(receipt_id), as_=ReceiptInFull)


class Reverse(_Receipt):
    @doc.acts(
        "reverse_receipt",
        types=Reason,
        shown=ReceiptInFull,
        says="Take a receipt back as a whole, at its value.",
    )
    def post(self, request: Request, receipt_id: int) -> Response:
        del request
        act = ReverseAct(receipt_id=receipt_id, **self.typed(Reason))
        return self.do(deliveries.reverse, act=act, read=self._read, as_=ReceiptInFull)
