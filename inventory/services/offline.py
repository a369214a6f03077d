"""Acts written on a phone without network: posted when they fit, else held, and never refused for a rule.

A slip written at ten and sent at six may find the store too short by then, a receipt its order cancelled or
the number of its note used. It happened all the same: it is kept with what speaks against it and posted after
a count, an answer or a correction, or given up with a reason.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from inventory.models import OfflineEntry, ReceiptPaper
from inventory.services import moments, offline_kinds, texts, usage, written
from inventory.services.offline_kinds import KINDS, Kind, WrittenAct
from inventory.services.receipt_acts import ReceiptAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import KeyReused, NotAllowed, NotFound, Refused, Stale
from projects.models import IdempotencyKey
from projects.services import numbers
from projects.services.acts import PASSING, business_act

SUFFIX = "~offline"
"""Tells the key of the entry from the phone's own, under which the act is posted once and for ever."""


class TimeMissing(Refused):
    """An act recorded offline that does not say when it happened."""

    code = "time_missing"


class Settled(Stale):
    """The entry was posted or given up before."""

    code = "settled_already"


class ReasonMissing(Refused):
    """An entry is corrected or given up without a reason."""

    code = "reason_missing"


class NoSuchLine(Refused):
    """A correction of a line that the entry does not have, or of one line twice."""

    code = "no_such_line"


@dataclass(frozen=True)
class OfflineAct:
    """A slip or receipt as a phone wrote it; `sent_at` is what the phone's clock said when it sent it."""

    written: WrittenAct
    sent_at: datetime | None = field(default=None, metadata=PASSING)


@dataclass(frozen=True)
class CorrectedLine:
    """What a line should have said; 0 strikes it out."""

    position: int
    amount: Decimal


@dataclass(frozen=True)
class PostAct:
    """A held entry to post, corrected where it was wrong; a correction says why.

    `slip_reason` is the reason that a slip bears; a lot over age opens by its test alone. `same_note_answer`
    says why a note number that was used before is another load.
    """

    entry_id: int
    happened_at: datetime | None = None
    lines: tuple[CorrectedLine, ...] = ()
    slip_reason: str = ""
    reason: str = ""
    same_note_answer: str = ""


@dataclass(frozen=True)
class GiveUpAct:
    """A held entry that will not be posted, and why."""

    entry_id: int
    reason: str


