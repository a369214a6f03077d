"""Movements of the ledger: a site's latest, and the ledger of a material at a place."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import MaterialNamed, Moment, Money, Named, PourNamed, Quantity, RowId, Shown
from api.pagination import PageAsked
from api.resource import Resource
from inventory.queries import movements as rows
from inventory.queries.movements import Question


class LedgerAsked(PageAsked):
    material_id = RowId()
    lot_id = RowId(required=False, allow_null=True, default=None, help_text="One lot of it, without values.")
    since = Moment(required=False, allow_null=True, default=None, help_text="Recorded from then on.")
    until = Moment(required=False, allow_null=True, default=None, help_text="Recorded before then.")


class PlaceShown(Shown):
    id = serializers.IntegerField()
    kind = serializers.CharField(help_text="supplier, opening, store, slab, waste, count, ...")
    site = Named(allow_null=True)
    slab = Named(allow_null=True)


class MovementShown(Shown):
    id = serializers.IntegerField()
    material = MaterialNamed()
    source = PlaceShown()  # type: ignore[assignment]  # its name on the wire
    target = PlaceShown()
    quantity = Quantity("quantity")
    value = Money(source="value_minor")
    reason = serializers.CharField()
    lot_id = serializers.IntegerField(allow_null=True)
    pour = PourNamed(allow_null=True)
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()
    recorded_by = Named(allow_null=True)
    reverses_id = serializers.IntegerField(allow_null=True)


class EntryShown(Shown):
    recorded_at = serializers.DateTimeField()
    movement = MovementShown(allow_null=True, help_text="Null for a change of value alone.")
    incoming = serializers.IntegerField(help_text="Stock units.")
    outgoing = serializers.IntegerField(help_text="Stock units.")
    value = Money(source="value_minor")
    balance = serializers.IntegerField(source="balance.quantity", help_text="Stock units after it.")
    balance_value = Money(source="balance.value_minor")


class LedgerShown(Shown):
    place = PlaceShown()
    material = MaterialNamed()
    opening = Quantity("opening.quantity")
    opening_value = Money(source="opening.value_minor")
    closing = Quantity("closing.quantity")
    closing_value = Money(source="closing.value_minor")
    entries = EntryShown(many=True)
    after = serializers.CharField(help_text="Asks for the next page; empty at the end.")


class MovementsOfSite(Resource):
    @doc.lists("list_movements", shown=MovementShown, says="A site's latest movements, newest first.")
    def get(self, request: Request, site_id: int) -> Response:
        del request
        asked: dict[str, Any] = self.asked(PageAsked)
        return self.page(rows.latest(self.actor, site_id=site_id, **asked), as_=MovementShown)


class Ledger(Resource):
    @doc.reads(
        "read_ledger",
        shown=LedgerShown,
        asks=LedgerAsked,
        says="The ledger of one material at one place in a period, with the balances around it.",
    )
    def get(self, request: Request, place_id: int) -> Response:
        del request
        question = Question(place_id=place_id, **self.asked(LedgerAsked))
        return self.show(rows.ledger(self.actor, question=question), as_=LedgerShown)
