"""Design sheets of slabs, and what they come to before a bill is issued."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Asked, Day, MaterialNamed, Money, Named, Shown, SlabNamed
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.drawings import DrawingOfDesign
from api.resources.lines import LineShown
from estimates.calc.reading import reader as sheets
from estimates.documents import bars
from estimates.queries import bending, findings, lines, slabs, standards, takeoffs
from estimates.queries import designs as rows
from estimates.services import designs
from estimates.services.designs import DesignAct


class FindingShown(Shown):
    code = serializers.CharField()
    severity = serializers.CharField(help_text="stop, warn or note.")
    subject = serializers.CharField()
    text = serializers.CharField()
    value = serializers.FloatField(allow_null=True)
    limit = serializers.FloatField(allow_null=True)
    unit = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire


class DesignShown(Shown):
    id = serializers.IntegerField()
    number = serializers.IntegerField(help_text="Counting within the slab.")
    created_at = serializers.DateTimeField()
    created_by = Named(allow_null=True)


class DesignInFull(DesignShown):
    slab = SlabNamed()
    drawing = DrawingOfDesign()
    sheet = serializers.DictField(
        help_text="The sheet as saved; `/static/estimates/design-sheet.schema.json`."
    )
    findings = serializers.SerializerMethodField()

    @extend_schema_field(FindingShown(many=True))
    def get_findings(self, design: Any) -> Any:
        sheet = rows.sheet_of(design)
        profile = standards.of_firm(self.context["actor"], profile_id=sheet.profile)
        return FindingShown(findings.of_sheet(sheet, profile=profile), many=True).data


class TakeOffAsked(Asked):
    as_of = Day(
        required=False, allow_null=True, default=None, help_text="Day of the rates; today when left out."
    )


class TakeOffShown(Shown):
    design_id = serializers.IntegerField(source="design.id")
    profile = serializers.CharField(source="takeoff.profile")
    edition = serializers.CharField(source="takeoff.edition")
    as_of = serializers.DateField()
    slab_area_m2 = serializers.FloatField(source="takeoff.slab_area_m2")
    concrete_m3 = serializers.FloatField(source="takeoff.concrete_m3")
    complete = serializers.BooleanField(help_text="Every bought line has its material and its rate.")
    no_material = serializers.ListField(child=serializers.CharField())
    no_rate = MaterialNamed(many=True)
    total = Money(source="total_minor")
    lines = serializers.SerializerMethodField()

    @extend_schema_field(LineShown(many=True))
    def get_lines(self, priced: Any) -> Any:
        found = [lines.from_priced(row) for row in priced.lines]
        return LineShown(found, many=True, context=self.context).data


class _Design(Resource):
    def _read(self, design_id: int) -> Any:
        return rows.one(self.actor, design_id=design_id)


class DesignsOfSlab(_Design):
    @doc.lists("list_designs", shown=DesignShown, says="A slab's designs, the latest first.")
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        found = slabs.one(self.actor, slab_id=slab_id).designs
        return self.page(pagination.sliced(asked, of=found), as_=DesignShown)

    @doc.acts(
        "save_design",
        types={"application/json": OpenApiTypes.OBJECT},
        shown=DesignInFull,
        made=True,
        says=(
            "Save a design sheet as the slab's next design. The body is the sheet itself, as its schema says "
            "(`read_design_sheet_schema`). A sheet with faults is refused with every one of them and nothing "
            "is saved; the sheet of the latest design gives that design again."
        ),
    )
    def post(self, request: Request, slab_id: int) -> Response:
        sheet: Any = request.data  # whatever it is: the service lists its faults
        act = DesignAct(slab_id=slab_id, sheet=sheet)
        return self.do(designs.save, act=act, read=self._read, as_=DesignInFull, made=True)


class Design(_Design):
    @doc.reads("read_design", shown=DesignInFull, says="One design with its sheet, drawing and findings.")
    def get(self, request: Request, design_id: int) -> Response:
        del request
        return self.show(self._read(design_id), as_=DesignInFull)


class TakeOff(Resource):
    @doc.reads(
        "preview_takeoff",
        shown=TakeOffShown,
        asks=TakeOffAsked,
        says="What a design comes to at the rates of a day, each line with its derivation; writes nothing.",
    )
    def get(self, request: Request, design_id: int) -> Response:
        del request
        as_of = self.asked(TakeOffAsked)["as_of"] or self.today
        return self.show(takeoffs.priced(self.actor, design_id=design_id, as_of=as_of), as_=TakeOffShown)


class SheetSchema(Resource):
    @doc.reads_object(
        "read_design_sheet_schema", says="The JSON Schema of a design sheet, generated from its dataclasses."
    )
    def get(self, request: Request) -> Response:
        del request
        return Response(sheets.schema())


class _Bars(Resource):
    kind = "pdf"

    def _file(self, design_id: int) -> HttpResponse:
        sheet = bending.of_design(self.actor, design_id=design_id)
        content = bars.file(self.actor, sheet=sheet, kind=self.kind, at=timezone.now())
        return doc.file(f"bars-{design_id}.{self.kind}", content=content)


class BarsPdf(_Bars):
    @doc.reads_file("read_bars_pdf", kind="pdf", says="A design's bar bending schedule as PDF.")
    def get(self, request: Request, design_id: int) -> HttpResponse:
        del request
        return self._file(design_id)


class BarsXlsx(_Bars):
    kind = "xlsx"

    @doc.reads_file("read_bars_xlsx", kind="xlsx", says="A design's bar bending schedule as a workbook.")
    def get(self, request: Request, design_id: int) -> HttpResponse:
        del request
        return self._file(design_id)


class BarsCsv(_Bars):
    kind = "csv"

    @doc.reads_file("read_bars_csv", kind="csv", says="A design's bar bending schedule as CSV.")
    def get(self, request: Request, design_id: int) -> HttpResponse:
        del request
        return self._file(design_id)
