"""Acts written on a phone without network: posted when they fit, else held, and never refused for a rule.

A slip written at ten and sent at six may find the store too short by then. It happened all the same: it is
kept with its shortfall and posted after a count or a correction, or given up with a reason.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import Lot, OfflineEntry, StockSlip
from inventory.services import moments, texts, usage
from inventory.services.usage import IssueAct, ReturnAct, SlipLineAct, WasteAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import KeyReused, NotAllowed, NotFound, Refused, Stale
from projects.models import Pour, Site
from projects.services import numbers
from projects.services.acts import business_act

SUFFIX = "~offline"
"""Tells the key of the entry from the phone's own, under which the slip is posted once and for ever."""

Kind = OfflineEntry.Kind
SlipAct = IssueAct | ReturnAct | WasteAct


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
    """A slip as a phone wrote it; `sent_at` is what the phone's clock said when it sent it."""

    slip: SlipAct
    sent_at: datetime | None = None


@dataclass(frozen=True)
class CorrectedLine:
    """What a line should have said; 0 strikes it out."""

    position: int
    amount: Decimal


@dataclass(frozen=True)
class PostAct:
    """A held entry to post, corrected where it was wrong; a correction says why.

    `slip_reason` is the reason that the slip bears; a lot over age opens by its test alone.
    """

    entry_id: int
    happened_at: datetime | None = None
    lines: tuple[CorrectedLine, ...] = ()
    slip_reason: str = ""
    reason: str = ""


@dataclass(frozen=True)
class GiveUpAct:
    """A held entry that will not be posted, and why."""

    entry_id: int
    reason: str


@business_act(result=OfflineEntry)
def record(*, actor: Actor, act: OfflineAct, key: str, now: datetime) -> OfflineEntry:
    """Take in a slip that was written offline: post it, or hold it with what speaks against it.

    The key is the phone's own with `SUFFIX`. Had the phone's first try gone through after all, its slip is
    found again. Refused are only what is not the actor's, and an act without its time (`time_missing`).
    """
    actor.require(Permission.MOVE_STOCK)
    slip = act.slip
    if slip.happened_at is None:
        raise TimeMissing(_("An act recorded offline says when it happened."), field="happened_at")
    site, pour = _where(slip, actor=actor)
    _require_own(slip.lines, actor=actor)
    entry = OfflineEntry(
        firm_id=actor.firm_id,
        site=site,
        pour=pour,
        kind=_KINDS[type(slip)],
        number=numbers.next_number(firm_id=actor.firm_id, kind="OF", now=now),
        act=_plain(slip),
        act_key=_key_of_slip(key),
        happened_at=slip.happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    try:
        if act.sent_at is not None:
            moments.require_clock(act.sent_at, now=now)
        _post(entry, slip=slip, actor=actor, now=now)
    except (NotFound, NotAllowed, KeyReused):
        raise
    except Refused as refused:
        _hold(entry, refused=refused)
    entry.save()
    return entry


@business_act(result=OfflineEntry)
def post(*, actor: Actor, act: PostAct, key: str, now: datetime) -> OfflineEntry:
    """Post a held entry, corrected where it was wrong.

    Refused when it was settled before, when a correction has no reason, and, as any slip, while the store
    has less: count it, or record the delivery, first.
    """
    actor.require(Permission.SETTLE_HELD)
    entry = _held(actor, entry_id=act.entry_id)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if (act.lines or act.happened_at is not None) and not reason:
        message = _("Say why it is corrected; what the phone sent stays on record beside it.")
        raise ReasonMissing(message, field="reason")
    slip = replace(_corrected(_read(entry), act=act), sure_of_time=True)
    _post(entry, slip=slip, actor=actor, now=now)
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


def _key_of_slip(key: str) -> str:
    """Name the key under which the slip is posted: the phone's own, or else one of the entry's."""
    return key.removesuffix(SUFFIX) if key.endswith(SUFFIX) else f"{key}~slip"


def _where(slip: SlipAct, *, actor: Actor) -> tuple[Site, Pour | None]:
    """Find the site and pour that the actor may see, whatever their state."""
    site = None
    if isinstance(slip, WasteAct):
        site = scope.get(Site.objects.all(), actor, pk=slip.site_id)
        if slip.pour_id is None:
            return site, None
    at_site = {} if site is None else {"slab__site": site}
    lookup: dict[str, Any] = {"pk": slip.pour_id, **at_site}
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, **lookup)
    return pour.slab.site, pour


