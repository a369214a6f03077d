"""What waits until it has passed: checks of a receipt's line, held back, released, sent back."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Figure, MaterialNamed, Named, Numbered, Quantity, Reason, RowId, Shown, Typed, listed
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.receipts import CheckTyped, ReceiptInFull
from inventory.queries import deliveries
from inventory.queries import quarantine as rows
from inventory.services import quarantine
from inventory.services.checks import CheckAct
from inventory.services.quarantine import ChecksAct, HoldAct, ReleaseAct, SendBackAct


class HeldAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)


class ChecksTyped(Typed):
    checks = listed(CheckTyped, most=20)


class SendBackTyped(Reason):
    amount = Figure(
        required=False,
        allow_null=True,
        help_text="In the unit that the line was measured in; null: all of it.",
    )


class HeldShown(Shown):
    id = serializers.IntegerField()
    receipt = Numbered()
    site = Named(source="receipt.site")
    supplier = Named(source="receipt.supplier")
    material = MaterialNamed()
    lot_id = serializers.IntegerField(allow_null=True)
    held = Quantity("held")
    hold_reason = serializers.CharField()


class Held(Resource):
    @doc.lists(
        "list_held", shown=HeldShown, asks=HeldAsked, says="What waits in quarantine, the newest first."
    )
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.waiting(self.actor, **self.asked(HeldAsked)), as_=HeldShown)


class _Line(Resource):
    def _read(self, line_id: int) -> Any:
        line = rows.line(self.actor, line_id=line_id)
        return deliveries.receipt(self.actor, receipt_id=line.receipt_id)


class Checks(_Line):
    @doc.acts(
        "check_receipt_line",
        types=ChecksTyped,
        shown=ReceiptInFull,
        says="Record checks of what came; when one does not pass, what is left in the store is held back.",
    )
    def post(self, request: Request, line_id: int) -> Response:
        del request
        checks = tuple(CheckAct(**check) for check in self.typed(ChecksTyped)["checks"])
        act = ChecksAct(line_id=line_id, checks=checks)
        return self.do(quarantine.check, act=act, read=self._read, as_=ReceiptInFull)


class Hold(_Line):
    @doc.acts(
        "hold_receipt_line", types=Reason, shown=ReceiptInFull, says="Hold back what is left of a line."
    )
    def post(self, request: Request, line_id: int) -> Response:
        del request
        act = HoldAct(line_id=line_id, **self.typed(Reason))
        return self.do(quarantine.hold, act=act, read=self._read, as_=ReceiptInFull)


class Release(_Line):
    @doc.acts(
        "release_receipt_line", types=Reason, shown=ReceiptInFull, says="Release to the store what waits."
    )
    def post(self, request: Request, line_id: int) -> Response:
        del request
        act = ReleaseAct(line_id=line_id, **self.typed(Reason))
        return self.do(quarantine.release, act=act, read=self._read, as_=ReceiptInFull)


class SendBack(_Line):
    @doc.acts(
        "send_receipt_line_back",
        types=SendBackTyped,
        shown=ReceiptInFull,
        says="Send back what waits, or a part of it: it counts as rejected; its order is open for it again.",
    )
    def post(self, request: Request, line_id: int) -> Response:
        del request
        act = SendBackAct(line_id=line_id, **self.typed(SendBackTyped))
        return self.do(quarantine.send_back, act=act, read=self._read, as_=ReceiptInFull)
