"""Enquiries to several suppliers, their quotations side by side as cost on site, and the one chosen."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils import timezone
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
    Nothing,
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
from inventory.documents import enquiry as paper
from inventory.queries import enquiries as rows
from inventory.services import enquiries, quotations
from inventory.services.enquiries import MOST_LINES, MOST_SUPPLIERS, EnquiryAct, EnquiryLineAct, EnquiryStep
from inventory.services.quotations import (
    MOST_DENSITY,
    ChoiceAct,
    QuotationAct,
    QuotedLineAct,
)
from inventory.services.suppliers import MOST_DAYS
from projects.access.actor import Actor
from projects.access.permissions import Permission

BASES = ["included", "unit", "whole"]


class EnquiryLineTyped(Typed):
    material_id = RowId()
    amount = Figure(help_text="In packs when a pack is named, else in the unit.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True)
    specification = serializers.CharField(max_length=200, required=False, allow_blank=True)


class EnquiryTyped(Typed):
    site_id = RowId()
    needed_date = Day()
    answer_date = Day(help_text="Quotations are wanted by.")
    supplier_ids = serializers.ListField(child=RowId(), max_length=MOST_SUPPLIERS)
    lines = listed(EnquiryLineTyped, most=MOST_LINES)
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)


class QuotedLineTyped(Typed):
    line_id = RowId(help_text="The line of the enquiry.")
    price = Whole(help_text="Ten-thousandths of a minor unit for one pack, unit or load.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(
        max_length=12,
        required=False,
        allow_blank=True,
        help_text="kg, quintal, t, lb, m3, cft, brass, yd3, L …",
    )
    load = Figure(required=False, allow_null=True, help_text="Priced by the load: the units in one.")
    bulk_density_kg_m3 = serializers.IntegerField(
        min_value=1, max_value=MOST_DENSITY, required=False, allow_null=True
    )
    freight = Whole(required=False)
    freight_basis = serializers.ChoiceField(choices=BASES, required=False)
    loading = Whole(required=False)
    loading_basis = serializers.ChoiceField(choices=BASES, required=False)
    tax_percent = serializers.DecimalField(
        max_digits=6, decimal_places=3, min_value=0, max_value=100, required=False
    )
    tax_included = serializers.BooleanField(required=False)
    tax_recoverable = serializers.BooleanField(required=False, help_text="The firm gets it back.")
    minimum = Figure(required=False, help_text="Least order, in what is priced.")
    lead_days = serializers.IntegerField(min_value=0, max_value=MOST_DAYS, help_text="Working days.")


class QuotationTyped(Typed):
    supplier_id = RowId()
    dated = Day()
    valid_until = Day(required=False, allow_null=True)
    credit_days = serializers.IntegerField(min_value=0, max_value=MOST_DAYS, required=False)
    reference = serializers.CharField(max_length=60, required=False, allow_blank=True)
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)
    lines = listed(QuotedLineTyped, most=MOST_LINES)


class QuotationChoiceTyped(Reason):
    pack_id = RowId(required=False, allow_null=True, help_text="The pack in which the plan shall buy.")


class EnquiryShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    site = Named()
    needed_date = serializers.DateField()
    answer_date = serializers.DateField()
    remark = serializers.CharField()
    created_at = serializers.DateTimeField()
    sent_at = serializers.DateTimeField(allow_null=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    end_reason = serializers.CharField()


class QuotationNamed(Shown):
    id = serializers.IntegerField()
    supplier = Named()
    dated = serializers.DateField()
    valid_until = serializers.DateField(allow_null=True)
    credit_days = serializers.IntegerField()
    reference = serializers.CharField()


class QuotationChoiceShown(Shown):
    id = serializers.IntegerField()
    quoted_id = serializers.IntegerField()
    offer_id = serializers.IntegerField()
    pack_price = Price(help_text="For one pack on site: what the supplier's offer took over.")
    reason = serializers.CharField()
    chosen_by = Named(allow_null=True)
    chosen_at = serializers.DateTimeField()


class QuotedShown(Shown):
    id = serializers.IntegerField(source="row.id")
    quotation = QuotationNamed(source="row.quotation")
    price = Price(source="row.price", help_text="As quoted.")
    pack = Named(source="row.pack", allow_null=True)
    unit = serializers.CharField(source="row.unit")
    load_thousandths = serializers.IntegerField(source="row.load_thousandths", allow_null=True)
    lead_days = serializers.IntegerField(source="row.lead_days")
    compared_in = serializers.CharField(source="unit", help_text="The unit of `unit_cost`.")
    unit_cost = Money(source="per_unit_minor", help_text="Cost on site of one unit, rounded.")
    total = Money(source="total_minor", help_text="Cost on site of what must be bought; null when replaced.")
    replaced = serializers.BooleanField(help_text="The supplier has quoted anew since.")
    expired = serializers.BooleanField()
    lowest = serializers.BooleanField()


class EnquiryLineShown(Shown):
    id = serializers.IntegerField(source="row.id")
    material = MaterialNamed(source="row.material")
    quantity = Quantity("row.quantity", material="row.material")
    specification = serializers.CharField(source="row.specification")
    quoted = QuotedShown(many=True, help_text="The lowest cost on site first.")
    choice = QuotationChoiceShown(allow_null=True)


class SupplierAskedShown(Shown):
    id = serializers.IntegerField(source="row.id")
    supplier = Named(source="row.supplier")
    mailed = serializers.BooleanField()


class EnquiryInFull(EnquiryShown):
    lines = EnquiryLineShown(many=True, source="sheet_lines")
    asked = SupplierAskedShown(many=True, source="sheet_asked")


class _Enquiry(Resource):
    reading_needs = Permission.SEE_MONEY

    def _read(self, enquiry_id: int) -> Any:
        return read(self.actor, enquiry_id, today=self.today)


def read(actor: Actor, enquiry_id: int, *, today: Any) -> Any:
    """Read an enquiry with its quotations side by side."""
    row: Any = rows.one(actor, enquiry_id)
    row.sheet_lines = rows.compared(actor, row, today=today)
    row.sheet_asked = rows.asked(actor, row)
    return row


class Enquiries(_Enquiry):
    @doc.lists("list_enquiries", shown=EnquiryShown, says="The enquiries, newest first.")
    def get(self, request: Request) -> Response:
        del request
        found = pagination.positioned(
            self.asked(PageAsked),
            rows=lambda start, count: rows.listing(self.actor, start=start, count=count),
        )
        return self.page(found, as_=EnquiryShown)

    @doc.acts(
        "write_enquiry",
        types=EnquiryTyped,
        shown=EnquiryInFull,
        made=True,
        says="Ask several suppliers the same thing; nothing is sent.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(EnquiryTyped)
        lines = tuple(EnquiryLineAct(**line) for line in typed.pop("lines"))
        asked = tuple(typed.pop("supplier_ids"))
        act = EnquiryAct(lines=lines, supplier_ids=asked, **typed)
        return self.do(enquiries.write, act=act, read=self._read, as_=EnquiryInFull, made=True)


class Enquiry(_Enquiry):
    @doc.reads("read_enquiry", shown=EnquiryInFull, says="One enquiry, its quotations as cost on site.")
    def get(self, request: Request, enquiry_id: int) -> Response:
        del request
        return self.show(self._read(enquiry_id), as_=EnquiryInFull)


class Send(_Enquiry):
    @doc.acts(
        "send_enquiry", types=Nothing, shown=EnquiryInFull, says="Mail it to each supplier with an address."
    )
    def post(self, request: Request, enquiry_id: int) -> Response:
        del request
        act = EnquiryStep(enquiry_id=enquiry_id, **self.typed(Nothing))
        return self.do(enquiries.send, act=act, read=self._read, as_=EnquiryInFull)


class End(_Enquiry):
    @doc.acts("end_enquiry", types=Reason, shown=EnquiryInFull, says="End it: nothing is quoted or chosen.")
    def post(self, request: Request, enquiry_id: int) -> Response:
        del request
        act = EnquiryStep(enquiry_id=enquiry_id, **self.typed(Reason))
        return self.do(enquiries.end, act=act, read=self._read, as_=EnquiryInFull)


class Paper(_Enquiry):
    @doc.reads_file("enquiry_pdf", kind="pdf", says="The enquiry as one of the suppliers asked gets it.")
    def get(self, request: Request, asked_id: int) -> HttpResponse:
        del request
        letter = rows.letter(self.actor, asked_id=asked_id)
        content = paper.pdf(self.actor, letter=letter, at=timezone.now())
        return doc.file(f"{letter.enquiry.number}.pdf", content=content)


class Quotations(_Enquiry):
    @doc.acts(
        "record_quotation",
        types=QuotationTyped,
        shown=EnquiryInFull,
        made=True,
        says="Record a quotation as it was quoted; a later one of the supplier replaces it.",
    )
    def post(self, request: Request, enquiry_id: int) -> Response:
        del request
        typed = self.typed(QuotationTyped)
        lines = tuple(QuotedLineAct(**line) for line in typed.pop("lines"))
        act = QuotationAct(enquiry_id=enquiry_id, lines=lines, **typed)

        def back(quotation_id: int) -> Any:
            del quotation_id
            return self._read(enquiry_id)

        return self.do(quotations.record, act=act, read=back, as_=EnquiryInFull, made=True)


class Choose(_Enquiry):
    @doc.acts(
        "choose_quotation",
        types=QuotationChoiceTyped,
        shown=QuotationChoiceShown,
        made=True,
        says="Choose a quoted price with the reason: it becomes the supplier's offer from today.",
    )
    def post(self, request: Request, quoted_id: int) -> Response:
        del request
        act = ChoiceAct(quoted_id=quoted_id, **self.typed(QuotationChoiceTyped))
        return self.do(quotations.choose, act=act, as_=QuotationChoiceShown, made=True)
