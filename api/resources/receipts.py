"""Deliveries: what is expected, and what came."""

from __future__ import annotations

from decimal import Decimal
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
from api.resources.slips import SURE
from inventory.queries import deliveries as rows
from inventory.queries import measuring
from inventory.services import deliveries
from inventory.services.checks import CheckAct
from inventory.services.deliveries import MOST_LINES, ReceiptAct, ReceiptLineAct, ReverseAct
from inventory.services.loads import LONGEST_BAR_MM
from inventory.services.measurings import MeasurementAct, ReadingAct, TicketAct


class ReadingTyped(Typed):
    name = serializers.CharField(max_length=20, help_text="As the method names it: length, depth_1, gross …")
    value = serializers.DecimalField(max_digits=15, decimal_places=4, min_value=Decimal(0))
    measured = serializers.BooleanField(required=False, help_text="False when it was assumed.")


class TicketTyped(Typed):
    batched_at = Moment(help_text="Water to cement, by the ticket.")
    arrived_at = Moment(required=False, allow_null=True)
    discharged_at = Moment(required=False, allow_null=True)


class MeasurementTyped(Typed):
    method = serializers.CharField(
        max_length=12,
        required=False,
        help_text="counted, truck, weighbridge, bags, bars or ticket, as /receipts/methods/ lists them.",
    )
    readings = listed(ReadingTyped, most=20, required=False)
    ticket = TicketTyped(required=False, allow_null=True)


class CheckTyped(Typed):
    code = serializers.CharField(
        max_length=20, help_text="As /receipts/methods/ lists them for the material."
    )
    verdict = serializers.CharField(
        max_length=6,
        required=False,
        allow_blank=True,
        help_text="pass, hold or reject, of what is looked at.",
    )
    reading = Figure(required=False, allow_null=True, help_text="Of what is read as a figure.")
    remark = serializers.CharField(max_length=200, required=False, allow_blank=True)


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
    stated = Figure(allow_null=True, help_text="By the delivery note; null: it says what was found.")
    found = Figure(required=False, help_text="As counted; left out when it follows from the readings.")
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
    measurement = MeasurementTyped(required=False, allow_null=True)
    checks = listed(CheckTyped, most=20, required=False)
    hold_reason = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="Why it waits in quarantine, if it does."
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
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)
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


class ReadingShown(Shown):
    name = serializers.CharField()
    value = serializers.CharField()
    unit = serializers.CharField()
    measured = serializers.BooleanField()


class ReadingAsked(Shown):
    name = serializers.CharField()
    title = serializers.CharField()
    unit = serializers.CharField()
    least = serializers.CharField()
    most = serializers.CharField()
    needed = serializers.BooleanField()


class MethodShown(Shown):
    code = serializers.CharField()
    title = serializers.CharField()
    asks = ReadingAsked(many=True)


class CheckAsked(Shown):
    code = serializers.CharField()
    title = serializers.CharField()
    unit = serializers.CharField(help_text="Empty where it is looked at and a verdict is given.")


class MaterialMethods(Shown):
    material = MaterialNamed()
    methods = MethodShown(many=True)
    checks = CheckAsked(many=True)


class CheckShown(Shown):
    code = serializers.CharField()
    verdict = serializers.ChoiceField(choices=["pass", "hold", "reject"])
    reading_thousandths = serializers.IntegerField(allow_null=True)
    unit = serializers.CharField()
    limit = serializers.CharField()
    remark = serializers.CharField()
    checked_at = serializers.DateTimeField()
    checked_by = Named(allow_null=True)


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
    method = serializers.CharField(source="line.method", help_text="How it was measured.")
    readings = ReadingShown(source="line.readings", many=True)
    working = serializers.CharField(source="line.working")
    bulking_thousandths = serializers.IntegerField(
        source="line.bulking_thousandths", allow_null=True, help_text="Of a per cent."
    )
    moisture_thousandths = serializers.IntegerField(
        source="line.moisture_thousandths", allow_null=True, help_text="Of a per cent."
    )
    dry_equivalent = Quantity("line.dry_equivalent", material="line.material")
    batched_at = serializers.DateTimeField(source="line.batched_at", allow_null=True)
    arrived_at = serializers.DateTimeField(source="line.arrived_at", allow_null=True)
    discharged_at = serializers.DateTimeField(source="line.discharged_at", allow_null=True)
    remarks = serializers.ListField(
        child=serializers.CharField(), help_text="What lies beyond a limit, with the limit and its source."
    )
    held = Quantity("line.held", material="line.material")
    hold_reason = serializers.CharField(source="line.hold_reason")
    checks = CheckShown(source="line.checks.all", many=True)
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


class Methods(Resource):
    @doc.reads(
        "list_measuring_methods",
        shown=MaterialMethods,
        many=True,
        says="How a load of each material can be measured, and the readings that each way asks for.",
    )
    def get(self, request: Request) -> Response:
        del request
        return self.show(measuring.methods_of(self.actor), as_=MaterialMethods, many=True)


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
        act = receipt_of(typed)
        return self.do(deliveries.record, act=act, read=self._read, as_=ReceiptInFull, made=True)


def receipt_of(typed: dict[str, Any]) -> ReceiptAct:
    """Return a delivery as the act takes it."""
    return ReceiptAct(lines=tuple(_line(line) for line in typed.pop("lines")), **typed)


def _line(typed: dict[str, Any]) -> ReceiptLineAct:
    """Return a line as the act takes it, with its measurement where there is one."""
    said = typed.pop("measurement", None)
    typed["checks"] = tuple(CheckAct(**check) for check in typed.get("checks", ()))
    if said is None:
        return ReceiptLineAct(**typed)
    ticket = said.pop("ticket", None)
    readings = tuple(ReadingAct(**reading) for reading in said.pop("readings", ()))
    measurement = MeasurementAct(**said, readings=readings, ticket=TicketAct(**ticket) if ticket else None)
    return ReceiptLineAct(**typed, measurement=measurement)


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
