"""The only writer of the ledger: movements, value adjustments and, with them, the balance table.

Called inside another act's transaction. What leaves a place that holds stock carries its weighted average;
what comes from outside carries the value that is given. A place that can be touched never holds less than
nothing, in all and by lot.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.utils.translation import gettext as _

from estimates.models import Material
from inventory.calc import costing
from inventory.models import (
    Cut,
    Lot,
    Place,
    Receipt,
    ReceiptLine,
    StockCount,
    StockCountLine,
    StockSlip,
    StockSlipLine,
    Transfer,
    TransferLine,
)
from inventory.models.ledger import Movement, ValueAdjustment
from inventory.services import balance_table, lots, measures
from inventory.services.balance_table import Books
from inventory.services.lots import Heap
from projects.access.actor import Actor
from projects.errors import Refused, Stale
from projects.models import Pour

Reason = Movement.Reason


class NotEnoughStock(Refused):
    """More would leave a place than is there."""

    code = "not_enough_stock"
    status = 409


class AlreadyReversed(Stale):
    """The entry was taken back before."""

    code = "already_reversed"


@dataclass(frozen=True, kw_only=True)
class Posting:
    """A movement to make.

    `value_minor` is given when the source holds no stock of its own (supplier, opening, count difference).
    Without a lot the oldest go first; with `usable_on` lots that are over age on that day are passed over.
    A cut makes another lot of what it leaves: `becomes` is what the lot is from its arrival on.
    """

    material: Material
    source: Place
    target: Place
    quantity: int
    reason: Reason
    value_minor: int | None = None
    lot: Lot | None = None
    becomes: Lot | None = None
    usable_on: date | None = None
    pour: Pour | None = None
    receipt_line: ReceiptLine | None = None
    slip_line: StockSlipLine | None = None
    count_line: StockCountLine | None = None
    transfer_line: TransferLine | None = None
    cut: Cut | None = None


@dataclass(frozen=True, kw_only=True)
class Stamp:
    """Who writes, when it happened and when it is written, and the key of the act."""

    actor: Actor
    happened_at: datetime
    now: datetime
    key: str

    def key_of(self, n: int | str) -> str:
        """Name the n-th entry of the act; keys of two firms never meet."""
        return f"{self.actor.firm_id}:{self.key}:{n}"


def post(lines: Sequence[Posting], *, stamp: Stamp) -> list[Movement]:
    """Write movements and balances; refused with `not_enough_stock` when a source lacks what is asked."""
    books = balance_table.lock(
        (place.pk, line.material.pk) for line in lines for place in (line.source, line.target)
    )
    moved: list[Movement] = []
    for line in lines:
        for heap in _heaps(line, books=books):
            part = replace(line, lot=heap.lot, quantity=heap.quantity)
            moved.append(_move(part, books=books, stamp=stamp, n=len(moved)))
    Movement.objects.bulk_create(moved)
    books.save()
    return moved


def reverse(*, of: Receipt | StockSlip | StockCount | Cut | Transfer, stamp: Stamp) -> list[Movement]:
    """Take back every movement of a receipt, slip, count or cut, whole and at its original value.

    Refused with `already_reversed`, or with `not_enough_stock` when part of it has been used since. Value
    that a pool then holds without quantity, or lacks, moves on to where the material went, as adjustments.
    """
    originals = list(
        Movement.objects.filter(**{_ROADS[type(of)]: of}, reverses=None)
        .select_related("material", "source", "target", "lot", "becomes", "reversed_by")
        .order_by("-recorded_at", "-id")
    )
    if any(hasattr(original, "reversed_by") for original in originals):
        raise AlreadyReversed(_("%(number)s was taken back before.") % {"number": of.number})
    heirs = {(o.target_id, o.material_id): _heir(o) for o in originals if _guarded(o.target)}
    pairs = [(place_id, o.material_id) for o in originals for place_id in (o.source_id, o.target_id)]
    books = balance_table.lock([*pairs, *((heir.pk, pair[1]) for pair, heir in heirs.items())])
    moved: list[Movement] = []
    adjustments: list[ValueAdjustment] = []
    for n, original in enumerate(originals):
        move, stranded = _move_back(original, books=books, stamp=stamp, n=n)
        moved.append(move)
        if stranded:
            heir = heirs[original.target_id, original.material_id]
            adjustments += _pass_on(move, value=stranded, heir=heir, books=books, stamp=stamp)
    Movement.objects.bulk_create(moved)
    ValueAdjustment.objects.bulk_create(adjustments)
    books.save()
    return moved


_ROADS = {
    Receipt: "receipt_line__receipt",
    StockSlip: "slip_line__slip",
    StockCount: "count_line__count",
    Cut: "cut",
    Transfer: "transfer_line__transfer",
}
"""From a movement to the paper that is taken back as a whole."""


@dataclass(frozen=True, kw_only=True)
class Change:
    """A price difference found later that a place is to bear, in minor units of any sign."""

    place: Place
    material: Material
    value_minor: int


def adjust(changes: Sequence[Change], *, bearer: Place, source: str, stamp: Stamp) -> list[ValueAdjustment]:
    """Write price differences found later: what the places bear more, `bearer` gives, and the other way.

    A place that would hold a value below nothing, or value without stock, is spared: `bearer` keeps its part.
    """
    pairs = [(change.place.pk, change.material.pk) for change in changes]
    books = balance_table.lock([*pairs, *((bearer.pk, change.material.pk) for change in changes)])
    written: list[ValueAdjustment] = []
    for change in changes:
        if not change.value_minor or not _bears(change, books=books):
            continue
        for place, value in ((bearer, -change.value_minor), (change.place, change.value_minor)):
            books.add(place, material_id=change.material.pk, lot=None, quantity=0, value=value)
            written.append(
                ValueAdjustment(
                    firm_id=stamp.actor.firm_id,
                    place=place,
                    material=change.material,
                    value_minor=value,
                    source=source,
                    happened_at=stamp.happened_at,
                    recorded_at=stamp.now,
                    recorded_by_id=stamp.actor.person_id,
                    key=stamp.key_of(f"value:{len(written)}"),
                )
            )
    ValueAdjustment.objects.bulk_create(written)
    books.save()
    return written


def _bears(change: Change, *, books: Books) -> bool:
    if not _guarded(change.place):
        return True
    pool = books.pool(change.place, material_id=change.material.pk)
    return pool.quantity > 0 and pool.value + change.value_minor >= 0


def _guarded(place: Place) -> bool:
    return place.kind in Place.GUARDED


def _heaps(line: Posting, *, books: Books) -> list[Heap]:
    """Split what a posting takes by lot, oldest first; refuse when the source lacks it."""
    if not _guarded(line.source):
        return [Heap(line.lot, line.quantity)]
    there = books.heaps(line.source, material_id=line.material.pk)
    if line.lot is not None:
        there = [heap for heap in there if heap.lot == line.lot]
    fit = [heap for heap in there if not _too_old(heap, line=line)]
    taken = lots.take(lots.oldest_first(fit), quantity=line.quantity)
    if sum(heap.quantity for heap in taken) < line.quantity:
        _refuse(
            line, fit=sum(heap.quantity for heap in fit), old=sum(h.quantity for h in there if h not in fit)
        )
    return taken


def _too_old(heap: Heap, *, line: Posting) -> bool:
    if line.usable_on is None:
        return False
    return lots.blocked(heap.lot, material=line.material, on_date=line.usable_on)


def _refuse(line: Posting, *, fit: int, old: int) -> None:
    there = measures.words(line.material, quantity=fit)
    asked = measures.words(line.material, quantity=line.quantity)
    params = {"there": there, "asked": asked, "material": line.material.name, "place": line.source}
    if line.source.kind == Place.Kind.STORE:
        message = _(
            "There are %(there)s of %(material)s in the store; you asked for %(asked)s. "
            "Count the store or record the delivery first."
        )
    else:
        message = _("There are %(there)s of %(material)s at %(place)s; you asked for %(asked)s.")
    text = message % params
    if old:
        more = _("Another %(old)s are blocked: over age.")
        text = f"{text} {more % {'old': measures.words(line.material, quantity=old)}}"
    raise NotEnoughStock(
        text,
        field="amount",
        line=line.slip_line.position if line.slip_line else None,
        material=line.material.code,
        there=fit,
        asked=line.quantity,
        over_age=old,
        unit=line.material.stock_unit,
    )


def _move(line: Posting, *, books: Books, stamp: Stamp, n: int) -> Movement:
    material_id = line.material.pk
    if _guarded(line.source):
        pool = books.pool(line.source, material_id=material_id)
        _left, value = costing.issue(pool, quantity=line.quantity)
    elif line.value_minor is None:
        raise ValueError(f"movement from {line.source} needs a value: {line.source.kind} holds no stock")
    else:
        value = line.value_minor
    move = Movement(
        material=line.material,
        lot=line.lot,
        becomes=line.becomes,
        source=line.source,
        target=line.target,
        quantity=line.quantity,
        value_minor=value,
        reason=line.reason,
        pour=line.pour,
        receipt_line=line.receipt_line,
        slip_line=line.slip_line,
        count_line=line.count_line,
        transfer_line=line.transfer_line,
        cut=line.cut,
    )
    return _written(move, books=books, stamp=stamp, n=n)


def _written(move: Movement, *, books: Books, stamp: Stamp, n: int) -> Movement:
    move.firm_id = stamp.actor.firm_id
    move.happened_at = stamp.happened_at
    move.recorded_at = stamp.now
    move.recorded_by_id = stamp.actor.person_id
    move.key = stamp.key_of(n)
    for place, lot, sign in ((move.source, move.lot, -1), (move.target, move.becomes or move.lot, 1)):
        books.add(
            place,
            material_id=move.material_id,
            lot=lot,
            quantity=sign * move.quantity,
            value=sign * move.value_minor,
        )
    return move


def _move_back(original: Movement, *, books: Books, stamp: Stamp, n: int) -> tuple[Movement, int]:
    """Build the reversal of a movement; with it the value that its pool is left with and cannot hold."""
    stranded = 0
    lot = original.becomes or original.lot
    if _guarded(original.target):
        there = books.heaps(original.target, material_id=original.material_id)
        of_lot = sum(heap.quantity for heap in there if heap.lot == lot)
        if of_lot < original.quantity:
            _refuse_reversal(original, there=of_lot)
        pool = books.pool(original.target, material_id=original.material_id)
        _left, stranded = costing.withdraw(pool, quantity=original.quantity, value=original.value_minor)
    move = Movement(
        material=original.material,
        lot=lot,
        becomes=original.lot if original.becomes_id else None,
        source=original.target,
        target=original.source,
        quantity=original.quantity,
        value_minor=original.value_minor,
        reason=Reason.REVERSAL,
        pour_id=original.pour_id,
        receipt_line_id=original.receipt_line_id,
        slip_line_id=original.slip_line_id,
        count_line_id=original.count_line_id,
        transfer_line_id=original.transfer_line_id,
        cut_id=original.cut_id,
        reverses=original,
    )
    return _written(move, books=books, stamp=stamp, n=n), stranded


def _refuse_reversal(original: Movement, *, there: int) -> None:
    message = _(
        "Of these %(quantity)s of %(material)s only %(there)s are still at %(place)s. "
        "Take back what was issued from it first."
    )
    params = {
        "quantity": measures.words(original.material, quantity=original.quantity),
        "material": original.material.name,
        "there": measures.words(original.material, quantity=there),
        "place": original.target,
    }
    raise NotEnoughStock(
        message % params,
        material=original.material.code,
        there=there,
        asked=original.quantity,
        unit=original.material.stock_unit,
    )


def _heir(original: Movement) -> Place:
    """Find where the stock of a movement's target went last: it bears what the pool cannot hold."""
    last = (
        Movement.objects.filter(source_id=original.target_id, material_id=original.material_id)
        .exclude(reason=Reason.REVERSAL)
        .filter(reversed_by=None)
        .select_related("target")
        .order_by("-recorded_at", "-id")
        .first()
    )
    return original.source if last is None else last.target


def _pass_on(
    move: Movement, *, value: int, heir: Place, books: Books, stamp: Stamp
) -> Iterable[ValueAdjustment]:
    """Move value from a pool that cannot hold it to its heir; the two adjustments add up to nothing."""
    if _guarded(heir):
        pool = books.pool(heir, material_id=move.material_id)
        if pool.quantity == 0 or pool.value + value < 0:
            heir = move.target
    for place, change in ((move.source, -value), (heir, value)):
        books.add(place, material_id=move.material_id, lot=None, quantity=0, value=change)
        yield ValueAdjustment(
            firm_id=stamp.actor.firm_id,
            place=place,
            material_id=move.material_id,
            value_minor=change,
            source=_("price variance left by taking back %(key)s") % {"key": move.key},
            happened_at=stamp.happened_at,
            recorded_at=stamp.now,
            recorded_by_id=stamp.actor.person_id,
            key=f"{move.key}:{'from' if change == -value else 'to'}",
        )
