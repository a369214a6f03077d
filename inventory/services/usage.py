"""Use of stock: issued to a pour or to other works, brought back, wasted; taken back when wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import Lot, Place, StockSlip, StockSlipLine
from inventory.services import firm_days, lots, measures, moments, places, posting, replan, texts
from inventory.services.posting import Posting, Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Pour, Site
from projects.services import numbers
from projects.services.acts import business_act

MOST_LINES = 100
Kind = StockSlip.Kind


class PourClosed(Stale):
    """The pour is closed: nothing is issued to it or brought back from it any more."""

    code = "pour_closed"


class NoLines(Refused):
    """A slip without lines, or with too many."""

    code = "no_lines"


class ReasonMissing(Refused):
    """Waste without its cause, or an entry taken back without a reason."""

    code = "reason_missing"


@dataclass(frozen=True)
class SlipLineAct:
    """A material of a slip; the amount is in packs when a pack is named, else in the unit.

    Without a lot the oldest go first, and lots over age are passed over.
    """

    material_id: int
    amount: Decimal
    pack_id: int | None = None
    unit: str = ""
    lot_id: int | None = None


@dataclass(frozen=True)
class IssueAct:
    """Material taken from the store for a pour; without a time it is now.

    `reason` is a word on the slip; `sure_of_time` answers the question about a time long ago.
    """

    pour_id: int
    happened_at: datetime | None
    lines: tuple[SlipLineAct, ...]
    given_to: str = ""
    reason: str = ""
    sure_of_time: bool = False


@dataclass(frozen=True)
class ReturnAct:
    """Material brought back from a pour to the store."""

    pour_id: int
    happened_at: datetime | None
    lines: tuple[SlipLineAct, ...]
    given_to: str = ""
    reason: str = ""
    sure_of_time: bool = False


@dataclass(frozen=True)
class WasteAct:
    """Material lost, with its cause: from the store, or from a pour when one is named."""

    site_id: int
    reason: str
    happened_at: datetime | None
    lines: tuple[SlipLineAct, ...]
    pour_id: int | None = None
    sure_of_time: bool = False


@dataclass(frozen=True)
class OtherWorkAct:
    """Material taken from the store for works of the site that are no slab: plaster, blockwork, small works.

    `works` says which.
    """

    site_id: int
    works: str
    happened_at: datetime | None
    lines: tuple[SlipLineAct, ...]
    given_to: str = ""
    sure_of_time: bool = False


@dataclass(frozen=True)
class ReverseAct:
    """A slip that was wrong, and why."""

    slip_id: int
    reason: str


@dataclass(frozen=True)
class _Move:
    """Between which places a slip moves, and how the ledger calls it."""

    source: Place
    target: Place
    ledger_reason: posting.Reason
    old_lots_too: bool = True


@business_act(result=StockSlip)
def issue(*, actor: Actor, act: IssueAct, key: str, now: datetime) -> StockSlip:
    """Issue material to a pour's slab at the store's average; oldest lots first.

    Refused when the store has less (`not_enough_stock`), for a closed pour, and for a lot that is over age
    (`over_age`) or failed its test (`failed_test`), until a test passes it.
    """
    pour = _open_pour(actor, pour_id=act.pour_id)
    site = pour.slab.site
    slip = _slip(Kind.ISSUE, actor=actor, act=act, site=site, now=now)
    slip.pour, slip.given_to = pour, texts.fitting(act.given_to, most=120, field="given_to")
    move = _Move(places.store(site), places.slab(pour.slab), posting.Reason.ISSUE, old_lots_too=False)
    return _write(slip, move=move, lines=act.lines, stamp=_stamp(actor, act, key, now))


@business_act(result=StockSlip)
def bring_back(*, actor: Actor, act: ReturnAct, key: str, now: datetime) -> StockSlip:
    """Bring material back from a pour to the store, at the slab's average; refused when the slab has less."""
    pour = _open_pour(actor, pour_id=act.pour_id)
    site = pour.slab.site
    slip = _slip(Kind.RETURN, actor=actor, act=act, site=site, now=now)
    slip.pour, slip.given_to = pour, texts.fitting(act.given_to, most=120, field="given_to")
    move = _Move(places.slab(pour.slab), places.store(site), posting.Reason.RETURN)
    return _write(slip, move=move, lines=act.lines, stamp=_stamp(actor, act, key, now))


@business_act(result=StockSlip)
def waste(*, actor: Actor, act: WasteAct, key: str, now: datetime) -> StockSlip:
    """Record material as lost, from the store or from a pour's slab; refused without its cause."""
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    if not act.reason.strip():
        raise ReasonMissing(_("Say what happened to it: the cause stays on record."), field="reason")
    pour = None if act.pour_id is None else _open_pour(actor, pour_id=act.pour_id, site=site)
    slip = _slip(Kind.WASTE, actor=actor, act=act, site=site, now=now)
    slip.pour = pour
    source = places.store(site) if pour is None else places.slab(pour.slab)
    move = _Move(source, places.of_site(site, kind=Place.Kind.WASTE), posting.Reason.WASTE)
    return _write(slip, move=move, lines=act.lines, stamp=_stamp(actor, act, key, now))


