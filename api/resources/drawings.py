"""Drawings as received; a design brings its drawing along."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Named, RowId, Shown
from api.pagination import PageAsked
from api.resource import Resource
from projects.queries import drawings as rows


class DrawingsAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)


class DrawingOfDesign(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    revision = serializers.CharField()
    dated = serializers.DateField()
    engineer = serializers.CharField()
    title = serializers.CharField()
    received_at = serializers.DateTimeField()


class DrawingShown(DrawingOfDesign):
    site = Named()


class Drawings(Resource):
    @doc.lists(
        "list_drawings",
        shown=DrawingShown,
        asks=DrawingsAsked,
        says="The drawings with every revision, by number. A design brings its own drawing along.",
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(DrawingsAsked)
        found = rows.listing(self.actor, site_id=asked["site_id"])
        return self.page(pagination.sliced(asked, of=found), as_=DrawingShown)


class Drawing(Resource):
    @doc.reads("read_drawing", shown=DrawingShown, says="One revision of a drawing.")
    def get(self, request: Request, drawing_id: int) -> Response:
        del request
        return self.show(rows.one(self.actor, drawing_id=drawing_id), as_=DrawingShown)
