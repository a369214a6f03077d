"""Building sites."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Day, Shown, Typed
from api.pagination import PageAsked
from api.resource import Resource
from projects.queries import sites as rows
from projects.services import sites
from projects.services.sites import SiteAct


class SiteTyped(Typed):
    name = serializers.CharField(max_length=120)
    place = serializers.CharField(max_length=200, allow_blank=True, default="")
    opened_date = Day()


class SiteShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    place = serializers.CharField()
    opened_date = serializers.DateField()
    closed_date = serializers.DateField(allow_null=True)


class Sites(Resource):
    @doc.lists("list_sites", shown=SiteShown, says="The sites that you see, by name.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PageAsked)
        return self.page(pagination.sliced(asked, of=rows.all_sites(self.actor)), as_=SiteShown)

    @doc.acts("open_site", types=SiteTyped, shown=SiteShown, made=True, says="Open a site with its store.")
    def post(self, request: Request) -> Response:
        del request
        act = SiteAct(**self.typed(SiteTyped))
        return self.do(sites.open_site, act=act, read=self._read, as_=SiteShown, made=True)

    def _read(self, site_id: int) -> Any:
        return rows.one(self.actor, site_id=site_id)


class Site(Resource):
    @doc.reads("read_site", shown=SiteShown, says="One site.")
    def get(self, request: Request, site_id: int) -> Response:
        del request
        return self.show(rows.one(self.actor, site_id=site_id), as_=SiteShown)
