"""The reorder plan: what it suggests, and what people decide."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import (
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
from api.resource import Resource
from api.resources.orders import OrderInFull, read_order
from api.resources.transfers import TransferInFull
from inventory.queries import on_road, outlooks, plan_market
from inventory.queries import plan as rows
from inventory.services import plan_moves, plan_terms, planning, suggestions
from inventory.services.orders import MOST_PACKS
from inventory.services.plan_moves import SendAct
from inventory.services.plan_terms import TermsAct
from inventory.services.planning import PlanAct
from inventory.services.suggestions import ApproveAct, Choice, PostponeAct, RejectAct
from projects.access.permissions import Permission

TERMS_OF_MONEY = ("trucks", "break", "least_order")
GRADES = ["first", "improved"]
KINDS = ["buy", "move"]
STATES = ["open", "ordered", "rejected", "replaced"]


class ChoiceTyped(Typed):
    suggestion_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS, required=False, allow_null=True)
    supplier_id = RowId(required=False, allow_null=True)


class ApproveTyped(Typed):
    choices = listed(ChoiceTyped, most=200, help_text="Of one site and supplier: they become one order.")


class PostponeTyped(Reason):
    until = serializers.DateField(help_text="Shown again on this day: after today, and not after the need.")


class SendTyped(Typed):
    suggestion_ids = serializers.ListField(
        child=RowId(), min_length=1, max_length=200, help_text="Moves from one site to another."
    )
    vehicle = serializers.CharField(max_length=30, required=False, allow_blank=True)


class TermsTyped(Typed):
    stop_cost_minor = Whole(required=False, help_text="A day on which a pour stands.")
    keep_permille = Whole(required=False, help_text="Of its price, goods kept for a year.")
    rest_permille = Whole(required=False, help_text="Of its price, lost on what is left over.")
    week_budget_minor = Whole(required=False, allow_null=True, help_text="Most to order in a week.")
    freight_minor = Whole(
        required=False, allow_null=True, help_text="A trip between two sites; null: no moves are suggested."
    )
    van_kg = Whole(required=False, allow_null=True, min_value=1, help_text="Load of such a trip.")


class TermsShown(Shown):
    stop_cost = Money(source="stop_cost_minor")
    keep_permille = serializers.IntegerField()
    rest_permille = serializers.IntegerField()
    week_budget = Money(source="week_budget_minor")
    freight = Money(source="freight_minor")
    van_kg = serializers.IntegerField(allow_null=True)


class RunShown(Shown):
    id = serializers.IntegerField()
    for_date = serializers.DateField()
    finished_at = serializers.DateTimeField()
    items = serializers.IntegerField(help_text="Site and material pairs looked at.")
    suggested = serializers.IntegerField()
    grade = serializers.ChoiceField(choices=GRADES)
    cost = Money(source="cost_minor", help_text="Of all it suggests, lateness and rests included.")
    bound = Money(source="bound_minor", help_text="No plan of the improved window costs less.")
    gap_ppm = serializers.IntegerField(allow_null=True, help_text="Of the window's cost to its bound.")
    took_ms = serializers.IntegerField()


class SuggestionShown(Shown):
    id = serializers.IntegerField()
    kind = serializers.ChoiceField(choices=KINDS)
    site = Named()
    material = MaterialNamed()
    pour = PourNamed()
    supplier = Named(allow_null=True)
    agreement = Numbered(allow_null=True, help_text="The rate agreement that it is called off from.")
    from_site = Named(allow_null=True, help_text="Of a move: the site that it leaves.")
    pack = Named()
    packs = serializers.IntegerField()
    quantity = Quantity("quantity")
    pack_price = Price()
    amount = Money(source="amount_minor")
    need_date = serializers.DateField()
    order_by_date = serializers.DateField()
    late_days = serializers.IntegerField(help_text="Days by which ordering today is too late.")
    short_ppm = serializers.IntegerField(
        allow_null=True, help_text="Probability that the pour runs short of it if the plan is followed."
    )
    idle_short_ppm = serializers.IntegerField(
        allow_null=True, help_text="The same if nothing more is ordered; null: no delivery was ever seen."
    )
    idle = Money(source="idle_minor", help_text="What doing nothing would cost on average.")
    state = serializers.ChoiceField(choices=STATES)
    decision_reason = serializers.CharField()
    postponed_until = serializers.DateField(allow_null=True)
    order = Numbered(allow_null=True)


class SuggestionInFull(SuggestionShown):
    reason = serializers.SerializerMethodField(help_text="The numbers behind it, day by day.")

    def get_reason(self, suggestion: Any) -> dict[str, Any]:
        """Return the numbers behind it; prices only to who may see money."""
        found: dict[str, Any] = dict(suggestion.reason)
        if self.context["actor"].can(Permission.SEE_MONEY):
            return found
        for name in ("offers", "remedies"):
            found[name] = [
                {key: value for key, value in one.items() if key not in {"pack_price", "cost_minor"}}
                for one in found.get(name, ())
            ]
        told = {key: value for key, value in found.get("terms", {}).items() if key not in TERMS_OF_MONEY}
        return {key: value for key, value in found.items() if not key.endswith("_minor")} | {"terms": told}


class LateLineShown(Shown):
    order = Numbered(source="line.order")
    material = MaterialNamed(source="line.material")
    pour = PourNamed(source="line.pour")
    expected_date = serializers.DateField(source="line.order.expected_date")
    need_date = serializers.DateField()
    days = serializers.IntegerField()


class PartBehind(Shown):
    supplier = serializers.CharField()
    seen = serializers.IntegerField(help_text="Its own deliveries.")
    pooled = serializers.IntegerField(help_text="The firm's deliveries, which stand in for what is not seen.")
    known = serializers.BooleanField(help_text="Whether its own are enough: five or more.")


class OutlookPart(Shown):
    material = serializers.CharField()
    short_ppm = serializers.IntegerField(allow_null=True)
    idle_short_ppm = serializers.IntegerField(allow_null=True)
    behind = PartBehind(many=True)
    remedies = serializers.SerializerMethodField(help_text="Who can still bring it, by when, for how much.")

    def get_remedies(self, part: Any) -> list[dict[str, Any]]:
        """Return who can still bring it; the cost only to who may see money."""
        money = self.context["actor"].can(Permission.SEE_MONEY)
        return [
            {key: value for key, value in one.items() if money or key != "cost_minor"}
            for one in part["remedies"]
        ]


class OutlookShown(Shown):
    pour = PourNamed()
    pour_date = serializers.DateField(source="pour.pour_date")
    for_date = serializers.DateField(
        source="outlook.run.for_date", allow_null=True, help_text="Day of the plan; null: no needs known."
    )
    short_ppm = serializers.IntegerField(
        source="outlook.short_ppm",
        allow_null=True,
        help_text="Probability of running short of any material, these taken as independent.",
    )
    least_ppm = serializers.IntegerField(
        source="outlook.least_ppm", allow_null=True, help_text="No less, however materials hang together."
    )
    most_ppm = serializers.IntegerField(
        source="outlook.most_ppm", allow_null=True, help_text="No more, however materials hang together."
    )
    idle_short_ppm = serializers.IntegerField(
        source="outlook.idle_short_ppm", allow_null=True, help_text="The same if nothing more is ordered."
    )
    worst = MaterialNamed(source="outlook.worst", allow_null=True, help_text="Decides it.")


class OutlookInFull(OutlookShown):
    parts = serializers.SerializerMethodField(help_text="Materials that may run short, the worst first.")

    @extend_schema_field(OutlookPart(many=True))
    def get_parts(self, look: Any) -> Any:
        """Return the materials that may run short."""
        parts = look.outlook.parts if look.outlook else []
        return OutlookPart(parts, many=True, context=self.context).data


class JobState(Shown):
    state = serializers.CharField(help_text="idle, waiting, running, retrying or failed.")
    run = RunShown(allow_null=True, help_text="The plan that stands.")
    attempts = serializers.IntegerField()
    since = serializers.DateTimeField(allow_null=True)


class PlanShown(Shown):
    moves = SuggestionShown(many=True)
    rows = serializers.SerializerMethodField(
        help_text="Open suggestions, the earliest day to order by first."
    )
    more = serializers.BooleanField(help_text="There are more than shown; decide on these first.")
    postponed = SuggestionShown(many=True)
    decided = SuggestionShown(many=True)
    late = LateLineShown(many=True)
    pours = OutlookShown(many=True, help_text="How the next pours look.")
    without_pack = MaterialNamed(many=True)
    job = JobState()

    @extend_schema_field(SuggestionShown(many=True))
    def get_rows(self, plan: Any) -> Any:
        """Return the suggestions without the offers beside them."""
        found = [row.suggestion for row in plan.rows]
        return SuggestionShown(found, many=True, context=self.context).data


class Plan(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads(
        "read_plan", shown=PlanShown, says="What the plan suggests, what was decided, and what comes late."
    )
    def get(self, request: Request) -> Response:
        del request
        return self.show(rows.current(self.actor, today=self.today), as_=PlanShown)


class PourOutlook(Resource):
    @doc.reads(
        "read_outlook", shown=OutlookInFull, says="How likely a pour runs short, and what still helps."
    )
    def get(self, request: Request, pour_id: int) -> Response:
        del request
        return self.show(outlooks.one(self.actor, pour_id), as_=OutlookInFull)


class Runs(Resource):
    @doc.acts(
        "make_plan",
        types=Nothing,
        shown=RunShown,
        made=True,
        says="Make the firm's plan now; it is also made every night and after each change of its inputs.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = PlanAct(**self.typed(Nothing))
        return self.do(planning.make_plan, act=act, as_=RunShown, made=True)


class Suggestion(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads("read_suggestion", shown=SuggestionInFull, says="One suggestion with its reason in numbers.")
    def get(self, request: Request, suggestion_id: int) -> Response:
        del request
        return self.show(rows.one(self.actor, suggestion_id), as_=SuggestionInFull)


class Approve(Resource):
    @doc.acts(
        "approve_suggestions",
        types=ApproveTyped,
        shown=OrderInFull,
        made=True,
        says="Order what suggestions of one site and supplier say; above the limit it waits for the owner.",
    )
    def post(self, request: Request) -> Response:
        del request
        choices = tuple(Choice(**choice) for choice in self.typed(ApproveTyped)["choices"])
        act = ApproveAct(choices=choices)
        return self.do(suggestions.approve, act=act, read=self._order, as_=OrderInFull, made=True)

    def _order(self, order_id: int) -> Any:
        return read_order(self.actor, order_id)


class Moves(Resource):
    @doc.acts(
        "send_moves",
        types=SendTyped,
        shown=TransferInFull,
        made=True,
        says="Send suggested moves between the same two sites as one transfer.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = SendAct(**self.typed(SendTyped))
        return self.do(plan_moves.send, act=act, read=self._transfer, as_=TransferInFull, made=True)

    def _transfer(self, transfer_id: int) -> Any:
        return on_road.one(self.actor, transfer_id=transfer_id)


class Terms(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.reads("read_plan_terms", shown=TermsShown, says="What the plan weighs: costs, limits, trips.")
    def get(self, request: Request) -> Response:
        del request
        return self.show(plan_market.terms(self.actor), as_=TermsShown)

    @doc.acts("set_plan_terms", types=TermsTyped, shown=TermsShown, says="Set what the plan weighs.")
    def post(self, request: Request) -> Response:
        del request
        return self.do(plan_terms.set_terms, act=TermsAct(**self.typed(TermsTyped)), as_=TermsShown)


class Reject(Resource):
    @doc.acts(
        "reject_suggestion", types=Reason, shown=SuggestionInFull, says="Turn a suggestion down, and say why."
    )
    def post(self, request: Request, suggestion_id: int) -> Response:
        del request
        act = RejectAct(suggestion_id=suggestion_id, **self.typed(Reason))
        return self.do(suggestions.reject, act=act, read=self._read, as_=SuggestionInFull)

    def _read(self, suggestion_id: int) -> Any:
        return rows.one(self.actor, suggestion_id)


class Postpone(Resource):
    @doc.acts(
        "postpone_suggestion",
        types=PostponeTyped,
        shown=SuggestionInFull,
        says="Put a suggestion off to a later day, and say why; it stays open.",
    )
    def post(self, request: Request, suggestion_id: int) -> Response:
        del request
        act = PostponeAct(suggestion_id=suggestion_id, **self.typed(PostponeTyped))
        return self.do(suggestions.postpone, act=act, read=self._read, as_=SuggestionInFull)

    def _read(self, suggestion_id: int) -> Any:
        return rows.one(self.actor, suggestion_id)
