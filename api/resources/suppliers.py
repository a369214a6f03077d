"""Suppliers and what they offer."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import (
    Day,
    MaterialNamed,
    Money,
    Named,
    Price,
    Quantity,
    RowId,
    Shown,
    Typed,
    Whole,
    listed,
)
from api.pagination import PageAsked
from api.resource import Resource
from inventory.queries import suppliers as rows
from inventory.services import supplier_terms, suppliers
from inventory.services.supplier_terms import MOST_TRUCK_KG, SupplierTermsAct
from inventory.services.suppliers import (
    MOST_BREAKS,
    MOST_DAYS,
    MOST_PACKS,
    BreakAct,
    OfferAct,
    SupplierAct,
    SupplierChange,
)
from projects.access.permissions import Permission


def _weekdays(**more: Any) -> serializers.ListField:
    return serializers.ListField(
        child=serializers.IntegerField(min_value=0, max_value=6), max_length=7, **more
    )


class SupplierTyped(Typed):
    name = serializers.CharField(max_length=120)
    phone = serializers.CharField(max_length=40, required=False, allow_blank=True)
    email = serializers.CharField(max_length=254, required=False, allow_blank=True)
    credit_days = serializers.IntegerField(
        min_value=0, max_value=MOST_DAYS, required=False, help_text="From a bill to its payment."
    )
    is_client = serializers.BooleanField(
        required=False, help_text="The client, whose own material comes in at nil value."
    )


class SupplierChangeTyped(SupplierTyped):
    ended_date = Day(required=False, allow_null=True, help_text="From then on nothing is bought there.")


class SupplierTermsTyped(Typed):
    trip_minor = Whole(required=False, help_text="A truck to a site, beside the prices.")
    truck_kg = serializers.IntegerField(
        min_value=1, max_value=MOST_TRUCK_KG, required=False, allow_null=True, help_text="Null: any load."
    )
    least_order_minor = Whole(required=False, help_text="Goods for which it takes an order.")
    order_days = _weekdays(required=False, help_text="Weekdays, 0 for Monday; none: every working day.")
    delivery_days = _weekdays(required=False, help_text="Weekdays, 0 for Monday; none: every working day.")


class OfferBreakTyped(Typed):
    from_packs = serializers.IntegerField(min_value=2, max_value=MOST_PACKS)
    pack_price = Whole(help_text="Ten-thousandths of a minor unit for one pack on site.")


class OfferTyped(Typed):
    material_id = RowId()
    pack_id = RowId()
    from_date = Day()
    pack_price = Whole(help_text="Ten-thousandths of a minor unit for one pack on site.")
    lead_days = serializers.IntegerField(min_value=0, max_value=MOST_DAYS, help_text="Working days.")
    minimum_packs = serializers.IntegerField(min_value=1, max_value=MOST_PACKS, required=False)
    valid_until = Day(required=False, allow_null=True, help_text="The plan does not buy by it afterwards.")
    breaks = listed(OfferBreakTyped, most=MOST_BREAKS, required=False)
    incremental = serializers.BooleanField(
        required=False, help_text="A break's price is for the packs beyond it, not for all."
    )
    truck_packs = serializers.IntegerField(
        min_value=1,
        max_value=MOST_PACKS,
        required=False,
        allow_null=True,
        help_text="Packs that fill a truck, where its room and not its mass does.",
    )


class SupplierShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    phone = serializers.CharField()
    email = serializers.CharField()
    credit_days = serializers.IntegerField()
    ended_date = serializers.DateField(allow_null=True)
    is_client = serializers.BooleanField()
    truck_kg = serializers.IntegerField(allow_null=True)
    order_days = serializers.ListField(child=serializers.IntegerField())
    delivery_days = serializers.ListField(child=serializers.IntegerField())
    trip = Money(source="trip_minor", help_text="A truck to a site.")
    least_order = Money(source="least_order_minor")


class OfferBreakShown(Shown):
    from_packs = serializers.IntegerField()
    pack_price = Price()


class OfferShown(Shown):
    id = serializers.IntegerField()
    supplier_id = serializers.IntegerField()
    material = MaterialNamed()
    pack = Named()
    pack_content = Quantity("pack.content")
    from_date = serializers.DateField()
    pack_price = Price(help_text="For one pack on site.")
    minimum_packs = serializers.IntegerField()
    lead_days = serializers.IntegerField()
    valid_until = serializers.DateField(allow_null=True)
    breaks = OfferBreakShown(many=True, source="breaks.all")
    incremental = serializers.BooleanField()
    truck_packs = serializers.IntegerField(allow_null=True)


class OfferOfSupplierShown(Shown):
    offer = OfferShown()
    holds = serializers.BooleanField(help_text="This is the price of today.")
    over = serializers.BooleanField(help_text="It was the price of today, and its validity is over.")


class _Supplier(Resource):
    def _read(self, supplier_id: int) -> Any:
        return rows.one(self.actor, supplier_id)


class Suppliers(_Supplier):
    @doc.lists("list_suppliers", shown=SupplierShown, says="Who the firm buys from, by name.")
    def get(self, request: Request) -> Response:
        del request
        found = pagination.positioned(
            self.asked(PageAsked),
            rows=lambda start, count: rows.listing(self.actor, start=start, count=count),
        )
        return self.page(found, as_=SupplierShown)

    @doc.acts("add_supplier", types=SupplierTyped, shown=SupplierShown, made=True, says="Add a supplier.")
    def post(self, request: Request) -> Response:
        del request
        act = SupplierAct(**self.typed(SupplierTyped))
        return self.do(suppliers.add, act=act, read=self._read, as_=SupplierShown, made=True)


class Supplier(_Supplier):
    @doc.reads("read_supplier", shown=SupplierShown, says="One supplier.")
    def get(self, request: Request, supplier_id: int) -> Response:
        del request
        return self.show(self._read(supplier_id), as_=SupplierShown)

    @doc.acts(
        "change_supplier",
        types=SupplierChangeTyped,
        shown=SupplierShown,
        says="State a supplier's details as they shall be; what is left out is emptied.",
    )
    def put(self, request: Request, supplier_id: int) -> Response:
        del request
        act = SupplierChange(supplier_id=supplier_id, **self.typed(SupplierChangeTyped))
        return self.do(suppliers.change, act=act, read=self._read, as_=SupplierShown)


class Terms(_Supplier):
    @doc.acts(
        "set_supplier_terms",
        types=SupplierTermsTyped,
        shown=SupplierShown,
        says="State on which terms a supplier delivers; what is left out is emptied.",
    )
    def put(self, request: Request, supplier_id: int) -> Response:
        del request
        typed = self.typed(SupplierTermsTyped)
        for name in ("order_days", "delivery_days"):
            typed[name] = tuple(typed.get(name, ()))
        act = SupplierTermsAct(supplier_id=supplier_id, **typed)
        return self.do(supplier_terms.set_terms, act=act, read=self._read, as_=SupplierShown)


class Offers(_Supplier):
    reading_needs = Permission.SEE_MONEY

    @doc.lists(
        "list_offers", shown=OfferOfSupplierShown, says="What a supplier offers, by material, newest first."
    )
    def get(self, request: Request, supplier_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        found = rows.offers(self.actor, self._read(supplier_id), on=self.today)
        return self.page(pagination.sliced(asked, of=found), as_=OfferOfSupplierShown)

    @doc.acts(
        "set_offer",
        types=OfferTyped,
        shown=OfferShown,
        made=True,
        says="Set what a supplier asks for a pack from a date on; the same date again corrects it.",
    )
    def post(self, request: Request, supplier_id: int) -> Response:
        del request
        typed = self.typed(OfferTyped)
        breaks = tuple(BreakAct(**one) for one in typed.pop("breaks", ()))
        act = OfferAct(supplier_id=supplier_id, breaks=breaks, **typed)
        return self.do(suppliers.set_offer, act=act, as_=OfferShown, made=True)
