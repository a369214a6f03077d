"""What lies in the stores and at the slabs."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Money, Named, Quantity, Shown
from api.resource import Resource
from inventory.queries import stock as rows


class StoreShown(Shown):
    site = Named()
    materials = serializers.IntegerField(help_text="How many materials lie there.")
    counted_at = serializers.DateTimeField(allow_null=True)


class LotShown(Shown):
    lot_id = serializers.IntegerField()
    label = serializers.CharField()  # type: ignore[assignment]  # its name on the wire
    supplier = serializers.CharField()
    units = serializers.IntegerField(source="quantity", help_text="Stock units.")
    made_date = serializers.DateField(allow_null=True)
    age_days = serializers.IntegerField(allow_null=True)
    usable_until = serializers.DateField(allow_null=True)
    blocked = serializers.BooleanField(help_text="Over age: waits for a test.")


class HandRowShown(Shown):
    material = MaterialNamed()
    quantity = Quantity("quantity")
    usable = Quantity("usable")
    blocked = Quantity("blocked")
    value = Money(source="value_minor")
    lots = LotShown(many=True)


class HandShown(Shown):
    site = Named()
    place_id = serializers.IntegerField(
        source="place.id", default=None, allow_null=True, help_text="Null while nothing was ever there."
    )
    value = Money(source="value_minor")
    rows = HandRowShown(many=True)


class Stores(Resource):
    @doc.reads("list_stores", shown=StoreShown, many=True, says="The stores of the open sites that you see.")
    def get(self, request: Request) -> Response:
        del request
        return self.show(rows.stores(self.actor), as_=StoreShown, many=True)


class StockOfSite(Resource):
    @doc.reads("read_store", shown=HandShown, says="What lies in a site's store, with lots and ages.")
    def get(self, request: Request, site_id: int) -> Response:
        del request
        return self.show(rows.on_hand(self.actor, site_id=site_id, today=self.today), as_=HandShown)


class StockOfSlab(Resource):
    @doc.reads(
        "read_slab_stock", shown=HandShown, says="What was issued to a slab and is still there or cast."
    )
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        return self.show(rows.at_slab(self.actor, slab_id=slab_id, today=self.today), as_=HandShown)
