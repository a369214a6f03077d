"""Roads between sites: what a trip and a tonne cost there."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Money, Named, RowId, Shown, Typed, Whole
from api.pagination import PageAsked
from api.resource import Resource
from inventory.queries import site_roads as rows
from inventory.services import site_roads
from inventory.services.site_roads import RoadAct
from projects.access.permissions import Permission


class RoadTyped(Typed):
    from_site_id = RowId()
    to_site_id = RowId()
    trip_minor = Whole(required=False, allow_null=True, help_text="Of each trip; null: as any other trip.")
    tonne_minor = Whole(required=False, help_text="Of each tonne, beside the trip.")


class RoadShown(Shown):
    id = serializers.IntegerField()
    from_site = Named()
    to_site = Named()
    trip = Money(source="trip_minor")
    tonne = Money(source="tonne_minor")


class Roads(Resource):
    reading_needs = Permission.SEE_MONEY

    @doc.lists("list_roads", shown=RoadShown, says="Roads whose trips cost more or less than any other.")
    def get(self, request: Request) -> Response:
        del request
        found = pagination.sliced(self.asked(PageAsked), of=rows.listing(self.actor))
        return self.page(found, as_=RoadShown)

    @doc.acts(
        "set_road",
        types=RoadTyped,
        shown=RoadShown,
        made=True,
        says="Say what it costs to move goods between two sites, both ways unless the way back has its own.",
    )
    def post(self, request: Request) -> Response:
        del request
        act = RoadAct(**self.typed(RoadTyped))
        return self.do(site_roads.set_road, act=act, as_=RoadShown, made=True)
