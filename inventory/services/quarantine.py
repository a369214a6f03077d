"""What waits until it has passed: held back, checked, released to the store, or sent back to its supplier."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.queries import standards
from inventory.calc import money
from inventory.models import LotStock, Place, PurchaseOrder, ReceiptCheck, ReceiptLine, Stock
from inventory.services import bill_lines, checks, measures, orders, places, posting, replan, texts
from inventory.services.checks import CheckAct
from inventory.services.posting import Posting, Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.services.acts import business_act


class NothingHeld(Stale):
    """Nothing of the line waits in quarantine."""

    code = "nothing_held"


class NothingLeft(Stale):
    """Nothing of the line is left in the store that could be held back."""

    code = "nothing_left"


class ReasonMissing(Refused):
    """Something is held, released or sent back without saying why."""

    code = "reason_missing"


class NoChecks(Refused):
    """Checks are recorded, and none is named."""

    code = "no_checks"


class TooMuch(Refused):
    """More is to go back than waits, or than no bill asks for yet."""

    code = "too_much"


@dataclass(frozen=True)
class ChecksAct:
    """Checks of a receipt line, made at the gate or later; what does not pass is held back."""

    line_id: int
    checks: tuple[CheckAct, ...]


@dataclass(frozen=True)
class HoldAct:
    """What is left of a receipt line in the store is held back, and why."""

    line_id: int
    reason: str


@dataclass(frozen=True)
class ReleaseAct:
    """What waits of a receipt line has passed: by which test, or on whose word."""

    line_id: int
    reason: str


@dataclass(frozen=True)
class SendBackAct:
    """What waits of a receipt line goes back: all of it, or an amount in the unit it was measured in."""

    line_id: int
    reason: str
    amount: Decimal | None = None


@business_act(result=ReceiptLine)
def check(*, actor: Actor, act: ChecksAct, key: str, now: datetime) -> ReceiptLine:
    """Record checks of what came; when one does not pass, what is left in the store waits in quarantine.

    Refused for a receipt taken back, without any check, and with `bad_check`. Earlier checks stay on record.
    """
    line = _line(actor, line_id=act.line_id)
    if not act.checks:
        raise NoChecks(_("No check is filled in. Say what was seen or read."), field="checks")
    profile = functools.cache(lambda: standards.of_firm(actor, profile_id=actor.profile))
    stamp = checks.Stamp(person_id=actor.person_id, at=now)
    rows = checks.rows(act.checks, material=line.material, profile=profile, stamp=stamp)
    for row in rows:
        row.line = line
    ReceiptCheck.objects.bulk_create(rows)
    why = checks.why_held(rows)
    if why and not line.held and _left(line):
        _hold(line, reason=why, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    return line


@business_act(result=ReceiptLine)
def hold(*, actor: Actor, act: HoldAct, key: str, now: datetime) -> ReceiptLine:
    """Hold back what is left of a line in the store; refused without a reason, and when nothing is left."""
    line = _line(actor, line_id=act.line_id)
    reason = _reason(act.reason)
    if not _left(line):
        message = _("Nothing of this %(material)s is left in the store to be held back.")
        raise NothingLeft(message % {"material": line.material.name})
    _hold(line, reason=reason, stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    return line


@business_act(result=ReceiptLine)
def release(*, actor: Actor, act: ReleaseAct, key: str, now: datetime) -> ReceiptLine:
    """Take what waits of a line into the store; refused without a reason, and when nothing waits."""
    line = _held_line(actor, line_id=act.line_id)
    reason = _reason(act.reason)
    site = line.receipt.site
    move = _posting(line, source=_quarantine(line), target=places.store(site), reason=posting.Reason.RELEASED)
    posting.post([move], stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    line.held = 0
    line.hold_reason = texts.fitting(f"{line.hold_reason} · {reason}"[-200:], most=200, field="reason")
    line.save(update_fields=["held", "hold_reason"])
    replan.soon(actor.firm_id, now=now)
    return line


@business_act(result=ReceiptLine)
def send_back(*, actor: Actor, act: SendBackAct, key: str, now: datetime) -> ReceiptLine:
    """Send back what waits of a line: it counts as rejected, and its order is open for it again.

    Refused without a reason, when nothing waits, above what waits (`too_much`), and when a supplier's bill
    already asks for it.
    """
    line = _held_line(actor, line_id=act.line_id)
    reason = _reason(act.reason)
    units = _units_of(line, amount=act.amount)
    order = _locked_order(line)
    supplier = places.of_site(line.receipt.site, kind=Place.Kind.SUPPLIER)
    move = _posting(
        line, source=_quarantine(line), target=supplier, reason=posting.Reason.SENT_BACK, quantity=units
    )
    posting.post([move], stamp=Stamp(actor=actor, happened_at=now, now=now, key=key))
    _reject(line, units=units, reason=reason)
    if order is not None:
        orders.note_receipt(order, now=now)
    replan.soon(actor.firm_id, now=now)
    return line


def _line(actor: Actor, *, line_id: int) -> ReceiptLine:
    actor.require(Permission.RECORD_RECEIPTS)
    rows = ReceiptLine.objects.select_for_update(of=("self",))
    rows = rows.select_related("material", "lot", "receipt__site", "receipt__supplier", "pack")
    line = scope.get(rows, actor, pk=line_id)
    if line.receipt.reversed_at is not None:
        number = line.receipt.number
        raise posting.AlreadyReversed(_("%(number)s was taken back before.") % {"number": number})
    return line


def _held_line(actor: Actor, *, line_id: int) -> ReceiptLine:
    line = _line(actor, line_id=line_id)
    if not line.held:
        message = _("Nothing of this %(material)s waits in quarantine.")
        raise NothingHeld(message % {"material": line.material.name})
    return line


def _reason(reason: str) -> str:
    found = texts.fitting(reason, most=150, field="reason")
    if not found:
        raise ReasonMissing(_("Say why; it stays on record beside the delivery."), field="reason")
    return found


def _quarantine(line: ReceiptLine) -> Place:
    return places.of_site(line.receipt.site, kind=Place.Kind.QUARANTINE)


def _left(line: ReceiptLine) -> int:
    """What of a line can still lie in the store: at most what came, and what lies there of its lot."""
    store = places.store(line.receipt.site)
    if line.lot_id is None:
        row = Stock.objects.filter(place=store, material_id=line.material_id).first()
        told_apart = LotStock.objects.filter(place=store, lot__material_id=line.material_id)
        there = (row.quantity if row else 0) - sum(told_apart.values_list("quantity", flat=True))
    else:
        lot_row = LotStock.objects.filter(place=store, lot_id=line.lot_id).first()
        there = lot_row.quantity if lot_row else 0
    return min(there, line.accepted - line.held)


def _hold(line: ReceiptLine, *, reason: str, stamp: Stamp) -> None:
    units = _left(line)
    store = places.store(line.receipt.site)
    move = _posting(line, source=store, target=_quarantine(line), reason=posting.Reason.HELD, quantity=units)
    posting.post([move], stamp=stamp)
    line.held += units
    line.hold_reason = reason
    line.save(update_fields=["held", "hold_reason"])
    replan.soon(stamp.actor.firm_id, now=stamp.now)


def _posting(
    line: ReceiptLine, *, source: Place, target: Place, reason: posting.Reason, quantity: int | None = None
) -> Posting:
    return Posting(
        material=line.material,
        lot=line.lot,
        source=source,
        target=target,
        quantity=line.held if quantity is None else quantity,
        reason=reason,
        receipt_line=line,
    )


def _units_of(line: ReceiptLine, *, amount: Decimal | None) -> int:
    """Stock units that go back; refused above what waits, and above what no bill asks for yet."""
    if amount is None:
        units = line.held
    else:
        thousandths = measures.thousandths(amount, field="amount")
        units = money.half_even(thousandths * line.stock_per_unit, denominator=1_000_000)
    if not 0 < units <= line.held:
        message = _("%(amount)s must be above 0 and at most what waits: %(held)s.")
        held = measures.words(line.material, quantity=line.held)
        params = {"amount": amount if amount is not None else 0, "held": held}
        raise TooMuch(message % params, field="amount")
    if units > bill_lines.unbilled(line):
        message = _("The supplier's bill for this delivery asks for it. Send that bill back first.")
        raise TooMuch(message, field="amount")
    return units


def _locked_order(line: ReceiptLine) -> PurchaseOrder | None:
    order_id = line.receipt.order_id
    if order_id is None:
        return None
    return PurchaseOrder.objects.select_for_update(of=("self",)).get(pk=order_id)


def _reject(line: ReceiptLine, *, units: int, reason: str) -> None:
    """Count a part of a line as rejected after all: its mass, bars and value go in proportion."""
    before = line.accepted
    thousandths = money.half_even(units * 1_000_000, denominator=line.stock_per_unit)
    line.rejected_thousandths = min(line.rejected_thousandths + thousandths, line.found_thousandths)
    line.accepted, line.held = before - units, line.held - units
    kept = {"numerator": line.accepted, "denominator": before}
    line.value_minor = _part(line.value_minor, **kept)
    line.mass_g = None if line.mass_g is None else _part(line.mass_g, **kept)
    line.bars = None if line.bars is None else _part(line.bars, **kept)
    line.dry_equivalent = None if line.dry_equivalent is None else _part(line.dry_equivalent, **kept)
    line.reject_reason = f"{line.reject_reason} · {reason}".removeprefix(" · ")[-200:]
    line.save()


def _part(whole: int, *, numerator: int, denominator: int) -> int:
    return money.half_even(whole * numerator, denominator=denominator)
