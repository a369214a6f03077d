"""Transfers between stores: dispatched, received by count, what was lost on the road with its owner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.calc import bill_match
from inventory.models import Lot, Place, Transfer, TransferLine
from inventory.queries import on_road
from inventory.services import lots, measures, moments, places, posting, replan, texts
from inventory.services.lots import Heap
from inventory.services.posting import Change, Posting, Stamp
from inventory.services.usage import MOST_LINES, NoLines, SlipLineAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Person, Site
from projects.services import numbers
from projects.services.acts import business_act

MOST_MINOR = 10**15
State = Transfer.State


class SameSite(Refused):
    """A transfer from a store to itself."""

    code = "same_site"


class NotOnRoad(Stale):
    """The transfer was received or called back before."""

    code = "not_on_road"


class BadArrival(Refused):
    """More arrived than was sent, a line is missing, or a loss has no reason."""

    code = "bad_arrival"


@dataclass(frozen=True, kw_only=True)
class DispatchAct:
    """Material that leaves a store for another one; without a time it is now. Freight in minor units.

    `sure_of_time` answers the question about a time long ago.
    """

    from_site_id: int
    to_site_id: int
    happened_at: datetime | None
    lines: tuple[SlipLineAct, ...]
    vehicle: str = ""
    freight_minor: int = 0
    remark: str = ""
    sure_of_time: bool = False


@dataclass(frozen=True, kw_only=True)
class ArrivedLineAct:
    """What was found of a line at its arrival, in packs when a pack is named, else in the unit."""

    line_id: int
    found: Decimal
    pack_id: int | None = None
    unit: str = ""
    lost_reason: str = ""


@dataclass(frozen=True, kw_only=True)
class ArrivalAct:
    """A transfer as it arrived: every line, counted; without a time it is now.

    `loss_owner_id` is who clears up what was lost; left out, who sent it. `sure_of_time` answers the question
    about a time long ago.
    """

    transfer_id: int
    happened_at: datetime | None
    lines: tuple[ArrivedLineAct, ...]
    loss_owner_id: int | None = None
    sure_of_time: bool = False


@dataclass(frozen=True)
class CallBackAct:
    """A transfer that never left, or came back whole, and why."""

    transfer_id: int
    reason: str


@business_act(result=Transfer)
def dispatch(*, actor: Actor, act: DispatchAct, key: str, now: datetime) -> Transfer:
    """Send material from a store to another one: it is on the road until it is received there.

    Refused when the store has less (`not_enough_stock`), from a site to itself, and from another's site.
    """
    actor.require(Permission.MOVE_STOCK)
    origin = scope.get(Site.objects.all(), actor, pk=act.from_site_id)
    target = scope.get(Site.objects.all(), replace(actor, site_ids=None), pk=act.to_site_id)
    _require_head(act, origin=origin, target=target)
    happened_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    transfer = Transfer(
        firm_id=actor.firm_id,
        number=numbers.next_number(firm_id=actor.firm_id, kind="TR", now=now),
        from_site=origin,
        to_site=target,
        vehicle=texts.fitting(act.vehicle, most=30, field="vehicle"),
        freight_minor=act.freight_minor,
        dispatched_at=happened_at,
        dispatched_by_id=actor.person_id,
        recorded_at=now,
        remark=texts.fitting(act.remark, most=400, field="remark"),
    )
    rows = []
    for position, line in enumerate(act.lines, start=1):
        with texts.at_line(position):
            rows.append(_line(line, position=position, transfer=transfer, actor=actor))
    transfer.save()
    _send(rows, transfer=transfer, stamp=Stamp(actor=actor, happened_at=happened_at, now=now, key=key))
    replan.soon(actor.firm_id, now=now)
    return transfer


@business_act(result=Transfer)
def receive(*, actor: Actor, act: ArrivalAct, key: str, now: datetime) -> Transfer:
    """Take a transfer into the store as it was found; what is missing is a loss on the road, with its owner.

    Refused when it is not on the road, a line is not counted, more is found than was sent, or a loss has no
    reason. Better done by another person than the sender; the same one is allowed and marked.
    """
    actor.require(Permission.MOVE_STOCK)
    transfer = _on_road(actor, transfer_id=act.transfer_id)
    scope.get(Site.objects.all(), actor, pk=transfer.to_site_id)
    lines = _counted(act, transfer=transfer, actor=actor)
    transfer.state = State.RECEIVED
    transfer.received_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    transfer.received_by_id = actor.person_id
    transfer.by_one_person = actor.person_id == transfer.dispatched_by_id
    if any(line.found != line.sent for line in lines):
        transfer.loss_owner = _loss_owner(act, transfer=transfer, actor=actor)
    transfer.save()
    TransferLine.objects.bulk_update(lines, ["found", "lost_reason"])
    stamp = Stamp(actor=actor, happened_at=transfer.received_at, now=now, key=key)
    _take_in(lines, transfer=transfer, stamp=stamp)
    _bear_freight(lines, transfer=transfer, stamp=stamp)
    replan.soon(actor.firm_id, now=now)
    return transfer


@business_act(result=Transfer)
def call_back(*, actor: Actor, act: CallBackAct, key: str, now: datetime) -> Transfer:
    """Take a transfer back that is on the road: its stock is in the first store again, at its value.

    Refused without a reason, or when it was received.
    """
    actor.require(Permission.MOVE_STOCK)
    transfer = _on_road(actor, transfer_id=act.transfer_id)
    scope.get(Site.objects.all(), actor, pk=transfer.from_site_id)
    reason = act.reason.strip()
    if not reason:
        raise BadArrival(_("Say why the transfer is called back; it stays on record."), field="reason")
    posting.reverse(of=transfer, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    transfer.state = State.CALLED_BACK
    remark = f"{transfer.remark} · {reason}".removeprefix(" · ")
    transfer.remark = texts.fitting(remark, most=400, field="reason")
    transfer.save(update_fields=["state", "remark"])
    replan.soon(actor.firm_id, now=now)
    return transfer


def _require_head(act: DispatchAct, *, origin: Site, target: Site) -> None:
    if origin.pk == target.pk:
        message = _("A transfer goes to another site; %(site)s has the material already.")
        raise SameSite(message % {"site": origin.name}, field="to_site_id")
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("A transfer has between 1 and %(most)s lines; this one has %(count)s.")
        raise NoLines(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")
    if not 0 <= act.freight_minor <= MOST_MINOR:
        message = _("Freight of %(freight)s must lie between 0 and %(most)s minor units.")
        params = {"freight": act.freight_minor, "most": MOST_MINOR}
        raise measures.BadQuantity(message % params, field="freight_minor")


def _line(act: SlipLineAct, *, position: int, transfer: Transfer, actor: Actor) -> TransferLine:
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    measures.require_stocked(material)
    pack = None if act.pack_id is None else scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    measure = measures.measure(material, pack=pack, unit=act.unit)
    lot = (
        None if act.lot_id is None else scope.get(Lot.objects.all(), actor, pk=act.lot_id, material=material)
    )
    sent = measures.stock_of(act.amount, measure=measure, field="amount")
    return TransferLine(transfer=transfer, position=position, material=material, lot=lot, sent=sent)


def _send(rows: Sequence[TransferLine], *, transfer: Transfer, stamp: Stamp) -> None:
    for row in rows:
        row.transfer = transfer
    TransferLine.objects.bulk_create(rows)
    road = places.of_site(transfer.to_site, kind=Place.Kind.IN_TRANSIT)
    moves = [
        Posting(
            material=row.material,
            lot=row.lot,
            source=places.store(transfer.from_site),
            target=road,
            quantity=row.sent,
            reason=posting.Reason.DISPATCH,
            transfer_line=row,
        )
        for row in rows
    ]
    for movement in posting.post(moves, stamp=stamp):
        assert movement.transfer_line is not None  # noqa: S101 - every posting above names its line
        movement.transfer_line.value_minor += movement.value_minor
    TransferLine.objects.bulk_update(rows, ["value_minor"])


def _on_road(actor: Actor, *, transfer_id: int) -> Transfer:
    rows = Transfer.objects.select_for_update(of=("self",)).select_related("from_site", "to_site")
    transfer: Transfer = scope.get(rows, actor, pk=transfer_id)
    if transfer.state != State.ON_ROAD:
        message = _("Transfer %(number)s is not on the road any more: it is %(state)s.")
        raise NotOnRoad(message % {"number": transfer.number, "state": transfer.get_state_display()})
    return transfer


def _counted(act: ArrivalAct, *, transfer: Transfer, actor: Actor) -> list[TransferLine]:
    acts = {line.line_id: line for line in act.lines}
    rows = list(transfer.lines.select_related("material").order_by("position"))
    if len(acts) != len(act.lines) or acts.keys() != {row.pk for row in rows}:
        message = _("Count every line of %(number)s once: it has %(lines)s. What did not come is found as 0.")
        params = {"number": transfer.number, "lines": len(rows)}
        raise BadArrival(message % params, field="lines")
    for position, row in enumerate(rows, start=1):
        with texts.at_line(position):
            _count(row, act=acts[row.pk], actor=actor)
    return rows


def _count(row: TransferLine, *, act: ArrivedLineAct, actor: Actor) -> None:
    pack = None if act.pack_id is None else scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    measure = measures.measure(row.material, pack=pack, unit=act.unit)
    row.found = measures.bounded(measure.stock(measures.thousandths(act.found, field="found")), field="found")
    row.lost_reason = texts.fitting(act.lost_reason, most=200, field="lost_reason")
    sent = measures.words(row.material, quantity=row.sent)
    if row.found > row.sent:
        message = _("%(sent)s of %(material)s were sent, and more is found. Count again, or the first store.")
        raise BadArrival(message % {"sent": sent, "material": row.material.name}, field="found")
    if row.found < row.sent and not row.lost_reason:
        message = _("%(sent)s of %(material)s were sent. Say what happened to the rest.")
        raise BadArrival(message % {"sent": sent, "material": row.material.name}, field="lost_reason")


def _loss_owner(act: ArrivalAct, *, transfer: Transfer, actor: Actor) -> Person | None:
    if act.loss_owner_id is None:
        return transfer.dispatched_by
    return scope.get(Person.objects.all(), actor, pk=act.loss_owner_id)


def _take_in(lines: Sequence[TransferLine], *, transfer: Transfer, stamp: Stamp) -> None:
    road = places.of_site(transfer.to_site, kind=Place.Kind.IN_TRANSIT)
    store = places.store(transfer.to_site)
    lost_at = places.of_site(transfer.to_site, kind=Place.Kind.WASTE)
    moves = []
    for line in lines:
        sent = [Heap(lot, quantity) for lot, quantity in on_road.heaps(line)]
        found = lots.take(lots.oldest_first(sent), quantity=line.found or 0)
        arrived = {heap.lot: heap.quantity for heap in found}
        for heap in sent:
            come = arrived.get(heap.lot, 0)
            parts = (
                (store, come, posting.Reason.ARRIVAL),
                (lost_at, heap.quantity - come, posting.Reason.WASTE),
            )
            moves += [
                Posting(
                    material=line.material,
                    lot=heap.lot,
                    source=road,
                    target=target,
                    quantity=quantity,
                    reason=reason,
                    transfer_line=line,
                )
                for target, quantity, reason in parts
                if quantity
            ]
    posting.post(moves, stamp=stamp)


def _bear_freight(lines: Sequence[TransferLine], *, transfer: Transfer, stamp: Stamp) -> None:
    """Let what arrived bear the freight, by value; when nothing has value, by line."""
    arrived = [line for line in lines if line.found]
    if not transfer.freight_minor or not arrived:
        return
    weights = [line.value_minor for line in arrived]
    shares = bill_match.spread(
        transfer.freight_minor, weights=weights if any(weights) else [1] * len(arrived)
    )
    store = places.store(transfer.to_site)
    posting.adjust(
        [
            Change(place=store, material=line.material, value_minor=share)
            for line, share in zip(arrived, shares, strict=True)
        ],
        bearer=places.of_site(transfer.to_site, kind=Place.Kind.SUPPLIER),
        source=_("freight of %(number)s") % {"number": transfer.number},
        stamp=Stamp(
            actor=stamp.actor, happened_at=stamp.happened_at, now=stamp.now, key=f"{stamp.key}:freight"
        ),
    )
