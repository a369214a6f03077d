"""Slabs: the pieces of work that have a budget."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Money, Named, Nothing, RowId, Shown, Typed
from api.pagination import PageAsked
from api.resource import Resource
from estimates.queries import slabs as rows
from projects.services import slabs
from projects.services.slabs import SlabAct, SlabClosingAct


class SlabTyped(Typed):
    site_id = RowId()
    name = serializers.CharField(max_length=120)


class PourOfSlab(Named):
    pour_date = serializers.DateField()
    state = serializers.CharField()


class DesignOfSlab(Shown):
    id = serializers.IntegerField()
    number = serializers.IntegerField(help_text="Counting within the slab.")


class BillOfSlab(DesignOfSlab):
    state = serializers.CharField()
    total = Money(source="total_minor")


class SlabShown(Shown):
    id = serializers.IntegerField(source="slab.id")
    name = serializers.CharField(source="slab.name")
    site = Named(source="slab.site")
    state = serializers.CharField(help_text="How far it is: new, in design, bill issued, pour planned, ...")
    design = DesignOfSlab(allow_null=True, help_text="The latest.")
    bill = BillOfSlab(allow_null=True, help_text="The budget now.")
    closed_at = serializers.DateTimeField(source="slab.closed_at", allow_null=True)


class SlabInFull(SlabShown):
    pours = PourOfSlab(many=True)
    designs = DesignOfSlab(many=True)
    bills = BillOfSlab(many=True)
    bill_is_behind = serializers.BooleanField(help_text="The budget is of an earlier design than the latest.")


class _Slab(Resource):
    def _read(self, slab_id: int) -> Any:
        return rows.one(self.actor, slab_id=slab_id)


class Slabs(_Slab):
    @doc.lists("list_slabs", shown=SlabShown, says="The slabs that you see, unfinished ones first.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PageAsked)
        found = pagination.positioned(
            asked, rows=lambda start, count: rows.listing(self.actor, start=start, count=count)
        )
        return self.page(found, as_=SlabShown)

    @doc.acts("add_slab", types=SlabTyped, shown=SlabInFull, made=True, says="Add a slab to a site.")
    def post(self, request: Request) -> Response:
        del request
        act = SlabAct(**self.typed(SlabTyped))
        return self.do(slabs.add, act=act, read=self._read, as_=SlabInFull, made=True)


class Slab(_Slab):
    @doc.reads("read_slab", shown=SlabInFull, says="One slab with its designs, bills and pours.")
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        return self.show(self._read(slab_id), as_=SlabInFull)


class Finish(_Slab):
    @doc.acts(
        "finish_slab",
        types=Nothing,
        shown=SlabInFull,
        says="Close a slab's account once every pour of it is closed.",
    )
    def post(self, request: Request, slab_id: int) -> Response:
        del request
        act = SlabClosingAct(slab_id=slab_id, **self.typed(Nothing))
        return self.do(slabs.finish, act=act, read=self._read, as_=SlabInFull)
