"""Days before which a slab's forms and props stay, by the code's table; the engineer decides."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Shown
from api.resource import Resource
from estimates.queries import stripping as rows


class PartShown(Shown):
    title = serializers.CharField()
    holds_for = serializers.CharField(help_text="Cement, warmth or load that the table's days are for.")
    days = serializers.FloatField(help_text="At least, after the day of placing.")
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire
    dates = serializers.ListField(
        child=serializers.DateField(allow_null=True),
        help_text="For each pour, in their order, the day before which it stays; null: engineer to state.",
    )


class PlacedShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    pour_date = serializers.DateField()


class AcceptanceShown(Shown):
    title = serializers.CharField()
    value = serializers.FloatField()
    unit = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]  # its name on the wire


class StrippingShown(Shown):
    cement_fits = serializers.BooleanField(help_text="Whether the table speaks of the slab's cement.")
    pours = PlacedShown(many=True)
    rows = PartShown(many=True)
    overhangs = serializers.ListField(
        child=serializers.CharField(), help_text="No table speaks of them: the engineer states their day."
    )
    acceptance = AcceptanceShown(many=True, help_text="What strength results are held against.")


class Stripping(Resource):
    @doc.reads(
        "slab_stripping",
        shown=StrippingShown,
        says="Days before which forms and props stay, by the code's table. It gives no leave to strip.",
    )
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        return self.show(rows.of_slab(self.actor, slab_id=slab_id), as_=StrippingShown)
