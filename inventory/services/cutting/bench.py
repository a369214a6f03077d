"""At the bench: bars of a pattern are cut in one tap, and taken back as a whole when that was wrong."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import F
from django.utils.translation import gettext as _

from inventory.models import (
    Cut,
    CutBar,
    CuttingPattern,
    CuttingPlan,
    Lot,
    LotStock,
    PatternPiece,
    Place,
    Reservation,
)
from inventory.queries.cutting import bars, pieces
from inventory.services import firm_days, moments, places, posting, replan, texts
from inventory.services.cutting import reserving
from inventory.services.posting import Posting, Reason, Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.services import numbers
from projects.services.acts import business_act

State = CuttingPlan.State
Origin = CuttingPattern.Origin


class TickedMeanwhile(Stale):
    """Somebody else has ticked bars of the pattern since the page was loaded."""

    code = "ticked_meanwhile"


class TooManyBars(Refused):
    """More bars than the pattern still asks for, or none."""

    code = "too_many_bars"


class BarsGone(Stale):
    """Bars or offcuts that the plan counts on were used elsewhere; nothing was moved."""

    code = "bars_gone"


class PiecesGone(Stale):
    """Pieces of the cut are no longer at the bench."""

    code = "pieces_gone"


class OffcutPromised(Stale):
    """An offcut of the cut is reserved by another plan."""

    code = "offcut_promised"


@dataclass(frozen=True)
class CutAct:
    """Bars of a pattern that were cut; `done_before` is how many were ticked on the page that was read.

    `sure_of_time` answers the question about a time long ago.
    """

    pattern_id: int
    bars: int
    done_before: int
    happened_at: datetime | None = None
    sure_of_time: bool = False


@dataclass(frozen=True)
class UndoAct:
    """A cut that was ticked by mistake, and why."""

    cut_id: int
    reason: str


@dataclass(frozen=True)
class _Taken:
    """Bars of one lot out of one store."""

    place: Place
    lot: Lot
    bars: int
    reservation: Reservation | None


@business_act(result=Cut)
def cut(*, actor: Actor, act: CutAct, key: str, now: datetime) -> Cut:
    """Move bars from store to bench, offcuts back to store as lots of their own, and what is lost to waste.

    The pieces lie at the bench until they are issued. Refused with `ticked_meanwhile` when somebody ticked
    first, `too_many_bars`, or `bars_gone` when what was reserved is not there any more; nothing moves then.
    """
    actor.require(Permission.MOVE_STOCK)
    rows = CuttingPattern.objects.select_related("plan", "material")
    pattern = scope.get(rows, actor, pk=act.pattern_id)
    plan = reserving.locked(actor, plan_id=pattern.plan_id)
    reserving.require_state(plan, State.RESERVED, State.DONE)
    pattern.refresh_from_db(fields=["done"])
    _require_bars(act, pattern=pattern)
    taken = _taken(pattern, plan=plan, wanted=act.bars)
    happened_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    lost = pattern.blade_mm + (0 if pattern.rest_kept else pattern.rest_mm)
    row = Cut.objects.create(
        pattern=pattern,
        bars=act.bars,
        happened_at=happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
        scrap_mm=lost * act.bars,
    )
    CutBar.objects.bulk_create(
        CutBar(cut=row, place=one.place, lot=one.lot, bars=one.bars, reserved=one.reservation is not None)
        for one in taken
    )
    stamp = Stamp(actor=actor, happened_at=happened_at, now=now, key=key)
    posting.post(_moves(row, taken=taken, plan=plan, lost=lost, stamp=stamp), stamp=stamp)
    _note_used(taken)
    _set_done(pattern, done=pattern.done + act.bars, plan=plan, now=now)
    replan.soon(actor.firm_id, now=now)
    return row


@business_act(result=Cut)
def undo(*, actor: Actor, act: UndoAct, key: str, now: datetime) -> Cut:
    """Take a cut back: bars lie in their stores again, its offcuts are gone, the pattern is open.

    Refused without a reason, when it was taken back before, when its pieces were issued (`pieces_gone`), or
    when an offcut of it was used or is promised to another plan.
    """
    actor.require(Permission.MOVE_STOCK)
    reason = act.reason.strip()
    if not reason:
        raise reserving.ReasonMissing(_("Say what was wrong; it stays on record."), field="reason")
    row = scope.get(Cut.objects.select_related("pattern__material"), actor, pk=act.cut_id)
    plan = reserving.locked(actor, plan_id=row.pattern.plan_id)
    row.refresh_from_db(fields=["reversed_at"])
    row.pattern.refresh_from_db(fields=["done"])
    if row.reversed_at is not None:
        message = _("Pattern %(number)s: this was taken back before.")
        raise posting.AlreadyReversed(message % {"number": row.pattern.position})
    reserving.require_state(plan, State.RESERVED, State.DONE, State.CANCELLED)
    _require_pieces(row, plan=plan)
    _require_offcuts_free(row, actor=actor)
    posting.reverse(of=row, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    row.reversed_at = now
    row.reverse_reason = texts.fitting(reason, most=200, field="reason")
    row.save(update_fields=["reversed_at", "reverse_reason"])
    for one in row.taken.filter(reserved=True):
        mine = Reservation.objects.filter(plan=plan, place_id=one.place_id, lot_id=one.lot_id)
        mine.update(used=F("used") - one.bars)
    _set_done(row.pattern, done=row.pattern.done - row.bars, plan=plan, now=now)
    replan.soon(actor.firm_id, now=now)
    return row


def _require_bars(act: CutAct, *, pattern: CuttingPattern) -> None:
    left = pattern.bars - pattern.done
    if act.done_before != pattern.done:
        message = _(
            "Somebody ticked this pattern just now: %(done)s of %(bars)s bars are cut. Look before you tick."
        )
        params = {"done": pattern.done, "bars": pattern.bars}
        raise TickedMeanwhile(message % params, field="bars", **params)
    if not 0 < act.bars <= left:
        message = _("Pattern %(number)s has %(left)s bars left to cut; you ticked %(bars)s.")
        params = {"number": pattern.position, "left": left, "bars": act.bars}
        raise TooManyBars(message % params, field="bars", **params)


def _taken(pattern: CuttingPattern, *, plan: CuttingPlan, wanted: int) -> list[_Taken]:
    """Choose the bars to cut: what the plan reserved, or bars that were bought for it since."""
    if pattern.origin == Origin.BUY:
        found = _bought(pattern, plan=plan, wanted=wanted)
    else:
        found = _promised(pattern, plan=plan, wanted=wanted)
    missing = wanted - sum(one.bars for one in found)
    if missing:
        _refuse_gone(pattern, missing=missing)
    return found


def _promised(pattern: CuttingPattern, *, plan: CuttingPlan, wanted: int) -> list[_Taken]:
    rows = Reservation.objects.filter(
        plan=plan,
        lot__material=pattern.material,
        lot__bar_length_mm=pattern.bar_length_mm,
        lot__offcut_since__isnull=pattern.origin == Origin.BAR,
        bars__gt=F("used"),
    )
    found = []
    for row in rows.select_related("lot__material", "place__site").order_by("id"):
        there = _whole_bars(row.place, lot=row.lot)
        part = min(row.bars - row.used, there, wanted)
        if part:
            found.append(_Taken(place=row.place, lot=row.lot, bars=part, reservation=row))
            wanted -= part
    return found


def _bought(pattern: CuttingPattern, *, plan: CuttingPlan, wanted: int) -> list[_Taken]:
    """Take bars of this length that came into the bench's store and that no plan has reserved."""
    promised = bars.reserved(firm_id=plan.firm_id)
    rows = LotStock.objects.filter(
        place__site=plan.site,
        place__kind=Place.Kind.STORE,
        lot__material=pattern.material,
        lot__bar_length_mm=pattern.bar_length_mm,
        lot__offcut_since=None,
        quantity__gte=pattern.bar_length_mm,
    )
    found = []
    for row in rows.select_related("lot__material", "place__site").order_by("lot__made_date", "lot_id"):
        free = row.quantity // pattern.bar_length_mm - promised.get((row.place_id, row.lot_id), 0)
        part = min(free, wanted)
        if part > 0:
            found.append(_Taken(place=row.place, lot=row.lot, bars=part, reservation=None))
            wanted -= part
    return found


