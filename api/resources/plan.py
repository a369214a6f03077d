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
    listed,
)
from api.resource import Resource
from api.resources.orders import OrderInFull, read_order
from inventory.queries import plan as rows
from inventory.services import planning, suggestions
from inventory.services.orders import MOST_PACKS
from inventory.services.planning import PlanAct
from inventory.services.suggestions import ApproveAct, Choice, PostponeAct, RejectAct
from projects.access.permissions import Permission

STATES = ["open", "ordered", "rejected", "replaced"]


class ChoiceTyped(Typed):
    suggestion_id = RowId()
    packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS, required=False, allow_null=True)
    supplier_id = RowId(required=False, allow_null=True)


class ApproveTyped(Typed):
    choices = listed(ChoiceTyped, most=200, help_text="Of one site and supplier: they become one order.")


class PostponeTyped(Reason):
    until = serializers.DateField(help_text="Shown again on this day: after today, and not after the need.")


class RunShown(Shown):
    id = serializers.IntegerField()
    for_date = serializers.DateField()
    finished_at = serializers.DateTimeField()
    items = serializers.IntegerField(help_text="Site and material pairs looked at.")
    suggested = serializers.IntegerField()


class SuggestionShown(Shown):
    id = serializers.IntegerField()
    site = Named()
    material = MaterialNamed()
    pour = PourNamed()
    supplier = Named(allow_null=True)
    pack = Named()
    packs = serializers.IntegerField()
    quantity = Quantity("quantity")
    pack_price = Price()
    amount = Money(source="amount_minor")
    need_date = serializers.DateField()
    order_by_date = serializers.DateField()
    late_days = serializers.IntegerField(help_text="Days by which ordering today is too late.")
    state = serializers.ChoiceField(choices=STATES)
    decision_reason = serializers.CharField()
    postponed_until = serializers.DateField(allow_null=True)
    order = Numbered(allow_null=True)


class SuggestionInFull(SuggestionShown):
    reason = serializers.SerializerMethodField(help_text="The numbers behind it, day by day.")

    def get_reason(self, suggestion: Any) -> dict[str, Any]:
        """Return the numbers behind it; the offers' prices only to who may see money."""
        found: dict[str, Any] = dict(suggestion.reason)
        if not self.context["actor"].can(Permission.SEE_MONEY):
            offers = found.get("offers", ())
            found["offers"] = [{k: v for k, v in one.items() if k != "pack_price"} for one in offers]
        return found


class LateLineShown(Shown):
    order = Numbered(source="line.order")
    material = MaterialNamed(source="line.material")
    pour = PourNamed(source="line.pour")
    expected_date = serializers.DateField(source="line.order.expected_date")
    need_date = serializers.DateField()
    days = serializers.IntegerField()


class JobState(Shown):
    state = serializers.CharField(help_text="idle, waiting, running, retrying or failed.")
    run = RunShown(allow_null=True, help_text="The plan that stands.")
    attempts = serializers.IntegerField()
    since = serializers.DateTimeField(allow_null=True)


class PlanShown(Shown):
    rows = serializers.SerializerMethodField(
        help_text="Open suggestions, the earliest day to order by first."
    )
    more = serializers.BooleanField(help_text="There are more than shown; decide on these first.")
    postponed = SuggestionShown(many=True)
    decided = SuggestionShown(many=True)
    late = LateLineShown(many=True)
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