def _require_own(lines: Sequence[SlipLineAct], *, actor: Actor) -> None:
    """Refuse, as not found, a line that names what is not the firm's: that is no slip to hold."""
    if not 0 < len(lines) <= usage.MOST_LINES:
        message = _("A slip has between 1 and %(most)s lines; this one has %(count)s.")
        raise usage.NoLines(message % {"most": usage.MOST_LINES, "count": len(lines)}, field="lines")
    for line in lines:
        material = scope.get(Material.objects.all(), actor, pk=line.material_id)
        if line.pack_id is not None:
            scope.get(Pack.objects.all(), actor, pk=line.pack_id)
        if line.lot_id is not None:
            scope.get(Lot.objects.all(), actor, pk=line.lot_id, material=material)


def _post(entry: OfflineEntry, *, slip: SlipAct, actor: Actor, now: datetime) -> None:
    """Post the slip under the phone's own key; what is refused leaves nothing behind."""
    service = _SERVICES[Kind(entry.kind)]
    entry.slip = service(actor=actor, act=slip, key=entry.act_key, now=now)
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


def _corrected(slip: SlipAct, *, act: PostAct) -> SlipAct:
    amounts = {line.position: line.amount for line in act.lines}
    unknown = set(amounts) - set(range(1, len(slip.lines) + 1))
    if unknown or len(amounts) < len(act.lines):
        message = _("The entry has lines 1 to %(last)s; correct each of them once at most.")
        raise NoSuchLine(message % {"last": len(slip.lines)}, field="lines")
    lines = tuple(
        replace(line, amount=amounts.get(n, line.amount)) for n, line in enumerate(slip.lines, start=1)
    )
    kept = tuple(line for n, line in enumerate(lines, start=1) if line.amount or n not in amounts)
    if not kept:
        raise usage.NoLines(_("Nothing is left of it. Give it up with a reason instead."), field="lines")
    return replace(
        slip,
        lines=kept,
        happened_at=act.happened_at or slip.happened_at,
        reason=texts.fitting(act.slip_reason, most=200, field="slip_reason") or slip.reason,
    )


def _plain(slip: SlipAct) -> dict[str, Any]:
    """Write a slip as JSON: moments and amounts as text, so that nothing is rounded."""
    plain = asdict(slip)
    if slip.happened_at is not None:
        plain["happened_at"] = slip.happened_at.isoformat()
    plain["lines"] = [{**asdict(line), "amount": str(line.amount)} for line in slip.lines]
    return plain


def _read(entry: OfflineEntry) -> SlipAct:
    """Read a slip back as it was sent."""
    plain = dict(entry.act)
    lines = tuple(SlipLineAct(**{**line, "amount": Decimal(line["amount"])}) for line in plain["lines"])
    happened_at = datetime.fromisoformat(plain["happened_at"])
    made: SlipAct = _ACTS[Kind(entry.kind)](**{**plain, "lines": lines, "happened_at": happened_at})
    return made


_ACTS: dict[Kind, Callable[..., SlipAct]] = {
    Kind.ISSUE: IssueAct,
    Kind.RETURN: ReturnAct,
    Kind.WASTE: WasteAct,
}
_KINDS = {IssueAct: Kind.ISSUE, ReturnAct: Kind.RETURN, WasteAct: Kind.WASTE}
_SERVICES: dict[Kind, Callable[..., StockSlip]] = {
    Kind.ISSUE: usage.issue,
    Kind.RETURN: usage.bring_back,
    Kind.WASTE: usage.waste,
}
