"""Pours: planned, moved, placed and closed."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Day, Figure, Moment, RowId, Shown, SlabNamed, Typed, listed
from api.pagination import PageAsked
from api.resource import Resource
from inventory.services import counts
from inventory.services.counts import CloseAct, CountLineAct
from projects.queries import pours as rows
from projects.services import pours
from projects.services.pours import MoveAct, PourAct, PouredAct

STATES = ["planned", "poured", "closed"]


class PourTyped(Typed):
    name = serializers.CharField(max_length=60)
    pour_date = Day()
    share_ppm = serializers.IntegerField(
        min_value=1,
        max_value=1_000_000,
        required=False,
        help_text="Part of the slab's volume, in millionths.",
    )


class MoveTyped(Typed):
    pour_date = Day()


class PouredTyped(Typed):
    poured_at = Moment()


class HeapTyped(Typed):
    material_id = RowId()
    found = Figure(help_text="In packs when a pack is named, else in the unit.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True)
    explanation = serializers.CharField(max_length=200, required=False, allow_blank=True)


class CloseTyped(Typed):
    happened_at = Moment(help_text="When the heaps were measured.")
    heaps = listed(HeapTyped, most=100, required=False)
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)
    steel_reason = serializers.CharField(
        max_length=200,
        required=False,
        allow_blank=True,
        help_text="Why steel beyond the bill that is neither back nor waste stays.",
    )


class PoursAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)


class PourShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    slab = SlabNamed()
    pour_date = serializers.DateField()
    state = serializers.ChoiceField(choices=STATES)
    share_ppm = serializers.IntegerField()
    poured_at = serializers.DateTimeField(allow_null=True)
    closed_at = serializers.DateTimeField(allow_null=True)


class _Pour(Resource):
    def _read(self, pour_id: int) -> Any:
        return rows.one(self.actor, pour_id=pour_id)


class Pours(Resource):
    @doc.lists(
        "list_pours", shown=PourShown, asks=PoursAsked, says="The pours that are not closed, soonest first."
    )
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PoursAsked)
        found = rows.open_ones(self.actor, site_id=asked["site_id"])
        return self.page(pagination.sliced(asked, of=found), as_=PourShown)


class PoursOfSlab(_Pour):
    @doc.lists("list_pours_of_slab", shown=PourShown, says="A slab's pours by date, closed ones too.")
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        slab = rows.slab(self.actor, slab_id=slab_id)
        found = rows.of_slab(self.actor, slab_id=slab.pk).select_related("slab__site")
        return self.page(pagination.sliced(asked, of=found), as_=PourShown)

    @doc.acts("plan_pour", types=PourTyped, shown=PourShown, made=True, says="Plan a pour of a slab.")
    def post(self, request: Request, slab_id: int) -> Response:
        del request
        act = PourAct(slab_id=slab_id, **self.typed(PourTyped))
        return self.do(pours.plan, act=act, read=self._read, as_=PourShown, made=True)


class Pour(_Pour):
    @doc.reads("read_pour", shown=PourShown, says="One pour.")
    def get(self, request: Request, pour_id: int) -> Response:
        del request
        return self.show(self._read(pour_id), as_=PourShown)


class Move(_Pour):
    @doc.acts(
        "move_pour", types=MoveTyped, shown=PourShown, says="Move a planned pour; its needs move with it."
    )
    def post(self, request: Request, pour_id: int) -> Response:
        del request
        act = MoveAct(pour_id=pour_id, **self.typed(MoveTyped))
        return self.do(pours.move, act=act, read=self._read, as_=PourShown)


class Poured(_Pour):
    @doc.acts("mark_poured", types=PouredTyped, shown=PourShown, says="Record that a pour was placed.")
    def post(self, request: Request, pour_id: int) -> Response:
        del request
        act = PouredAct(pour_id=pour_id, **self.typed(PouredTyped))
        return self.do(pours.mark_poured, act=act, read=self._read, as_=PourShown)


class Close(_Pour):
    @doc.acts(
        "close_pour",
        types=CloseTyped,
        shown=PourShown,
        says="Close a placed pour with its heaps as measured: what they have lost is posted as its use.",
    )
    def post(self, request: Request, pour_id: int) -> Response:
        del request
        typed = self.typed(CloseTyped)
        heaps = tuple(CountLineAct(**line) for line in typed.pop("heaps", ()))
        act = CloseAct(pour_id=pour_id, heaps=heaps, **typed)
        return self.do(counts.close_pour, act=act, read=self._read, as_=PourShown)
