"""Acts that a phone wrote without network, sent afterwards: posted when they fit, else held."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc
from api.fields import Figure, MaterialNamed, Moment, Named, Numbered, PourNamed, Reason, Shown, Typed
from api.fields import listed as a_list
from api.pagination import PageAsked
from api.resource import Resource
from api.resources.receipts import ReceiptTyped, receipt_of
from api.resources.slips import PourSlipTyped, WasteTyped
from inventory.queries import offline as rows
from inventory.services import offline
from inventory.services.offline import SUFFIX, CorrectedLine, GiveUpAct, OfflineAct, PostAct
from inventory.services.offline_kinds import MOST_LINES, WrittenAct
from inventory.services.usage import IssueAct, ReturnAct, SlipLineAct, WasteAct
from projects.access.actor import Actor

STATES = ["posted", "held", "given_up"]
KINDS = ["issue", "return", "waste", "receipt"]


class _Sent(Typed):
    sent_at = Moment(
        required=False,
        allow_null=True,
        help_text="What the phone's clock says as it sends: a clock that is off is noticed by it.",
    )


class OfflinePourSlipTyped(PourSlipTyped, _Sent):
    """An issue or a return as a phone wrote it."""


class OfflineWasteTyped(WasteTyped, _Sent):
    """Waste as a phone wrote it."""


class OfflineReceiptTyped(ReceiptTyped, _Sent):
    """A delivery as a phone wrote it."""


class CorrectedLineTyped(Typed):
    position = serializers.IntegerField(min_value=1, max_value=MOST_LINES)
    amount = Figure(help_text="What the line should have said; 0 strikes it out.")


class PostTyped(Typed):
    happened_at = Moment(required=False, allow_null=True, help_text="When it really was, if corrected.")
    lines = a_list(CorrectedLineTyped, most=MOST_LINES, required=False, default=list)
    slip_reason = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="A word on the slip."
    )
    reason = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="Why it is corrected."
    )
    same_note_answer = serializers.CharField(
        max_length=200, required=False, allow_blank=True, help_text="Why a used note number is another load."
    )


class EntriesAsked(PageAsked):
    state = serializers.ChoiceField(choices=STATES, required=False, default="")


class OfflineEntryShown(Shown):
    id = serializers.IntegerField()
    number = serializers.CharField()
    kind = serializers.ChoiceField(choices=KINDS)
    state = serializers.ChoiceField(choices=STATES)
    site = Named()
    pour = PourNamed(allow_null=True)
    code = serializers.CharField(help_text="Why it is or was held; stable.")
    message = serializers.CharField()
    shortfall = serializers.DictField(help_text="The figures behind the message.")
    slip = Numbered(allow_null=True, help_text="What an issue, a return or waste was posted as.")
    receipt = Numbered(allow_null=True, help_text="What a receipt was posted as.")
    happened_at = serializers.DateTimeField(help_text="By the phone's clock.")
    recorded_at = serializers.DateTimeField()
    recorded_by = Named(allow_null=True)
    reason = serializers.CharField(help_text="Why it was corrected or given up.")


class OfflineEntryLineShown(Shown):
    position = serializers.IntegerField()
    material = MaterialNamed()
    figure = serializers.DecimalField(source="amount", max_digits=15, decimal_places=3)
    unit = serializers.CharField(help_text="The name of the pack, else the unit.")
    measured = serializers.BooleanField(help_text="The figure is yet to follow from readings.")


class OfflineEntryInFull(Shown):
    entry = OfflineEntryShown()
    settled_at = serializers.DateTimeField(source="entry.settled_at", allow_null=True)
    settled_by = Named(source="entry.settled_by", allow_null=True)
    lines = OfflineEntryLineShown(many=True)


class _Entry(Resource):
    def _read(self, entry_id: int) -> Any:
        return rows.entry(self.actor, entry_id=entry_id)


class _Offline(_Entry):
    def _record(self, form: type[Typed], *, of: Callable[[dict[str, Any]], WrittenAct]) -> Response:
        typed = self.typed(form)
        sent_at = typed.pop("sent_at", None)
        act = OfflineAct(written=of(typed), sent_at=sent_at)
        return self.do(offline.record, act=act, read=self._read, as_=OfflineEntryInFull, made=True)

    @property
    def actor(self) -> Actor:
        """Who asks, from a device that wrote this before it was sent."""
        found = super().actor
        return replace(found, device=f"{found.device}; written offline".removeprefix("; "))

    def _key(self) -> str:
        """Leave the phone's own key to the slip or receipt."""
        return f"{super()._key()}{SUFFIX}"