@business_act(result=StockSlip)
def issue_elsewhere(*, actor: Actor, act: OtherWorkAct, key: str, now: datetime) -> StockSlip:
    """Issue material to other works of a site, at the store's average; it is cost of the site, of no slab.

    Refused without the works that it is for, when the store has less, and for a lot over age.
    """
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    if not act.works.strip():
        raise ReasonMissing(_("Say which works it is for, as “plaster, ground floor”."), field="works")
    slip = _slip(Kind.OTHER, actor=actor, act=act, site=site, now=now)
    slip.reason = texts.fitting(act.works, most=200, field="works")
    slip.given_to = texts.fitting(act.given_to, most=120, field="given_to")
    works = places.of_site(site, kind=Place.Kind.OTHER_WORK)
    move = _Move(places.store(site), works, posting.Reason.OTHER_WORK, old_lots_too=False)
    return _write(slip, move=move, lines=act.lines, stamp=_stamp(actor, act, key, now))


@business_act(result=StockSlip)
def reverse(*, actor: Actor, act: ReverseAct, key: str, now: datetime) -> StockSlip:
    """Take a slip back as a whole, at its original value.

    Refused without a reason, when it was taken back before, or when what it moved has moved on.
    """
    actor.require(Permission.MOVE_STOCK)
    reason = act.reason.strip()
    if not reason:
        raise ReasonMissing(_("Say why the slip is taken back; it stays on record."), field="reason")
    slip = scope.get(StockSlip.objects.select_for_update(of=("self",)), actor, pk=act.slip_id)
    if slip.reversed_at is not None:
        raise posting.AlreadyReversed(_("%(number)s was taken back before.") % {"number": slip.number})
    posting.reverse(of=slip, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    slip.reversed_at = now
    slip.reason = texts.fitting(f"{slip.reason} · {reason}".removeprefix(" · "), most=200, field="reason")
    slip.save(update_fields=["reversed_at", "reason"])
    replan.soon(actor.firm_id, now=now)
    return slip


_Act = IssueAct | ReturnAct | WasteAct | OtherWorkAct


def _stamp(actor: Actor, act: _Act, key: str, now: datetime) -> Stamp:
    when = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    return Stamp(actor=actor, happened_at=when, now=now, key=key)


def _open_pour(actor: Actor, *, pour_id: int, site: Site | None = None) -> Pour:
    lookup: dict[str, int | Site] = {"pk": pour_id} if site is None else {"pk": pour_id, "slab__site": site}
    rows = Pour.objects.select_for_update(of=("self",), no_key=True).select_related("slab__site")
    pour = scope.get(rows, actor, **lookup)
    if pour.state == Pour.State.CLOSED:
        message = _("%(pour)s is closed: its account no longer changes. Choose an open pour.")
        raise PourClosed(message % {"pour": pour}, field="pour_id")
    return pour


def _slip(kind: StockSlip.Kind, *, actor: Actor, act: _Act, site: Site, now: datetime) -> StockSlip:
    """Build the head of a slip once role, time and number of lines are in order."""
    actor.require(Permission.MOVE_STOCK)
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("A slip has between 1 and %(most)s lines; this one has %(count)s.")
        raise NoLines(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")
    return StockSlip(
        firm_id=actor.firm_id,
        site=site,
        kind=kind,
        reason="" if isinstance(act, OtherWorkAct) else texts.fitting(act.reason, most=200, field="reason"),
        happened_at=moments.settled(act.happened_at, now=now, sure=act.sure_of_time),
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )


def _write(slip: StockSlip, *, move: _Move, lines: Sequence[SlipLineAct], stamp: Stamp) -> StockSlip:
    rows, postings = [], []
    for n, line in enumerate(lines, start=1):
        with texts.at_line(n):
            rows.append(_line(line, position=n, slip=slip, move=move, actor=stamp.actor))
            postings.append(_posting(rows[-1], slip=slip, move=move, stamp=stamp))
    slip.number = numbers.next_number(firm_id=slip.firm_id, kind="SL", now=stamp.now)
    slip.save()
    for row in rows:
        row.slip = slip
    StockSlipLine.objects.bulk_create(rows)
    for movement in posting.post(postings, stamp=stamp):
        assert movement.slip_line is not None  # noqa: S101 - every posting above names its line
        movement.slip_line.value_minor += movement.value_minor
    StockSlipLine.objects.bulk_update(rows, ["value_minor"])
    replan.soon(slip.firm_id, now=stamp.now)
    return slip


def _line(line: SlipLineAct, *, position: int, slip: StockSlip, move: _Move, actor: Actor) -> StockSlipLine:
    material = scope.get(Material.objects.all(), actor, pk=line.material_id)
    measures.require_stocked(material)
    pack = None if line.pack_id is None else scope.get(Pack.objects.all(), actor, pk=line.pack_id)
    measure = measures.measure(material, pack=pack, unit=line.unit)
    return StockSlipLine(
        slip=slip,
        position=position,
        material=material,
        lot=None
        if line.lot_id is None
        else scope.get(Lot.objects.all(), actor, pk=line.lot_id, material=material),
        source=move.source,
        target=move.target,
        quantity=measures.stock_of(line.amount, measure=measure, field="amount"),
        value_minor=0,
    )


def _posting(row: StockSlipLine, *, slip: StockSlip, move: _Move, stamp: Stamp) -> Posting:
    made = Posting(
        material=row.material,
        lot=row.lot,
        source=row.source,
        target=row.target,
        quantity=row.quantity,
        reason=move.ledger_reason,
        pour=slip.pour,
        slip_line=row,
    )
    if move.old_lots_too:
        return made
    on_date = firm_days.of(stamp.happened_at, actor=stamp.actor)
    if row.lot is None:
        return replace(made, usable_on=on_date)
    lots.require_usable(row.lot, material=row.material, on_date=on_date)
    return made
