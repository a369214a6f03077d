"""Bills of quantities: issued, read and compared."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Asked, Day, Money, Named, RowId, Shown, SlabNamed, Typed
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.designs import FindingShown
from api.resources.lines import LineShown
from estimates.documents import bill as document
from estimates.queries import bills as rows
from estimates.services import bills
from estimates.services.bills import BillAct
from projects.access.actor import Actor
from projects.queries import pours

STATES = ["issued", "superseded"]


class BillTyped(Typed):
    as_of = Day(help_text="The day whose rates hold.")
    reason = serializers.CharField(
        max_length=2000,
        required=False,
        allow_blank=True,
        help_text="Asked for when a finding says stop; quotes the engineer.",
    )


class DifferenceAsked(Asked):
    before = RowId(help_text="The earlier bill.")


class BillShown(Shown):
    id = serializers.IntegerField()
    number = serializers.IntegerField(help_text="Counting within the slab.")
    state = serializers.ChoiceField(choices=STATES)
    design_id = serializers.IntegerField()
    drawing_number = serializers.CharField()
    drawing_revision = serializers.CharField()
    total = Money(source="total_minor")
    issued_at = serializers.DateTimeField()
    issued_by = Named(allow_null=True)


class FigureUsedShown(Shown):
    key = serializers.CharField()
    meaning = serializers.CharField()
    value = serializers.FloatField()
    unit = serializers.CharField()
    source = serializers.CharField(help_text="Who set it, when, why, and what it replaces.")  # type: ignore[assignment]  # its name on the wire


class BillInFull(Shown):
    bill = BillShown()
    slab = SlabNamed(source="bill.design.slab")
    profile = serializers.CharField(source="bill.profile")
    edition = serializers.CharField(source="bill.edition")
    standards_digest = serializers.CharField(source="bill.standards_digest")
    area_mm2 = serializers.IntegerField(source="bill.area_mm2", help_text="Slab area in plan.")
    volume_cm3 = serializers.IntegerField(source="bill.volume_cm3", help_text="Net concrete volume.")
    findings = FindingShown(many=True, source="bill.findings")  # as frozen with the bill
    figures = FigureUsedShown(
        many=True, source="bill.figures", help_text="The firm's own figures when it was issued."
    )
    reason = serializers.CharField(source="bill.reason")
    lines = LineShown(many=True, source="rows")


class LineDifferenceShown(Shown):
    key = serializers.CharField()
    title = serializers.CharField()
    member = serializers.CharField()
    unit = serializers.CharField()
    before = serializers.FloatField(allow_null=True)
    after = serializers.FloatField(allow_null=True)
    change = serializers.FloatField()
    amount_before = Money()
    amount_after = Money()
    amount_change = Money()


class BillsOfSlab(Resource):
    @doc.lists(
        "list_bills", shown=BillShown, says="A slab's bills, the latest first; the issued one is its budget."
    )
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        slab = pours.slab(self.actor, slab_id=slab_id)
        found = rows.of_slab(self.actor, slab_id=slab.pk)
        return self.page(pagination.sliced(asked, of=found), as_=BillShown)


class BillsOfDesign(Resource):
    @doc.acts(
        "issue_bill",
        types=BillTyped,
        shown=BillInFull,
        made=True,
        says="Work out, price and freeze the bill of a slab's latest design: from then on it is the budget.",
    )
    def post(self, request: Request, design_id: int) -> Response:
        del request
        act = BillAct(design_id=design_id, **self.typed(BillTyped))
        return self.do(bills.issue, act=act, read=self._read, as_=BillInFull, made=True)

    def _read(self, bill_id: int) -> Any:
        return rows.one(self.actor, bill_id=bill_id)


class Bill(Resource):
    @doc.reads("read_bill", shown=BillInFull, says="One bill with its lines, each with its whole derivation.")
    def get(self, request: Request, bill_id: int) -> Response:
        del request
        return self.show(rows.one(self.actor, bill_id=bill_id), as_=BillInFull)


class Difference(Resource):
    @doc.reads(
        "compare_bills",
        shown=LineDifferenceShown,
        many=True,
        asks=DifferenceAsked,
        says="The lines in which this bill differs from an earlier one.",
    )
    def get(self, request: Request, bill_id: int) -> Response:
        del request
        before_id = self.asked(DifferenceAsked)["before"]
        found = rows.difference(self.actor, before_id=before_id, after_id=bill_id)
        return self.show(found, as_=LineDifferenceShown, many=True)


class BillPdf(Resource):
    @doc.reads_file("read_bill_pdf", kind="pdf", says="One bill as PDF; amounts only for who may see money.")
    def get(self, request: Request, bill_id: int) -> HttpResponse:
        del request
        return _file(self.actor, bill_id=bill_id, kind="pdf")


class BillXlsx(Resource):
    @doc.reads_file("read_bill_xlsx", kind="xlsx", says="One bill as a workbook; no text runs as a formula.")
    def get(self, request: Request, bill_id: int) -> HttpResponse:
        del request
        return _file(self.actor, bill_id=bill_id, kind="xlsx")


class BillCsv(Resource):
    @doc.reads_file("read_bill_csv", kind="csv", says="The lines of one bill as CSV.")
    def get(self, request: Request, bill_id: int) -> HttpResponse:
        del request
        return _file(self.actor, bill_id=bill_id, kind="csv")


def _file(actor: Actor, *, bill_id: int, kind: str) -> HttpResponse:
    sheet = rows.one(actor, bill_id=bill_id)
    return doc.file(f"bill-{bill_id}.{kind}", content=document.file(actor, sheet=sheet, kind=kind))
