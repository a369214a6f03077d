"""Things on hire: what came, what is agreed, what went back or came to harm."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import (
    Day,
    MaterialNamed,
    Money,
    Named,
    PourNamed,
    Price,
    Reason,
    RowId,
    Shown,
    SlabNamed,
    Typed,
    Whole,
)
from api.pagination import PageAsked
from api.resource import Resource
from inventory.documents import hire_list
from inventory.queries import hires as rows
from inventory.services import hire as service
from inventory.services.hire import (
    HireAct,
    HireBackAct,
    HireDueAct,
    HireEndAct,
    HireEndBackAct,
    HireTermsAct,
)

BASES = ["piece_day", "day", "whole"]
DAY_COUNTS = ["both", "nights"]
ENDS = ["back", "damaged", "lost"]
MOST_LISTED = 10_000


class HireTyped(Typed):
    site_id = RowId()
    supplier_id = RowId()
    material_id = RowId(help_text="The kind: a material whose code begins with hire-.")
    what = serializers.CharField(max_length=120, help_text="Size, make, number on it.")
    pieces = serializers.IntegerField(min_value=1, max_value=service.MOST_PIECES)
    out_date = Day(help_text="Came to the site.")
    due_date = Day(help_text="Planned to go back.")
    pour_id = RowId(required=False, allow_null=True, help_text="The pour that it serves.")
    slab_id = RowId(required=False, allow_null=True, help_text="Or the slab as a whole.")
    note_number = serializers.CharField(max_length=60, required=False, allow_blank=True)


class HireTermsTyped(Typed):
    rate = Whole(help_text="Ten-thousandths of a minor unit for what the basis names.")
    basis = serializers.ChoiceField(choices=BASES, required=False)
    day_count = serializers.ChoiceField(
        choices=DAY_COUNTS, required=False, help_text="both: days out and back count; nights: 24-hour days."
    )
    minimum_days = serializers.IntegerField(min_value=1, max_value=service.LONGEST_MINIMUM, required=False)
    lost_price_minor = Whole(required=False, allow_null=True, help_text="Of one piece.")


class HireEndTyped(Typed):
    kind = serializers.ChoiceField(choices=ENDS)
    pieces = serializers.IntegerField(min_value=1, max_value=service.MOST_PIECES)
    day = Day()
    found = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="Of harm: what was found."
    )
    seen_by = serializers.CharField(max_length=120, required=False, allow_blank=True)
    charge_minor = Whole(required=False, allow_null=True, help_text="By the supplier, for these pieces.")


class HireDueTyped(Typed):
    due_date = Day()


class HiresAsked(PageAsked):
    state = serializers.ChoiceField(choices=list(rows.STATES), required=False, allow_blank=True, default="")
    site_id = RowId(required=False, allow_null=True, default=None)


class HireShown(Shown):
    id = serializers.IntegerField(source="hire.id")
    number = serializers.CharField(source="hire.number")
    site = Named(source="hire.site")
    supplier = Named(source="hire.supplier")
    material = MaterialNamed(source="hire.material")
    what = serializers.CharField(source="hire.what")
    slab = SlabNamed(source="hire.slab", allow_null=True)
    pour = PourNamed(source="hire.pour", allow_null=True)
    pieces = serializers.IntegerField(source="hire.pieces")
    out_date = serializers.DateField(source="hire.out_date")
    due_date = serializers.DateField(source="hire.due_date")
    still_out = serializers.IntegerField(source="standing.still_out")
    back = serializers.IntegerField(help_text="Brought back, damaged ones among them.")
    damaged = serializers.IntegerField()
    lost = serializers.IntegerField()
    late_days = serializers.IntegerField(source="standing.late_days")
    piece_days = serializers.IntegerField(source="standing.piece_days", help_text="Charged so far.")
    rate = Price(source="hire.rate")
    basis = serializers.ChoiceField(source="hire.basis", choices=BASES)
    day_count = serializers.ChoiceField(source="hire.day_count", choices=DAY_COUNTS)
    minimum_days = serializers.IntegerField(source="hire.minimum_days")
    charges = Money(source="charges_minor", help_text="For harm and loss, as far as it is known.")
    cost = Money(source="cost_minor", help_text="So far; null without a price.")
    cost_at_end = Money(source="cost_at_end_minor", help_text="If the rest goes back as planned.")
    reversed_at = serializers.DateTimeField(source="hire.reversed_at", allow_null=True)


class HireEndShown(Shown):
    id = serializers.IntegerField(source="row.id")
    kind = serializers.ChoiceField(source="row.kind", choices=ENDS)
    pieces = serializers.IntegerField(source="row.pieces")
    day = serializers.DateField(source="row.day")
    found = serializers.CharField(source="row.found")
    seen_by = serializers.CharField(source="row.seen_by")
    charge = Money(source="charge_minor")
    reversed_at = serializers.DateTimeField(source="row.reversed_at", allow_null=True)
    reverse_reason = serializers.CharField(source="row.reverse_reason")


class HireInFull(HireShown):
    lost_price = Money(source="hire.lost_price_minor", help_text="Of one piece that is lost.")
    ends = HireEndShown(many=True)


class _Hire(Resource):
    def _read(self, hire_id: int) -> Any:
        return rows.one(self.actor, hire_id=hire_id, today=self.today)


class Hires(_Hire):
    @doc.lists("list_hires", shown=HireShown, asks=HiresAsked, says="Things on hire at one's sites.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(HiresAsked)

        def rows_at(start: int, count: int) -> Any:
            wanted = rows.Wanted(site_id=asked["site_id"], state=asked["state"], start=start, count=count)
            return rows.listing(self.actor, wanted=wanted, today=self.today)

        return self.page(pagination.positioned(asked, rows=rows_at), as_=HireShown)

    @doc.acts(
        "take_on_hire", types=HireTyped, shown=HireInFull, made=True, says="Record things that came on hire."
    )
    def post(self, request: Request) -> Response:
        del request
        act = HireAct(**self.typed(HireTyped))
        return self.do(service.take_on, act=act, read=self._read, as_=HireInFull, made=True)


class HiresCsv(Resource):
    @doc.reads_file("read_hires_csv", kind="csv", says="The register of hire as CSV.")
    def get(self, request: Request) -> HttpResponse:
        del request
        wanted = rows.Wanted(count=MOST_LISTED)
        return doc.file(hire_list.NAME, content=hire_list.csv(self.actor, wanted=wanted, today=self.today))


class Hire(_Hire):
    @doc.reads("read_hire", shown=HireInFull, says="One hire with what went back, is damaged or lost.")
    def get(self, request: Request, hire_id: int) -> Response:
        del request
        return self.show(self._read(hire_id), as_=HireInFull)


class HireTerms(_Hire):
    @doc.acts("agree_hire", types=HireTermsTyped, shown=HireInFull, says="Set the price of a hire.")
    def post(self, request: Request, hire_id: int) -> Response:
        del request
        act = HireTermsAct(hire_id=hire_id, **self.typed(HireTermsTyped))
        return self.do(service.agree, act=act, read=self._read, as_=HireInFull)


class HireEnds(_Hire):
    @doc.acts(
        "end_hire",
        types=HireEndTyped,
        shown=HireInFull,
        says="Record pieces that went back, are damaged or lost.",
    )
    def post(self, request: Request, hire_id: int) -> Response:
        del request
        act = HireEndAct(hire_id=hire_id, **self.typed(HireEndTyped))
        return self.do(service.end, act=act, read=self._read, as_=HireInFull)


class HireDue(_Hire):
    @doc.acts("put_hire_off", types=HireDueTyped, shown=HireInFull, says="Plan another day of return.")
    def post(self, request: Request, hire_id: int) -> Response:
        del request
        act = HireDueAct(hire_id=hire_id, **self.typed(HireDueTyped))
        return self.do(service.put_off, act=act, read=self._read, as_=HireInFull)


class HireTakeBack(_Hire):
    @doc.acts("take_back_hire", types=Reason, shown=HireInFull, says="Take back a wrongly written hire.")
    def post(self, request: Request, hire_id: int) -> Response:
        del request
        act = HireBackAct(hire_id=hire_id, **self.typed(Reason))
        return self.do(service.take_back, act=act, read=self._read, as_=HireInFull)


class HireEndTakeBack(_Hire):
    @doc.acts("take_back_hire_end", types=Reason, shown=HireInFull, says="Take back a wrong return or loss.")
    def post(self, request: Request, end_id: int) -> Response:
        del request
        act = HireEndBackAct(end_id=end_id, **self.typed(Reason))
        return self.do(service.take_back_end, act=act, read=self._read, as_=HireInFull)