def _whole_bars(place: Place, *, lot: Lot) -> int:
    quantity = LotStock.objects.filter(place=place, lot=lot).values_list("quantity", flat=True).first() or 0
    return quantity // lot.bar_length_mm


def _refuse_gone(pattern: CuttingPattern, *, missing: int) -> None:
    if pattern.origin == Origin.BUY:
        message = _(
            "%(missing)s bars of %(length)s mm of %(material)s have still to be bought. "
            "Record their receipt first; nothing was moved."
        )
    else:
        message = _(
            "%(missing)s bars of %(length)s mm of %(material)s are no longer where the plan reserved them: "
            "somebody used them. Nothing was moved. Count the store, or make a new plan for what is left."
        )
    params = {"missing": missing, "length": pattern.bar_length_mm, "material": pattern.material.name}
    raise BarsGone(message % params, field="bars", **params)


def _moves(row: Cut, *, taken: Iterable[_Taken], plan: CuttingPlan, lost: int, stamp: Stamp) -> list[Posting]:
    """Say what moves: bar to bench, and from there what is kept and what is lost; the pieces stay."""
    pattern = row.pattern
    bench = places.of_site(plan.site, kind=Place.Kind.BENCH)
    waste = places.of_site(plan.site, kind=Place.Kind.WASTE)
    store = places.store(plan.site)

    def posting_of(one: _Taken, *, ends: tuple[Place, Place], length: int, reason: Reason) -> Posting:
        return Posting(
            material=pattern.material,
            lot=one.lot,
            source=ends[0],
            target=ends[1],
            quantity=length * one.bars,
            reason=reason,
            cut=row,
        )

    moves = [
        posting_of(one, ends=(one.place, bench), length=pattern.bar_length_mm, reason=Reason.CUT)
        for one in taken
    ]
    for one in taken:
        if pattern.rest_kept:
            rest = _offcut(row, of=one.lot, length=pattern.rest_mm, stamp=stamp)
            back = posting_of(one, ends=(bench, store), length=pattern.rest_mm, reason=Reason.CUT)
            moves.append(replace(back, becomes=rest))
        if lost:
            moves.append(posting_of(one, ends=(bench, waste), length=lost, reason=Reason.WASTE))
    return moves


