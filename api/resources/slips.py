"""Slips of the stores: issues, returns, waste and opening stock."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import (
    Day,
    Figure,
    MaterialNamed,
    Moment,
    Money,
    Named,
    PourNamed,
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
from api.resources.movements import MovementShown, PlaceShown
from inventory.queries import slips as rows
from inventory.services import opening, usage
from inventory.services.loads import LONGEST_BAR_MM
from inventory.services.opening import OpeningAct, OpeningLineAct
from inventory.services.usage import (
    MOST_LINES,
    IssueAct,
    OtherWorkAct,
    ReturnAct,
    ReverseAct,
    SlipLineAct,
    WasteAct,
)

_UNIT = "kg, quintal, t, m, m3, L, m2 or no; as shown if empty."
SURE = "Says that a time more than a month ago is right."


KINDS = ["issue", "return", "waste", "opening", "other"]


class SlipLineTyped(Typed):
    material_id = RowId()
    amount = Figure(help_text="In packs when a pack is named, else in the unit.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True, help_text=_UNIT)
    lot_id = RowId(required=False, allow_null=True, help_text="The oldest go first when left out.")


class PourSlipTyped(Typed):
    pour_id = RowId()
    happened_at = Moment()
    lines = listed(SlipLineTyped, most=MOST_LINES)
    given_to = serializers.CharField(max_length=120, required=False, allow_blank=True)
    reason = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="A word on the slip."
    )
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class WasteTyped(Typed):
    site_id = RowId()
    pour_id = RowId(required=False, allow_null=True, help_text="From the pour's slab, else from the store.")
    reason = serializers.CharField(max_length=200)
    happened_at = Moment()
    lines = listed(SlipLineTyped, most=MOST_LINES)
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class OtherWorkTyped(Typed):
    site_id = RowId()
    works = serializers.CharField(max_length=200, help_text="Which works: plaster, ground floor.")
    happened_at = Moment()
    lines = listed(SlipLineTyped, most=MOST_LINES)
    given_to = serializers.CharField(max_length=120, required=False, allow_blank=True)
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class OpeningLineTyped(Typed):
    material_id = RowId()
    amount = Figure()
    value_minor = Whole(help_text="Minor units of the firm's currency.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True, help_text=_UNIT)
    supplier_id = RowId(required=False, allow_null=True)
    lot_label = serializers.CharField(max_length=60, required=False, allow_blank=True)
    made_date = Day(required=False, allow_null=True)
    bar_length_mm = serializers.IntegerField(
        min_value=1,
        max_value=LONGEST_BAR_MM,
        required=False,
        allow_null=True,
        help_text="Bars: the amount is then their number.",
    )
    offcut = serializers.BooleanField(required=False, help_text="The bars are rests of longer ones.")


class OpeningTyped(Typed):
    site_id = RowId()
    pour_id = RowId(required=False, allow_null=True, help_text="What this pour had used; else in the store.")
    happened_at = Moment()
    lines = listed(OpeningLineTyped, most=MOST_LINES)


class SlipsAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)
    pour_id = RowId(required=False, allow_null=True, default=None)


class SlipLineBrief(Shown):
    material = MaterialNamed()
    quantity = Quantity("quantity")


class SlipShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    kind = serializers.ChoiceField(choices=KINDS)
    site = Named()
    pour = PourNamed(allow_null=True)
    given_to = serializers.CharField()
    reason = serializers.CharField()
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()
    recorded_by = Named(allow_null=True)
    reversed_at = serializers.DateTimeField(allow_null=True)


class SlipBrief(SlipShown):
    lines = SlipLineBrief(many=True)


class SlipLineShown(SlipLineBrief):
    lot_id = serializers.IntegerField(allow_null=True)
    source = PlaceShown()  # type: ignore[assignment]  # its name on the wire
    target = PlaceShown()
    value = Money(source="value_minor")


class SlipInFull(Shown):
    slip = SlipShown()
    value = Money(source="value_minor")
    lines = SlipLineShown(many=True)
    movements = MovementShown(many=True)


class _Slip(Resource):
    def _read(self, slip_id: int) -> Any:
        return rows.slip(self.actor, slip_id=slip_id)

    def _lines(self, typed: dict[str, Any]) -> tuple[SlipLineAct, ...]:
        return tuple(SlipLineAct(**line) for line in typed.pop("lines"))


class Slips(_Slip):
    @doc.lists("list_slips", shown=SlipBrief, asks=SlipsAsked, says="The slips of the stores, newest first.")
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.slips(self.actor, **self.asked(SlipsAsked)), as_=SlipBrief)


class Slip(_Slip):
    @doc.reads("read_slip", shown=SlipInFull, says="One slip with its lines and movements.")
    def get(self, request: Request, slip_id: int) -> Response:
        del request
        return self.show(self._read(slip_id), as_=SlipInFull)


class Issues(_Slip):
    @doc.acts(
        "issue_material",
        types=PourSlipTyped,
        shown=SlipInFull,
        made=True,
        says="Issue material to a pour at the store's average, oldest lots first.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(PourSlipTyped)
        act = IssueAct(lines=self._lines(typed), **typed)
        return self.do(usage.issue, act=act, read=self._read, as_=SlipInFull, made=True)


class Returns(_Slip):
    @doc.acts(
        "return_material",
        types=PourSlipTyped,
        shown=SlipInFull,
        made=True,
        says="Bring material back from a pour to the store.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(PourSlipTyped)
        act = ReturnAct(lines=self._lines(typed), **typed)
        return self.do(usage.bring_back, act=act, read=self._read, as_=SlipInFull, made=True)


class Waste(_Slip):
    @doc.acts(
        "record_waste", types=WasteTyped, shown=SlipInFull, made=True, says="Record a loss with its cause."
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(WasteTyped)
        act = WasteAct(lines=self._lines(typed), **typed)
        return self.do(usage.waste, act=act, read=self._read, as_=SlipInFull, made=True)


class OtherWorks(_Slip):
    @doc.acts(
        "issue_to_other_works",
        types=OtherWorkTyped,
        shown=SlipInFull,
        made=True,
        says="Issue material to works of the site that are no slab; it is cost of the site.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(OtherWorkTyped)
        act = OtherWorkAct(lines=self._lines(typed), **typed)
        return self.do(usage.issue_elsewhere, act=act, read=self._read, as_=SlipInFull, made=True)


class Opening(_Slip):
    @doc.acts(
        "record_opening",
        types=OpeningTyped,
        shown=SlipInFull,
        made=True,
        says="Take opening stock into a store at the value given, or what a pour had used into its slab.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(OpeningTyped)
        lines = tuple(OpeningLineAct(**line) for line in typed.pop("lines"))
        act = OpeningAct(lines=lines, **typed)
        return self.do(opening.record, act=act, read=self._read, as_=SlipInFull, made=True)


class Reverse(_Slip):
    @doc.acts(
        "reverse_slip", types=Reason, shown=SlipInFull, says="Take a slip back as a whole, at its value."
    )
    def post(self, request: Request, slip_id: int) -> Response:
        del request
        act = ReverseAct(slip_id=slip_id, **self.typed(Reason))
        return self.do(usage.reverse, act=act, read=self._read, as_=SlipInFull)
