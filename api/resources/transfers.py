"""Transfers from one store to another: sent, received as found, called back."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import (
    Figure,
    MaterialNamed,
    Moment,
    Money,
    Named,
    Quantity,
    Reason,
    RowId,
    Shown,
    Typed,
    Whole,
    listed,
)
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.slips import SURE, SlipLineTyped
from inventory.queries import on_road as rows
from inventory.services import transfers
from inventory.services.transfers import ArrivalAct, ArrivedLineAct, CallBackAct, DispatchAct
from inventory.services.usage import MOST_LINES, SlipLineAct

STATES = ["on_road", "received", "called_back"]


class DispatchTyped(Typed):
    from_site_id = RowId()
    to_site_id = RowId()
    happened_at = Moment()
    vehicle = serializers.CharField(max_length=30, required=False, allow_blank=True)
    freight_minor = Whole(required=False, help_text="Paid for the road; part of its value there.")
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)
    lines = listed(SlipLineTyped, most=MOST_LINES)


class ArrivedLineTyped(Typed):
    line_id = RowId()
    found = Figure(help_text="As counted or measured.")
    pack_id = RowId(required=False, allow_null=True, help_text="The figure is then in this pack.")
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True)
    lost_reason = serializers.CharField(max_length=200, required=False, allow_blank=True)


class ArrivalTyped(Typed):
    happened_at = Moment()
    loss_owner_id = RowId(required=False, allow_null=True, help_text="Left out: who sent it.")
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)
    lines = listed(ArrivedLineTyped, most=MOST_LINES)


class TransferShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    from_site = Named()
    to_site = Named()
    state = serializers.ChoiceField(choices=STATES)
    vehicle = serializers.CharField()
    freight = Money(source="freight_minor")
    dispatched_at = serializers.DateTimeField()
    received_at = serializers.DateTimeField(allow_null=True)
    by_one_person = serializers.BooleanField(help_text="Sent and received by the same person.")
    remark = serializers.CharField()


class TransferLineShown(Shown):
    id = serializers.IntegerField()
    material = MaterialNamed()
    sent = Quantity("sent")
    found = Quantity("found", help_text="Null until it arrived.")
    lost_reason = serializers.CharField()
    value = Money(source="value_minor", help_text="What it carries along.")


class TransferInFull(Shown):
    transfer = TransferShown()
    dispatched_by = Named(source="transfer.dispatched_by", allow_null=True)
    received_by = Named(source="transfer.received_by", allow_null=True)
    loss_owner = Named(source="transfer.loss_owner", allow_null=True)
    lines = TransferLineShown(many=True)


class _Transfer(Resource):
    def _read(self, transfer_id: int) -> Any:
        return rows.one(self.actor, transfer_id=transfer_id)


class Transfers(_Transfer):
    @doc.lists("list_transfers", shown=TransferShown, says="Transfers from or to one's sites, newest first.")
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.listing(self.actor, **self.asked(PageAsked)), as_=TransferShown)

    @doc.acts(
        "send_transfer",
        types=DispatchTyped,
        shown=TransferInFull,
        made=True,
        says="Send material from a store; it is on the road until it is received.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(DispatchTyped)
        lines = tuple(SlipLineAct(**line) for line in typed.pop("lines"))
        act = DispatchAct(lines=lines, **typed)
        return self.do(transfers.dispatch, act=act, read=self._read, as_=TransferInFull, made=True)


class Transfer(_Transfer):
    @doc.reads("read_transfer", shown=TransferInFull, says="One transfer with its lines.")
    def get(self, request: Request, transfer_id: int) -> Response:
        del request
        return self.show(self._read(transfer_id), as_=TransferInFull)


class Receive(_Transfer):
    @doc.acts(
        "receive_transfer",
        types=ArrivalTyped,
        shown=TransferInFull,
        says="Take a transfer into the store as found; what is missing is a loss with its owner.",
    )
    def post(self, request: Request, transfer_id: int) -> Response:
        del request
        typed = self.typed(ArrivalTyped)
        lines = tuple(ArrivedLineAct(**line) for line in typed.pop("lines"))
        act = ArrivalAct(transfer_id=transfer_id, lines=lines, **typed)
        return self.do(transfers.receive, act=act, read=self._read, as_=TransferInFull)


class CallBack(_Transfer):
    @doc.acts("call_back_transfer", types=Reason, shown=TransferInFull, says="Call a transfer back.")
    def post(self, request: Request, transfer_id: int) -> Response:
        del request
        act = CallBackAct(transfer_id=transfer_id, **self.typed(Reason))
        return self.do(transfers.call_back, act=act, read=self._read, as_=TransferInFull)
