"""What the plan would be with another day, a slower supplier or another price. Nothing is changed."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Money, Named, PourNamed, Quantity, RowId, Shown
from api.resource import Asked, Resource
from inventory.services import what_if
from inventory.services.what_if import Change
from projects.access.permissions import Permission


def _number(*, least: int, most: int, says: str) -> serializers.IntegerField:
    return serializers.IntegerField(
        min_value=least, max_value=most, required=False, allow_null=True, default=None, help_text=says
    )


class ChangeAsked(Asked):
    pour_id = RowId(required=False, allow_null=True, default=None)
    pour_date = serializers.DateField(required=False, allow_null=True, default=None)
    supplier_id = RowId(required=False, allow_null=True, default=None)
    lead_days = _number(least=0, most=120, says="Working days that the supplier is to take.")
    material_id = RowId(required=False, allow_null=True, default=None)
    price_percent = _number(least=1, most=1_000, says="Of today's price; 200 doubles it.")


class PlannedShown(Shown):
    supplier = Named(allow_null=True)
    from_site = Named(allow_null=True)
    pack = Named()
    packs = serializers.IntegerField()
    quantity = Quantity("quantity")
    amount = Money(source="amount_minor")
    need_date = serializers.DateField()
    order_by_date = serializers.DateField()
    late_days = serializers.IntegerField()


class PairShown(Shown):
    site = Named(source="row.site")
    material = MaterialNamed(source="row.material")
    pour = PourNamed(source="row.pour")
    now = PlannedShown(allow_null=True)
    then = PlannedShown(allow_null=True)


class BesideShown(Shown):
    pairs = PairShown(many=True, help_text="Suggestions that would differ.")
    same = serializers.IntegerField(help_text="Suggestions that would not.")
    now = Money(source="now_minor", help_text="Still to be ordered by today's plan.")
    then = Money(source="then_minor", help_text="Still to be ordered then.")
    sites = serializers.ListField(
        child=serializers.IntegerField(),
        allow_null=True,
        help_text="Null: the whole firm was planned; else the sites that the change touches.",
    )


class WhatIf(Resource):
    reading_needs = Permission.PLAN_ORDERS

    @doc.reads(
        "read_what_if",
        asks=ChangeAsked,
        shown=BesideShown,
        says="The plan beside today's: a pour moved, a supplier slower, a price changed. Nothing is kept.",
    )
    def get(self, request: Request) -> Response:
        del request
        change = Change(**self.asked(ChangeAsked))
        found: Any = what_if.compare(actor=self.actor, change=change, now=timezone.now())
        return self.show(found, as_=BesideShown)