class Issues(_Offline):
    @doc.acts(
        "issue_material_offline",
        types=OfflinePourSlipTyped,
        shown=OfflineEntryInFull,
        made=True,
        says="Take in an issue that was written offline: posted, or held when it does not fit; send the same "
        "key as online.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self._record(OfflinePourSlipTyped, of=_slip_of(IssueAct))


class Returns(_Offline):
    @doc.acts(
        "return_material_offline",
        types=OfflinePourSlipTyped,
        shown=OfflineEntryInFull,
        made=True,
        says="Take in a return that was written offline: posted, or held when it does not fit.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self._record(OfflinePourSlipTyped, of=_slip_of(ReturnAct))


class Waste(_Offline):
    @doc.acts(
        "record_waste_offline",
        types=OfflineWasteTyped,
        shown=OfflineEntryInFull,
        made=True,
        says="Take in waste that was written offline: posted, or held when it does not fit.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self._record(OfflineWasteTyped, of=_slip_of(WasteAct))


class Receipts(_Offline):
    @doc.acts(
        "record_receipt_offline",
        types=OfflineReceiptTyped,
        shown=OfflineEntryInFull,
        made=True,
        says="Take in a receipt that was written offline: posted, or held when its order has ended, the "
        "number of its note was used, or a figure cannot be.",
    )
    def post(self, request: Request) -> Response:
        del request
        return self._record(OfflineReceiptTyped, of=receipt_of)


def _slip_of(kind: Callable[..., WrittenAct]) -> Callable[[dict[str, Any]], WrittenAct]:
    """Make a slip of this kind of what was typed."""

    def made(typed: dict[str, Any]) -> WrittenAct:
        lines = tuple(SlipLineAct(**line) for line in typed.pop("lines"))
        return kind(lines=lines, **typed)

    return made


class Entries(_Entry):
    @doc.lists(
        "list_offline_entries",
        shown=OfflineEntryShown,
        asks=EntriesAsked,
        says="What phones wrote offline, the last received first.",
    )
    def get(self, request: Request) -> Response:
        del request
        return self.page(rows.entries(self.actor, **self.asked(EntriesAsked)), as_=OfflineEntryShown)


class Entry(_Entry):
    @doc.reads(
        "read_offline_entry", shown=OfflineEntryInFull, says="One entry with its lines, as it was sent."
    )
    def get(self, request: Request, entry_id: int) -> Response:
        del request
        return self.show(self._read(entry_id), as_=OfflineEntryInFull)


class Post(_Entry):
    @doc.acts(
        "post_offline_entry",
        types=PostTyped,
        shown=OfflineEntryInFull,
        says="Post a held entry, corrected where it was wrong; a correction says why.",
    )
    def post(self, request: Request, entry_id: int) -> Response:
        del request
        typed = self.typed(PostTyped)
        lines = tuple(CorrectedLine(**line) for line in typed.pop("lines"))
        act = PostAct(entry_id=entry_id, lines=lines, **typed)
        return self.do(offline.post, act=act, read=self._read, as_=OfflineEntryInFull)


class GiveUp(_Entry):
    @doc.acts(
        "give_up_offline_entry",
        types=Reason,
        shown=OfflineEntryInFull,
        says="Give a held entry up: nothing moves, and the reason stays.",
    )
    def post(self, request: Request, entry_id: int) -> Response:
        del request
        act = GiveUpAct(entry_id=entry_id, **self.typed(Reason))
        return self.do(offline.give_up, act=act, read=self._read, as_=OfflineEntryInFull)
