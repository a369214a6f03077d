"""Lots with their tests, and what a store takes."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Day, Figure, MaterialNamed, Named, Quantity, RowId, Shown, Typed
from api.resource import Resource
from inventory.queries import lot_tests, storage
from inventory.services import lot_tests as tests
from inventory.services import storage_limits
from inventory.services.lot_tests import TestAct
from inventory.services.storage_limits import LimitAct


class LotTestTyped(Typed):
    tested_date = Day()
    passed = serializers.BooleanField()
    tested_by = serializers.CharField(max_length=120, help_text="Laboratory or person.")
    result = serializers.CharField(max_length=200, help_text="What was tested, and the figures.")
    usable_until = Day(required=False, allow_null=True, help_text="Of one that passed.")


class LotTestShown(Shown):
    id = serializers.IntegerField()
    tested_date = serializers.DateField()
    passed = serializers.BooleanField()
    usable_until = serializers.DateField(allow_null=True)
    tested_by = serializers.CharField()
    result = serializers.CharField()
    recorded_at = serializers.DateTimeField()
    recorded_by = Named(allow_null=True)


class LotInFull(Shown):
    id = serializers.IntegerField()
    label = serializers.CharField()  # type: ignore[assignment]  # its name on the wire
    material = MaterialNamed()
    supplier = Named()
    made_date = serializers.DateField(allow_null=True)
    tested_until = serializers.DateField(allow_null=True)
    failed_date = serializers.DateField(allow_null=True)
    tests = LotTestShown(source="tests.all", many=True)


class LimitTyped(Typed):
    material_id = RowId()
    capacity = Figure(required=False, allow_null=True, help_text="In the unit shown for the material.")
    floor_m2 = Figure(required=False, allow_null=True, help_text="Of bags: dry floor with its aisles.")
    bags_high = serializers.IntegerField(min_value=1, max_value=50, required=False, allow_null=True)
    source = serializers.CharField(max_length=200, required=False, allow_blank=True)  # type: ignore[assignment]  # its name on the wire


class RoomShown(Shown):
    site = Named(source="limit.site")
    material = MaterialNamed()
    capacity = Quantity("limit.capacity")
    on_hand = Quantity("on_hand")
    coming = Quantity("coming")
    beyond = Quantity("beyond")
    basis = serializers.CharField(source="limit.source", help_text="Where the figure comes from.")


class RoomsShown(Shown):
    rows = RoomShown(many=True)


class Lot(Resource):
    @doc.reads("read_lot", shown=LotInFull, says="A lot with its tests, the latest first.")
    def get(self, request: Request, lot_id: int) -> Response:
        del request
        return self.show(lot_tests.lot(self.actor, lot_id=lot_id), as_=LotInFull)


class LotTests(Resource):
    @doc.acts(
        "record_lot_test",
        types=LotTestTyped,
        shown=LotInFull,
        made=True,
        says="Record a test of a lot: the latest one says whether it may be used, and until when.",
    )
    def post(self, request: Request, lot_id: int) -> Response:
        del request
        act = TestAct(lot_id=lot_id, **self.typed(LotTestTyped))

        def read(_test_id: int) -> Any:
            return lot_tests.lot(self.actor, lot_id=lot_id)

        return self.do(tests.record, act=act, read=read, as_=LotInFull, made=True)


class StorageOfSite(Resource):
    def _rows(self, site_id: int) -> dict[str, Any]:
        site = storage.site(self.actor, site_id=site_id)
        return {"rows": storage.rooms(self.actor, site_ids=[site.pk])}

    @doc.reads("list_storage", shown=RoomsShown, says="What a store takes, what lies there and is on order.")
    def get(self, request: Request, site_id: int) -> Response:
        del request
        return self.show(self._rows(site_id), as_=RoomsShown)

    @doc.acts(
        "set_storage_limit",
        types=LimitTyped,
        shown=RoomsShown,
        says="Set what a store takes of a material: a capacity, or floor and height of the stacks of bags.",
    )
    def post(self, request: Request, site_id: int) -> Response:
        del request
        act = LimitAct(site_id=site_id, **self.typed(LimitTyped))

        def read(_limit_id: int) -> Any:
            return self._rows(site_id)

        return self.do(storage_limits.set_limit, act=act, read=read, as_=RoomsShown)