def _offcut(row: Cut, *, of: Lot, length: int, stamp: Stamp) -> Lot:
    """Make the lot that the rests of one lot are: of its heat and supplier, found by a number of its own."""
    return Lot.objects.create(
        firm_id=of.firm_id,
        material=of.material,
        supplier_id=of.supplier_id,
        label=numbers.next_number(firm_id=of.firm_id, kind="OC", now=stamp.now),
        made_date=of.made_date,
        measured_mg_per_mm=of.measured_mg_per_mm,
        bar_length_mm=length,
        offcut_since=firm_days.of(stamp.happened_at, actor=stamp.actor),
        offcut_of=of,
        cut=row,
    )


def _note_used(taken: Iterable[_Taken]) -> None:
    for one in taken:
        if one.reservation is not None:
            one.reservation.used += one.bars
            one.reservation.save(update_fields=["used"])


def _set_done(pattern: CuttingPattern, *, done: int, plan: CuttingPlan, now: datetime) -> None:
    pattern.done = done
    pattern.save(update_fields=["done"])
    if plan.state == State.CANCELLED:
        return
    open_ones = CuttingPattern.objects.filter(plan=plan, done__lt=F("bars")).exists()
    plan.state = State.RESERVED if open_ones else State.DONE
    plan.ended_at = None if open_ones else now
    plan.save(update_fields=["state", "ended_at"])


def _require_pieces(row: Cut, *, plan: CuttingPlan) -> None:
    """Refuse when pieces of the cut have left the bench: what remains there must be as many as it made."""
    at_bench = pieces.at_bench(plan_id=plan.pk)
    for piece in PatternPiece.objects.filter(pattern=row.pattern).select_related("need"):
        there = at_bench.get(piece.need_id, 0)
        if there < piece.per_bar * row.bars:
            message = _(
                "Of mark %(mark)s only %(there)s pieces are still at the bench; this cut made %(made)s. "
                "Take the issue back first."
            )
            made = piece.per_bar * row.bars
            params = {"mark": piece.need.mark, "there": there, "made": made}
            raise PiecesGone(message % params, mark=piece.need.mark, there=there)


def _require_offcuts_free(row: Cut, *, actor: Actor) -> None:
    promised = bars.reserved(firm_id=actor.firm_id)
    for lot in row.offcuts.all():
        if any(lot_id == lot.pk for _place, lot_id in promised):
            message = _("Offcut %(label)s is reserved by another plan. End that plan first.")
            raise OffcutPromised(message % {"label": lot.label}, lot=lot.label)