@business_act(result=OfflineEntry)
def record(*, actor: Actor, act: OfflineAct, key: str, now: datetime) -> OfflineEntry:
    """Take in what was written offline: post it, or hold it with what speaks against it.

    The key is the phone's own with `SUFFIX`. Had the phone's first try gone through after all, what it made
    is found again. Refused are only what is not the actor's, and an act without its time (`time_missing`).
    """
    wrote = act.written
    kind = offline_kinds.of(wrote)
    actor.require(KINDS[kind].needs)
    if wrote.happened_at is None:
        raise TimeMissing(_("An act recorded offline says when it happened."), field="happened_at")
    site, pour = offline_kinds.where(wrote, actor=actor)
    offline_kinds.require_own(wrote, actor=actor)
    entry = OfflineEntry(
        firm_id=actor.firm_id,
        site=site,
        pour=pour,
        kind=kind,
        number=numbers.next_number(firm_id=actor.firm_id, kind="OF", now=now),
        act=written.plain(wrote),
        act_key=_own_key(key),
        happened_at=wrote.happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    if IdempotencyKey.objects.filter(firm_id=actor.firm_id, key=entry.act_key).exists():
        _find_again(entry, act=wrote, actor=actor, now=now)
    else:
        _post_or_hold(entry, act=act, actor=actor, now=now)
    entry.save()
    return entry


@business_act(result=OfflineEntry)
def post(*, actor: Actor, act: PostAct, key: str, now: datetime) -> OfflineEntry:
    """Post a held entry, corrected where it was wrong.

    Refused when it was settled before, when a correction has no reason, and as any slip or receipt is: while
    the store has less (count it, or record the delivery, first), or a used note number has no answer.
    """
    actor.require(Permission.SETTLE_HELD)
    entry = _held(actor, entry_id=act.entry_id)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if (act.lines or act.happened_at is not None) and not reason:
        message = _("Say why it is corrected; what the phone sent stays on record beside it.")
        raise ReasonMissing(message, field="reason")
    kept = written.read(KINDS[Kind(entry.kind)].act, entry.act)
    _post(entry, act=replace(_corrected(kept, act=act), sure_of_time=True), actor=actor, now=now)
    if entry.receipt is not None and entry.photo is not None:
        ReceiptPaper.objects.create(receipt=entry.receipt, attachment=entry.photo, shows="note")
    entry.reason = reason
    entry.settled_at, entry.settled_by_id = now, actor.person_id
    entry.save()
    return entry


@business_act(result=OfflineEntry)
def give_up(*, actor: Actor, act: GiveUpAct, key: str, now: datetime) -> OfflineEntry:
    """Give a held entry up: nothing moves, and the reason stays; refused without one."""
    actor.require(Permission.SETTLE_HELD)
    entry = _held(actor, entry_id=act.entry_id)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise ReasonMissing(_("Say why it is given up; it stays on record."), field="reason")
    entry.state, entry.reason = OfflineEntry.State.GIVEN_UP, reason
    entry.settled_at, entry.settled_by_id = now, actor.person_id
    entry.save()
    return entry


def _own_key(key: str) -> str:
    """Name the key under which the act is posted: the phone's own, or else one of the entry's."""
    return key.removesuffix(SUFFIX) if key.endswith(SUFFIX) else f"{key}~slip"


def _find_again(entry: OfflineEntry, *, act: WrittenAct, actor: Actor, now: datetime) -> None:
    """Find what the phone's first try made, which may have been sent as happening at once, without a time."""
    try:
        _post(entry, act=act, actor=actor, now=now)
    except KeyReused:
        _post(entry, act=replace(act, happened_at=None), actor=actor, now=now)


def _post_or_hold(entry: OfflineEntry, *, act: OfflineAct, actor: Actor, now: datetime) -> None:
    try:
        if act.sent_at is not None:
            moments.require_clock(act.sent_at, now=now)
        offline_kinds.require_open_order(act.written, actor=actor)
        _post(entry, act=act.written, actor=actor, now=now)
    except (NotFound, NotAllowed, KeyReused):
        raise
    except Refused as refused:
        _hold(entry, refused=refused)


def _post(entry: OfflineEntry, *, act: WrittenAct, actor: Actor, now: datetime) -> None:
    """Post the act under the phone's own key; what is refused leaves nothing behind."""
    kind = KINDS[Kind(entry.kind)]
    setattr(entry, kind.result, kind.service(actor=actor, act=act, key=entry.act_key, now=now))
    entry.state = OfflineEntry.State.POSTED


def _hold(entry: OfflineEntry, *, refused: Refused) -> None:
    entry.state = OfflineEntry.State.HELD
    entry.code, entry.message = refused.code, refused.message
    entry.shortfall = {name: value for name, value in refused.params.items() if _is_plain(value)}


def _is_plain(value: Any) -> bool:
    return value is None or isinstance(value, str | int)


def _held(actor: Actor, *, entry_id: int) -> OfflineEntry:
    entry = scope.get(OfflineEntry.objects.select_for_update(of=("self",)), actor, pk=entry_id)
    if entry.state != OfflineEntry.State.HELD:
        message = _("%(number)s is no longer held: it was %(state)s.")
        raise Settled(message % {"number": entry.number, "state": entry.get_state_display()})
    return entry


def _corrected(wrote: WrittenAct, *, act: PostAct) -> WrittenAct:
    amounts = {line.position: line.amount for line in act.lines}
    last = len(wrote.lines)
    if set(amounts) - set(range(1, last + 1)) or len(amounts) < len(act.lines):
        message = _("The entry has lines 1 to %(last)s; correct each of them once at most.")
        raise NoSuchLine(message % {"last": last}, field="lines")
    made = offline_kinds.with_amounts(wrote, amounts=[amounts.get(n) for n in range(1, last + 1)])
    if not made.lines:
        raise usage.NoLines(_("Nothing is left of it. Give it up with a reason instead."), field="lines")
    if act.happened_at is not None:
        made = replace(made, happened_at=act.happened_at)
    if isinstance(made, ReceiptAct):
        answer = texts.fitting(act.same_note_answer, most=200, field="same_note_answer")
        return replace(made, same_note_answer=answer or made.same_note_answer)
    slip_reason = texts.fitting(act.slip_reason, most=200, field="slip_reason")
    return replace(made, reason=slip_reason or made.reason)
