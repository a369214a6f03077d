"""What a bill that took the place of another one touches: orders, deliveries, use, cut bars."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Quantity, Shown, SlabNamed
from api.resource import Resource
from inventory.calc.cut_fit import Reason
from inventory.queries import revision as rows
from inventory.queries.cutting.misfits import Row as CutRow


class OpenLineShown(Shown):
    order_id = serializers.IntegerField(source="row.order_id")
    number = serializers.CharField(source="row.order.number")
    expected_date = serializers.DateField(source="row.order.expected_date")
    left = Quantity("left", material="row.material", help_text="Still to come of this line.")


class TouchedRowShown(Shown):
    material = MaterialNamed()
    before = Quantity("before", help_text="What the earlier bill allowed.")
    after = Quantity("after", help_text="What this bill allows.")
    received = Quantity("received", help_text="Found good, for this slab.")
    used = Quantity("used", help_text="Issued less returned.")
    open_order = Quantity("open_order", help_text="Ordered for this slab and still to come.")
    open_lines = OpenLineShown(many=True)
    cut_back = Quantity("touched.cut_back", help_text="To take off open orders, in whole packs.")
    here_too_much = Quantity("touched.here_too_much", help_text="Received beyond what this bill allows.")
    to_buy = Quantity("touched.to_buy", help_text="Neither received nor on order for this slab.")


class CutMarkShown(Shown):
    mark = serializers.CharField()
    member = serializers.CharField()
    material = MaterialNamed()
    shape = serializers.CharField()
    length_mm = serializers.IntegerField(help_text="Cutting length.")
    reason = serializers.ChoiceField(
        source="misfit.reason",
        choices=[reason.value for reason in Reason],
        help_text="gone: no such mark now; bars: another size, grade or shape; length: another cutting "
        "length; number: fewer are asked for.",
    )
    cut = serializers.IntegerField(help_text="Pieces cut in all.")
    issued = serializers.IntegerField(help_text="Of them carried to the slab.")
    at_bench = serializers.IntegerField(help_text="Of them at the bench.")
    do_not_fit = serializers.IntegerField(source="misfit.cut", help_text="Of the pieces cut.")
    not_to_cut = serializers.IntegerField(
        source="misfit.to_cut", help_text="Of the pieces that a reserved plan is still to cut."
    )
    plans = serializers.SerializerMethodField(help_text="Numbers of the cutting plans.")

    def get_plans(self, row: CutRow) -> list[str]:
        return [plan.number for plan in row.plans]


class TouchesShown(Shown):
    bill_id = serializers.IntegerField(source="bill.id")
    before_id = serializers.IntegerField(source="before.id", default=None, allow_null=True)
    slab = SlabNamed(source="bill.design.slab")
    rows = TouchedRowShown(many=True)
    cut = CutMarkShown(
        many=True, help_text="Pieces cut, or to be cut, that the bar schedule has no place for."
    )


class Touches(Resource):
    @doc.reads(
        "bill_touches",
        shown=TouchesShown,
        says="Orders, deliveries, use and cut bars of a slab that a new bill no longer fits.",
    )
    def get(self, request: Request, bill_id: int) -> Response:
        del request
        return self.show(rows.of_bill(self.actor, bill_id), as_=TouchesShown)
