"""Suppliers' bills: entered, matched, settled, paid, and what is owed."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import (
    Day,
    Figure,
    MaterialNamed,
    Money,
    Named,
    Numbered,
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
from inventory.queries import supplier_bills as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import payments, supplier_bills
from inventory.services.bill_lines import BilledLineAct
from inventory.services.payments import PartAct, PaymentAct, TakeBackAct, UseAdvanceAct
from inventory.services.supplier_bills import MOST_LINES, OwnerAct, SettleAct, SupplierBillAct
from projects.access.permissions import Permission

KINDS = ["bill", "credit", "debit"]
STATES = ["held", "accepted", "rejected"]


class BilledLineTyped(Typed):
    material_id = RowId()
    receipt_line_id = RowId(required=False, allow_null=True, help_text="The delivery that it is for.")
    pack_id = RowId(required=False, allow_null=True, help_text="The quantity is then in this pack.")
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True)
    quantity = Figure(help_text="As billed.")
    amount_minor = Whole(help_text="As printed, in minor units.")


class SupplierBillTyped(Typed):
    supplier_id = RowId()
    number = serializers.CharField(max_length=60, help_text="As printed.")
    dated = Day()
    due_date = Day(required=False, allow_null=True, help_text="Left out: after the supplier's credit days.")
    kind = serializers.ChoiceField(choices=KINDS, required=False)
    of_bill_id = RowId(required=False, allow_null=True, help_text="The bill that a note is about.")
    freight_minor = Whole(required=False)
    tax_minor = Whole(required=False)
    tax_recoverable = serializers.BooleanField(required=False)
    total_minor = Whole(help_text="As printed; lines, freight and tax must make it.")
    retained_minor = Whole(required=False, help_text="Kept back of the total.")
    retained_until = Day(required=False, allow_null=True)
    lines = listed(BilledLineTyped, most=MOST_LINES)


class SettleTyped(Typed):
    accept = serializers.BooleanField(help_text="False sends the bill back.")
    reason = serializers.CharField(max_length=400, help_text="What was agreed; it stays on record.")


class OwnerTyped(Typed):
    person_id = RowId()


class PartTyped(Typed):
    bill_id = RowId()
    amount_minor = Whole(min_value=1)


class PaymentTyped(Typed):
    paid_date = Day()
    amount_minor = Whole(min_value=1)
    reference = serializers.CharField(max_length=60, required=False, allow_blank=True)
    parts = listed(PartTyped, most=MOST_LINES, required=False)


class PartsTyped(Typed):
    parts = listed(PartTyped, most=MOST_LINES)


class BillsAsked(PageAsked):
    state = serializers.ChoiceField(choices=STATES, required=False, allow_blank=True, default="")
    supplier_id = RowId(required=False, allow_null=True, default=None)


class BillRowShown(Shown):
    id = serializers.IntegerField(source="bill.id")
    supplier = Named(source="bill.supplier")
    kind = serializers.ChoiceField(source="bill.kind", choices=KINDS)
    number = serializers.CharField(source="bill.number")
    dated = serializers.DateField(source="bill.dated")
    due_date = serializers.DateField(source="bill.due_date")
    state = serializers.ChoiceField(source="bill.state", choices=STATES)
    total = Money(source="bill.total_minor")
    open = Money(source="open_minor", help_text="Still to pay.")
    owner = Named(source="bill.owner", allow_null=True)


class BilledLineShown(Shown):
    material = MaterialNamed()
    receipt = Numbered(source="receipt_line.receipt", allow_null=True, default=None)
    quantity = Quantity("quantity", help_text="As billed.")
    received = Quantity("received", help_text="Received and not billed before.")
    amount = Money(source="amount_minor", help_text="As printed.")
    landed = Money(source="landed_minor", help_text="With its share of freight and of tax not recovered.")
    expected = Money(source="expected_minor", help_text="At the price at which it was taken in.")
    causes = serializers.ListField(child=serializers.CharField(), help_text="Why the line is held.")


class SupplierBillInFull(Shown):
    bill = BillRowShown(source="row")
    freight = Money(source="row.bill.freight_minor")
    tax = Money(source="row.bill.tax_minor")
    tax_recoverable = serializers.BooleanField(source="row.bill.tax_recoverable")
    retained = Money(source="row.bill.retained_minor")
    retained_until = serializers.DateField(source="row.bill.retained_until", allow_null=True)
    settled_by = Named(source="row.bill.settled_by", allow_null=True)
    settle_reason = serializers.CharField(source="row.bill.settle_reason")
    lines = BilledLineShown(many=True)


class UnbilledShown(Shown):
    receipt_line_id = serializers.IntegerField(source="line.id")
    receipt = Numbered(source="line.receipt")
    material = MaterialNamed(source="line.material")
    left = Quantity("left", material="line.material", help_text="Received and not billed yet.")
    expected = Money(source="expected_minor", help_text="At the price at which it was taken in.")


class OwedShown(Shown):
    supplier_id = serializers.IntegerField()
    name = serializers.CharField()
    groups = serializers.ListField(
        child=serializers.IntegerField(),
        help_text="Minor units: not due, 1 to 30, 31 to 60, 61 to 90 days past due, longer.",
    )
    retained = Money(source="retained_minor")
    advance = Money(source="advance_minor", help_text="Paid and not yet set against a bill.")


class PaymentShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    paid_date = serializers.DateField()
    amount = Money(source="amount_minor")
    used = Money(help_text="What of it settles bills.")
    reference = serializers.CharField()
    reversed_at = serializers.DateTimeField(allow_null=True)


class _Bill(Resource):
    reading_needs = Permission.SEE_MONEY

    def _read(self, bill_id: int) -> Any:
        return rows.one(self.actor, bill_id=bill_id)


class Bills(_Bill):
    @doc.lists("list_supplier_bills", shown=BillRowShown, asks=BillsAsked, says="Bills, those held first.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(BillsAsked)

        def rows_at(start: int, count: int) -> Any:
            wanted = rows.Wanted(
                state=asked["state"], supplier_id=asked["supplier_id"], start=start, count=count
            )
            return rows.listing(self.actor, wanted=wanted)

        return self.page(pagination.positioned(asked, rows=rows_at), as_=BillRowShown)

    @doc.acts(
        "enter_supplier_bill",
        types=SupplierBillTyped,
        shown=SupplierBillInFull,
        made=True,
        says="Enter a bill as printed. It is matched with deliveries: accepted if it fits, else held.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(SupplierBillTyped)
        lines = tuple(BilledLineAct(**line) for line in typed.pop("lines"))
        act = SupplierBillAct(lines=lines, **typed)
        return self.do(supplier_bills.record, act=act, read=self._read, as_=SupplierBillInFull, made=True)


class Bill(_Bill):
    @doc.reads("read_supplier_bill", shown=SupplierBillInFull, says="One bill with what it is held against.")
    def get(self, request: Request, supplier_bill_id: int) -> Response:
        del request
        return self.show(self._read(supplier_bill_id), as_=SupplierBillInFull)


class Settle(_Bill):
    @doc.acts(
        "settle_supplier_bill",
        types=SettleTyped,
        shown=SupplierBillInFull,
        says="Accept a held bill, which books its price differences, or send it back.",
    )
    def post(self, request: Request, supplier_bill_id: int) -> Response:
        del request
        act = SettleAct(bill_id=supplier_bill_id, **self.typed(SettleTyped))
        return self.do(supplier_bills.settle, act=act, read=self._read, as_=SupplierBillInFull)


class Owner(_Bill):
    @doc.acts(
        "give_supplier_bill", types=OwnerTyped, shown=SupplierBillInFull, says="Hand a held bill to a person."
    )
    def post(self, request: Request, supplier_bill_id: int) -> Response:
        del request
        act = OwnerAct(bill_id=supplier_bill_id, **self.typed(OwnerTyped))
        return self.do(supplier_bills.give, act=act, read=self._read, as_=SupplierBillInFull)


class Unbilled(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads("list_unbilled", shown=UnbilledShown, many=True, says="What waits to be billed by a supplier.")
    def get(self, request: Request, supplier_id: int) -> Response:
        del request
        supplier = supplier_rows.one(self.actor, supplier_id)
        found = rows.unbilled(self.actor, supplier_id=supplier.pk)
        return self.show(found, as_=UnbilledShown, many=True)


class Owed(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads("list_owed", shown=OwedShown, many=True, says="What is owed to each supplier, by age.")
    def get(self, request: Request) -> Response:
        del request
        return self.show(rows.owed(self.actor, today=self.today), as_=OwedShown, many=True)


class _Payment(Resource):
    reading_needs = Permission.SEE_MONEY

    def _read(self, payment_id: int) -> Any:
        return rows.payment(self.actor, payment_id=payment_id)


class Payments(_Payment):
    @doc.lists("list_payments", shown=PaymentShown, says="Payments to a supplier, the latest first.")
    def get(self, request: Request, supplier_id: int) -> Response:
        del request
        supplier = supplier_rows.one(self.actor, supplier_id)
        found = rows.payments(self.actor, supplier_id=supplier.pk)
        return self.page(pagination.sliced(self.asked(PageAsked), of=found), as_=PaymentShown)

    @doc.acts(
        "pay_supplier",
        types=PaymentTyped,
        shown=PaymentShown,
        made=True,
        says="Record a payment; what no bill is named for stands as an advance.",
    )
    def post(self, request: Request, supplier_id: int) -> Response:
        del request
        typed = self.typed(PaymentTyped)
        parts = tuple(PartAct(**part) for part in typed.pop("parts", ()))
        act = PaymentAct(supplier_id=supplier_id, parts=parts, **typed)
        return self.do(payments.pay, act=act, read=self._read, as_=PaymentShown, made=True)


class UseAdvance(_Payment):
    @doc.acts("use_advance", types=PartsTyped, shown=PaymentShown, says="Settle bills with an advance.")
    def post(self, request: Request, payment_id: int) -> Response:
        del request
        parts = tuple(PartAct(**part) for part in self.typed(PartsTyped)["parts"])
        act = UseAdvanceAct(payment_id=payment_id, parts=parts)
        return self.do(payments.use_advance, act=act, read=self._read, as_=PaymentShown)


class TakeBack(_Payment):
    @doc.acts("take_back_payment", types=Reason, shown=PaymentShown, says="Take a wrong payment back.")
    def post(self, request: Request, payment_id: int) -> Response:
        del request
        act = TakeBackAct(payment_id=payment_id, **self.typed(Reason))
        return self.do(payments.take_back, act=act, read=self._read, as_=PaymentShown)
