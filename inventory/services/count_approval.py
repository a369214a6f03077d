"""What a second person does with a count: approves it, sends it back, or takes it back when it was wrong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.models import StockCount
from inventory.queries import counts as rows
from inventory.services import count_book, posting, replan, texts
from inventory.services.posting import Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.services.acts import business_act

State = StockCount.State


class NotWaiting(Stale):
    """The count was approved, sent back or taken back before, or never had to wait."""

    code = "count_not_waiting"


class NotPosted(Stale):
    """The count has posted nothing that could be taken back, or was taken back before."""

    code = "count_not_posted"


class CountedSince(Stale):
    """The material was counted again since: the later count already says what is there."""

    code = "counted_since"


class PourClosed(Stale):
    """The count found the use of a pour that is closed: its account no longer changes."""

    code = "pour_closed"


class ReasonMissing(Refused):
    """A count is sent back or taken back without a reason."""

    code = "reason_missing"


@dataclass(frozen=True)
class ApproveAct:
    """A count that waits, to be posted."""

    count_id: int


@dataclass(frozen=True)
class EndAct:
    """A count to be sent back or taken back, and why."""

    count_id: int
    reason: str


@business_act(result=StockCount)
def approve(*, actor: Actor, act: ApproveAct, key: str, now: datetime) -> StockCount:
    """Approve a count that waits: it is held against the book of its hour once more and posted.

    Refused when it does not wait any more, and when a later count of the same material is posted.
    """
    count = _locked(actor, count_id=act.count_id)
    _require_waiting(count)
    _require_latest(count)
    stamp = Stamp(actor=actor, happened_at=count.happened_at, now=now, key=key)
    lines = list(count.lines.select_related("material").order_by("position"))
    book = count_book.opened(lines, site=count.site, stamp=stamp)
    for line in lines:
        line.save(update_fields=["book"])
    count_book.post(book, site=count.site, stamp=stamp)
    count.state = State.POSTED
    count.approved_by_id, count.approved_at = actor.person_id, now
    count.save(update_fields=["state", "approved_by", "approved_at"])
    replan.soon(actor.firm_id, now=now)
    return count


@business_act(result=StockCount)
def send_back(*, actor: Actor, act: EndAct, key: str, now: datetime) -> StockCount:
    """Send a count that waits back to be counted again; nothing moves. Refused without a reason."""
    del key
    count = _locked(actor, count_id=act.count_id)
    _require_waiting(count)
    return _ended(count, state=State.SENT_BACK, act=act, actor=actor, now=now)


@business_act(result=StockCount)
def reverse(*, actor: Actor, act: EndAct, key: str, now: datetime) -> StockCount:
    """Take a posted count back as a whole, at its original values.

    Refused without a reason, when it was taken back before, when what it found has moved on, when a later
    count of the same material is posted, and when it found the use of a pour that is closed.
    """
    count = _locked(actor, count_id=act.count_id)
    if count.state != State.POSTED:
        message = _("%(number)s is not posted: it is “%(state)s”. There is nothing to take back.")
        raise NotPosted(message % {"number": count.number, "state": count.get_state_display()})
    _require_reason(act)
    _require_latest(count)
    if rows.used_in_closed_pour(count):
        message = _("%(number)s found the use of a closed pour: its account no longer changes. Count again.")
        raise PourClosed(message % {"number": count.number})
    posting.reverse(of=count, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    replan.soon(actor.firm_id, now=now)
    return _ended(count, state=State.REVERSED, act=act, actor=actor, now=now)


def _locked(actor: Actor, *, count_id: int) -> StockCount:
    rows = StockCount.objects.select_for_update(of=("self",)).select_related("site")
    count = scope.get(rows, actor, pk=count_id)
    actor.require(Permission.APPROVE_COUNTS)
    return count


def _require_waiting(count: StockCount) -> None:
    if count.state != State.WAITING:
        message = _("%(number)s does not wait for approval: it is “%(state)s”.")
        raise NotWaiting(message % {"number": count.number, "state": count.get_state_display()})


def _require_latest(count: StockCount) -> None:
    later = rows.posted_after(count)
    if later is not None:
        message = _("%(later)s counted the same store later; what it found stands. Count again if in doubt.")
        raise CountedSince(message % {"later": later.number}, later=later.number)


def _require_reason(act: EndAct) -> str:
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise ReasonMissing(_("Say why; it stays on record beside the count."), field="reason")
    return reason


def _ended(
    count: StockCount, *, state: StockCount.State, act: EndAct, actor: Actor, now: datetime
) -> StockCount:
    count.end_reason = _require_reason(act)
    count.state, count.ended_at, count.ended_by_id = state, now, actor.person_id
    count.save(update_fields=["state", "ended_at", "ended_by", "end_reason"])
    return count
