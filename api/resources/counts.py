"""Counts of the stores."""

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
    Nothing,
    Quantity,
    Reason,
    RowId,
    Shown,
    Typed,
    listed,
)
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.slips import SURE
from inventory.queries import counts as rows
from inventory.services import count_approval, counts
from inventory.services.count_approval import ApproveAct, EndAct
from inventory.services.counts import CountAct, CountLineAct

STATES = ["posted", "waiting", "sent_back", "reversed"]


class CountLineTyped(Typed):
    material_id = RowId()
    found = Figure(help_text="In packs when a pack is named, else in the unit.")
    pack_id = RowId(required=False, allow_null=True)
    unit = serializers.CharField(max_length=12, required=False, allow_blank=True)
    explanation = serializers.CharField(max_length=200, required=False, allow_blank=True)


class CountTyped(Typed):
    site_id = RowId()
    happened_at = Moment()
    lines = listed(CountLineTyped, most=100)
    remark = serializers.CharField(max_length=400, required=False, allow_blank=True)
    recounted = serializers.BooleanField(
        required=False, help_text="Says that what lay far from the book was counted twice."
    )
    sure_of_time = serializers.BooleanField(required=False, help_text=SURE)


class CountsAsked(PageAsked):
    site_id = RowId(required=False, allow_null=True, default=None)
    only = serializers.ChoiceField(choices=["waiting", "one_person"], required=False, default="")


class CountLineShown(Shown):
    material = MaterialNamed()
    book = Quantity("book", help_text="By the ledger at the count.")
    found = Quantity("found")
    explanation = serializers.CharField()
    value = Money(source="value_minor", help_text="Of the difference, found less book.")


class CountShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    site = Named()
    counted_by = Named(allow_null=True)
    by_keeper = serializers.BooleanField(help_text="Counted by a person who also keeps this store.")
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()
    remark = serializers.CharField()
    state = serializers.ChoiceField(choices=STATES)
    recounted = serializers.BooleanField()
    approved_by = Named(allow_null=True)
    approved_at = serializers.DateTimeField(allow_null=True)
    self_approved = serializers.BooleanField(help_text="Approved by the person who counted.")
    ended_at = serializers.DateTimeField(allow_null=True, help_text="Sent back or taken back.")
    end_reason = serializers.CharField()


class CountInFull(Shown):
    count = CountShown()
    value = Money(source="value_minor")
    lines = CountLineShown(many=True)


class _Count(Resource):
    def _read(self, count_id: int) -> Any:
        return rows.count(self.actor, count_id=count_id)


class Counts(_Count):
    @doc.lists(
        "list_counts", shown=CountShown, asks=CountsAsked, says="The counts of the stores, newest first."
    )
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.counts(self.actor, **self.asked(CountsAsked)), as_=CountShown)

    @doc.acts(
        "record_count",
        types=CountTyped,
        shown=CountInFull,
        made=True,
        says="Record a count against the book at the time of counting; a difference wants an explanation.",
    )
    def post(self, request: Request) -> Response:
        del request
        typed = self.typed(CountTyped)
        lines = tuple(CountLineAct(**line) for line in typed.pop("lines"))
        act = CountAct(lines=lines, **typed)
        return self.do(counts.record, act=act, read=self._read, as_=CountInFull, made=True)


class Count(_Count):
    @doc.reads("read_count", shown=CountInFull, says="One count with its lines.")
    def get(self, request: Request, count_id: int) -> Response:
        del request
        return self.show(self._read(count_id), as_=CountInFull)


class Approve(_Count):
    @doc.acts(
        "approve_count",
        types=Nothing,
        shown=CountInFull,
        says="Approve a count that lies far from the book: its differences are posted as of its hour.",
    )
    def post(self, request: Request, count_id: int) -> Response:
        del request
        act = ApproveAct(count_id=count_id, **self.typed(Nothing))
        return self.do(count_approval.approve, act=act, read=self._read, as_=CountInFull)


class SendBack(_Count):
    @doc.acts("send_count_back", types=Reason, shown=CountInFull, says="Send a count back to be taken again.")
    def post(self, request: Request, count_id: int) -> Response:
        del request
        act = EndAct(count_id=count_id, **self.typed(Reason))
        return self.do(count_approval.send_back, act=act, read=self._read, as_=CountInFull)


class Reverse(_Count):
    @doc.acts(
        "reverse_count", types=Reason, shown=CountInFull, says="Take a posted count back, at its values."
    )
    def post(self, request: Request, count_id: int) -> Response:
        del request
        act = EndAct(count_id=count_id, **self.typed(Reason))
        return self.do(count_approval.reverse, act=act, read=self._read, as_=CountInFull)
