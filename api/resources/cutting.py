"""Cutting plans: asked for, reserved, ticked bar by bar at the bench, and the steel of a store."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Moment, Named, Nothing, Quantity, Reason, RowId, Shown, SlabNamed, Typed
from api.fields import listed as listed_of
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.slips import SURE, SlipInFull
from inventory.documents import cutting_list as paper
from inventory.queries import slips
from inventory.queries.cutting import offcuts, plans
from inventory.services.cutting import asking, bench, issuing, reserving
from inventory.services.cutting.asking import MOST_LENGTHS, MOST_MARKS, AskAct
from inventory.services.cutting.bench import CutAct, UndoAct
from inventory.services.cutting.issuing import MOST_MARKS as MOST_ISSUED
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.cutting.reserving import PlanAct
from inventory.services.cutting.settings import BOUNDS, SettingsAct
from inventory.services.loads import LONGEST_BAR_MM

STATES = ["asked", "solving", "proposed", "reserved", "done", "cancelled", "failed"]
MOST_NAMED = 100
MOST_BARS = 1_000_000


def _figure(name: str) -> serializers.IntegerField:
    least, most = BOUNDS[name]
    return serializers.IntegerField(min_value=least, max_value=most, required=False, allow_null=True)


def _ids(help_text: str) -> serializers.ListField:
    return serializers.ListField(child=RowId(), required=False, max_length=MOST_NAMED, help_text=help_text)


class SettingsTyped(Typed):
    blade_mm = _figure("blade_mm")
    shortest_offcut_mm = _figure("shortest_offcut_mm")
    most_patterns = _figure("most_patterns")
    seconds = _figure("seconds")
    offered_after_days = _figure("offered_after_days")


class AskTyped(Typed):
    site_id = RowId(help_text="Where the bench stands.")
    slab_ids = _ids("Slabs to cut for.")
    pour_ids = _ids("Pours to cut for; a part of a slab needs its marks.")
    site_ids = _ids("Sites whose slabs still to be poured are cut for.")
    marks = serializers.ListField(
        child=serializers.CharField(max_length=80),
        required=False,
        max_length=MOST_MARKS,
        help_text="Only these marks; empty: all.",
    )
    buy_lengths_mm = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=LONGEST_BAR_MM),
        required=False,
        allow_null=True,
        max_length=MOST_LENGTHS,
        help_text="Lengths that can be bought; null: as the materials are sold; empty: nothing is bought.",
    )
    settings = SettingsTyped(required=False)


class CutTyped(Typed):
    bars = serializers.IntegerField(min_value=1, max_value=MOST_BARS)
    done_before = serializers.IntegerField(
        min_value=0, max_value=MOST_BARS, help_text="Bars of the pattern that were cut when you looked."
    )
    happened_at = Moment(required=False, allow_null=True)
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class PieceTyped(Typed):
    need_id = RowId()
    count = serializers.IntegerField(min_value=1, max_value=MOST_BARS)


class IssuePiecesTyped(Typed):
    pieces = listed_of(PieceTyped, most=MOST_ISSUED)
    given_to = serializers.CharField(max_length=120, required=False, allow_blank=True)
    happened_at = Moment(required=False, allow_null=True)
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class PlansAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)


class CuttingPlanShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    site = Named(help_text="Where the bench stands.")
    state = serializers.ChoiceField(choices=STATES)
    progress = serializers.JSONField(help_text="Of the search: step, best plan so far, bound.")
    error = serializers.CharField()
    fingerprint = serializers.CharField(help_text="Equal inputs have equal ones.")
    asked_at = serializers.DateTimeField()
    solved_at = serializers.DateTimeField(allow_null=True)
    reserved_at = serializers.DateTimeField(allow_null=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    end_reason = serializers.CharField()


class PatternPieceShown(Shown):
    need_id = serializers.IntegerField()
    mark = serializers.CharField(source="need.mark")
    length_mm = serializers.IntegerField(source="need.length_mm")
    per_bar = serializers.IntegerField()


class PatternShown(Shown):
    id = serializers.IntegerField(source="row.id")
    position = serializers.IntegerField(source="row.position")
    origin = serializers.ChoiceField(choices=["bar", "offcut", "buy"], source="row.origin")
    bar_length_mm = serializers.IntegerField(source="row.bar_length_mm")
    bars = serializers.IntegerField(source="row.bars")
    done = serializers.IntegerField(source="row.done")
    left = serializers.IntegerField()
    rest_mm = serializers.IntegerField(source="row.rest_mm")
    rest_kept = serializers.BooleanField(source="row.rest_kept")
    blade_mm = serializers.IntegerField(source="row.blade_mm", help_text="Lost in all cuts of one bar.")
    lots = serializers.ListField(child=serializers.CharField(), help_text="Labels of what is reserved.")
    pieces = PatternPieceShown(many=True)


class SizeShown(Shown):
    material = MaterialNamed()
    new_bars = serializers.IntegerField(source="result.new_bars")
    new_mm = serializers.IntegerField(source="result.new_mm")
    offcuts_used = serializers.IntegerField(source="result.offcuts_used")
    pieces_mm = serializers.IntegerField(source="result.pieces_mm")
    kept_mm = serializers.IntegerField(source="result.kept_mm")
    scrap_mm = serializers.IntegerField(source="result.scrap_mm")
    blade_mm = serializers.IntegerField(source="result.blade_mm")
    figures = serializers.JSONField(
        source="result.figures",
        help_text="Cost, bound and gap; how it was found; purchase advice in g and mm.",
    )
    patterns = PatternShown(many=True)


class CutNeedShown(Shown):
    id = serializers.IntegerField(source="need.id")
    slab = SlabNamed(source="need.slab")
    mark = serializers.CharField(source="need.mark")
    material = MaterialNamed(source="need.material")
    length_mm = serializers.IntegerField(source="need.length_mm")
    count = serializers.IntegerField(source="need.count")
    cut = serializers.IntegerField()
    issued = serializers.IntegerField()
    at_bench = serializers.IntegerField(help_text="Cut and not yet fixed.")


class PlanInFull(Shown):
    plan = CuttingPlanShown()
    sizes = SizeShown(many=True)
    pieces = CutNeedShown(many=True)


class OffcutShown(Shown):
    id = serializers.IntegerField()
    label = serializers.CharField()  # type: ignore[assignment]  # its name on the wire
    bar_length_mm = serializers.IntegerField()


class CutShown(Shown):
    id = serializers.IntegerField()
    plan_id = serializers.IntegerField(source="pattern.plan_id")
    pattern_id = serializers.IntegerField()
    bars = serializers.IntegerField()
    scrap_mm = serializers.IntegerField()
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()
    reversed_at = serializers.DateTimeField(allow_null=True)
    offcuts = OffcutShown(many=True, source="offcuts.all")


class SteelShown(Shown):
    lot_id = serializers.IntegerField(source="lot.id")
    label = serializers.CharField(source="lot.label")  # type: ignore[assignment]  # its name on the wire
    material = MaterialNamed(source="lot.material")
    offcut = serializers.BooleanField()
    bar_length_mm = serializers.IntegerField(source="lot.bar_length_mm", help_text="0: not known by bars.")
    bars = serializers.IntegerField()
    free = serializers.IntegerField(help_text="Bars that no plan has reserved.")
    quantity = Quantity("quantity", material="lot.material")
    mass_g = serializers.IntegerField()
    measured_mg_per_mm = serializers.IntegerField(source="lot.measured_mg_per_mm", allow_null=True)
    deviation_ppm = serializers.IntegerField(allow_null=True, help_text="Weighed against nominal g/m.")
    words = serializers.CharField(help_text="What there is to say of the mass; empty within tolerance.")
    age_days = serializers.IntegerField(allow_null=True, help_text="Of an offcut.")


class _Plan(Resource):
    def _read(self, plan_id: int) -> Any:
        return plans.one(self.actor, plan_id=plan_id)

    def _read_cut(self, cut_id: int) -> Any:
        return plans.cut(self.actor, cut_id=cut_id)


class Plans(_Plan):
    @doc.lists(
        "list_cutting_plans", shown=CuttingPlanShown, asks=PlansAsked, says="Cutting plans, newest first."
    )
    def get(self, request: Request) -> Response:
        del request
        return self.page(plans.listing(self.actor, **self.asked(PlansAsked)), as_=CuttingPlanShown)

    @doc.acts(
        "ask_cutting_plan",
        types=AskTyped,
        shown=PlanInFull,
        made=True,
        says="Ask for a plan from issued bills and the stock at hand; a job works it out.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(AskTyped)
        settings = SettingsAct(**typed.pop("settings", {}))
        listed: dict[str, Any] = {
            name: value if value is None else tuple(value)
            for name, value in typed.items()
            if name != "site_id"
        }
        act = AskAct(site_id=typed["site_id"], settings=settings, **listed)
        return self.do(asking.ask, act=act, read=self._read, as_=PlanInFull, made=True)


class Plan(_Plan):
    @doc.reads("read_cutting_plan", shown=PlanInFull, says="One plan with its patterns and pieces.")
    def get(self, request: Request, plan_id: int) -> Response:
        del request
        return self.show(self._read(plan_id), as_=PlanInFull)


class ListPdf(Resource):
    @doc.reads_file("read_cutting_list_pdf", kind="pdf", says="A plan's cutting list for the bench as PDF.")
    def get(self, request: Request, plan_id: int) -> HttpResponse:
        del request
        found = plans.one(self.actor, plan_id=plan_id)
        content = paper.pdf(self.actor, sheet=found, at=timezone.now())
        return doc.file(f"{found.plan.number}.pdf", content=content)


class Reserve(_Plan):
    @doc.acts(
        "reserve_cutting_plan",
        types=Nothing,
        shown=PlanInFull,
        says="Check the plan once more and reserve its bars and offcuts, all or none.",
    )
    def post(self, request: Request, plan_id: int) -> Response:
        del request
        act = PlanAct(plan_id=plan_id, **self.typed(Nothing))
        return self.do(reserving.reserve, act=act, read=self._read, as_=PlanInFull)


class End(_Plan):
    @doc.acts(
        "end_cutting_plan", types=Reason, shown=PlanInFull, says="Stop the search, or give the plan up."
    )
    def post(self, request: Request, plan_id: int) -> Response:
        del request
        act = PlanAct(plan_id=plan_id, **self.typed(Reason))
        return self.do(reserving.end, act=act, read=self._read, as_=PlanInFull)


class Cut(_Plan):
    @doc.acts(
        "tick_pattern",
        types=CutTyped,
        shown=CutShown,
        made=True,
        says="Bars of a pattern are cut: bar to bench, offcuts back to store, the rest to waste.",
    )
    def post(self, request: Request, pattern_id: int) -> Response:
        del request
        act = CutAct(pattern_id=pattern_id, **self.typed(CutTyped))
        return self.do(bench.cut, act=act, read=self._read_cut, as_=CutShown, made=True)


class Undo(_Plan):
    @doc.acts("untick_pattern", types=Reason, shown=CutShown, says="Take a tick back as a whole.")
    def post(self, request: Request, cut_id: int) -> Response:
        del request
        act = UndoAct(cut_id=cut_id, **self.typed(Reason))
        return self.do(bench.undo, act=act, read=self._read_cut, as_=CutShown)


class IssuePieces(Resource):
    @doc.acts(
        "issue_cut_pieces",
        types=IssuePiecesTyped,
        shown=SlipInFull,
        made=True,
        says="Issue cut pieces from the bench to the slab of a pour.",
    )
    def post(self, request: Request, pour_id: int) -> Response:
        del request
        typed = self.typed(IssuePiecesTyped)
        pieces = tuple(PieceAct(**one) for one in typed.pop("pieces"))
        act = IssuePiecesAct(pour_id=pour_id, pieces=pieces, **typed)
        return self.do(issuing.issue, act=act, read=self._read, as_=SlipInFull, made=True)

    def _read(self, slip_id: int) -> Any:
        return slips.slip(self.actor, slip_id=slip_id)


class SteelOfSite(Resource):
    @doc.reads(
        "read_steel",
        shown=SteelShown,
        many=True,
        says="Bars and offcuts of a store by lot, with mass per metre against its tolerance.",
    )
    def get(self, request: Request, site_id: int) -> Response:
        del request
        found = offcuts.steel_of(self.actor, site_id=site_id, today=self.today)
        return self.show(found, as_=SteelShown, many=True)
