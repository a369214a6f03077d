"""Counts of a store: what was found is asserted, and the difference to the book is an entry of its own.

For material that is used by count, what is missing after a pour is that pour's use.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from estimates.queries import standards
from inventory.calc import count
from inventory.calc.count import Outcome
from inventory.models import StockCount, StockCountLine
from inventory.queries import counts as heap_rows
from inventory.queries import left_over
from inventory.services import count_book, measures, moments, replan, texts
from inventory.services.count_book import Counted
from inventory.services.posting import Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Pour, Role, Site
from projects.services import numbers, pours
from projects.services.acts import business_act

MOST_LINES = 200
TOLERANCE = "counting.tolerance"
BASIS_POINTS = 100
"""In one percent."""


class NoLines(Refused):
    """A count of nothing, of too much, or of a material twice."""

    code = "no_lines"


class Unexplained(Refused):
    """What was found differs from the book, and nobody has said why."""

    code = "unexplained"
    status = 409


class RecountAsked(Refused):
    """What was found lies far from the book; the book's figure is not told before it is counted again."""

    code = "recount_asked"
    status = 409


class HeapMissing(Refused):
    """A heap that the pour was made from was not measured."""

    code = "heap_missing"


class MoreThanBook(Stale):
    """A heap holds more than was ever recorded as delivered."""

    code = "more_than_book"


@dataclass(frozen=True)
class CountLineAct:
    """What was found of a material, in packs when a pack is named, else in the unit."""

    material_id: int
    found: Decimal
    pack_id: int | None = None
    unit: str = ""
    explanation: str = ""


@dataclass(frozen=True)
class CountAct:
    """A count of some materials of a site's store; without a time it is now.

    `recounted` says that what lay far from the book was counted twice.
    """

    site_id: int
    happened_at: datetime | None
    lines: tuple[CountLineAct, ...]
    remark: str = ""
    recounted: bool = False
    sure_of_time: bool = False


class SteelLeft(Refused):
    """Bars beyond the bill are still on the pour's account."""

    code = "steel_left"
    status = 409


@dataclass(frozen=True)
class CloseAct:
    """A pour to close, with the heaps as measured after it.

    `steel_reason` says why steel beyond the bill stays where it is; it is kept in the record of acts.
    """

    pour_id: int
    happened_at: datetime | None
    heaps: tuple[CountLineAct, ...] = ()
    remark: str = ""
    steel_reason: str = ""


@business_act(result=StockCount)
def record(*, actor: Actor, act: CountAct, key: str, now: datetime) -> StockCount:
    """Record a count against the book at the time of counting.

    What is missing of a heap since the last count goes to the pours placed in between; every other difference
    goes to or comes from the count difference, at the store's average. Refused with `recount_asked` while a
    figure beyond the firm's tolerance was counted once, and with `unexplained` while a difference has no
    explanation. What lies beyond the tolerance waits for a second person who may approve it.
    """
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    happened_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    made = _write(
        act.lines,
        site=site,
        stamp=Stamp(actor=actor, happened_at=happened_at, now=now, key=key),
        closing=None,
        remark=act.remark,
        recounted=act.recounted,
    )
    replan.soon(actor.firm_id, now=now)
    return made


@business_act(result=Pour)
def close_pour(*, actor: Actor, act: CloseAct, key: str, now: datetime) -> Pour:
    """Close a pour: what its heaps have lost is posted as use, in proportion to what the bill says.

    Refused when a heap of the pour's bill was not measured, or holds more than the book says, and with
    `steel_left` while bars beyond its bill are neither back nor waste and nobody says why.
    """
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, pk=act.pour_id)
    _require_steel(pour, reason=act.steel_reason, actor=actor)
    _require_heaps(pour, given={line.material_id for line in act.heaps})
    if act.heaps and pour.state == Pour.State.POURED:
        stamp = Stamp(actor=actor, happened_at=moments.settled(act.happened_at, now=now), now=now, key=key)
        _write(act.heaps, site=pour.slab.site, stamp=stamp, closing=pour, remark=act.remark)
        replan.soon(actor.firm_id, now=now)
    return pours.close(actor=actor, act=pours.ClosingAct(pour_id=pour.pk), key=f"{key}:close", now=now)


def _require_steel(pour: Pour, *, reason: str, actor: Actor) -> None:
    """Ask about bars that the pour had beyond its bill; a closed or planned pour is refused elsewhere."""
    said = texts.fitting(reason, most=200, field="steel_reason")
    if said or pour.state != Pour.State.POURED:
        return
    rest = left_over.bars(actor, pour)
    if rest:
        listed = ", ".join(
            f"{row.material.name}: {measures.words(row.material, quantity=row.quantity)}" for row in rest
        )
        message = _(
            "More steel was issued to this pour than its bill asks for: %(listed)s. Bring it back or "
            "record it as waste first, or say why it stays."
        )
        raise SteelLeft(message % {"listed": listed}, field="steel_reason")


def _write(
    acts: Sequence[CountLineAct],
    *,
    site: Site,
    stamp: Stamp,
    closing: Pour | None,
    remark: str,
    recounted: bool = False,
) -> StockCount:
    actor = stamp.actor
    actor.require(Permission.COUNT_STOCK)
    _require_lines(acts)
    lines = []
    for n, act in enumerate(acts, start=1):
        with texts.at_line(n):
            lines.append(_line(act, position=n, actor=actor))
    number = numbers.next_number(firm_id=actor.firm_id, kind="CT", now=stamp.now)
    book = count_book.opened(lines, site=site, stamp=stamp, closing=closing)
    far = [] if closing is not None else _beyond(book.counted, actor=actor)
    _require_sound(book.counted, closing=closing, far=far, recounted=recounted)
    waits = bool(far) and not actor.can(Permission.APPROVE_COUNTS)
    made = StockCount.objects.create(
        firm_id=actor.firm_id,
        site=site,
        number=number,
        counted_by_id=actor.person_id,
        by_keeper=_keeps(actor, site=site),
        happened_at=stamp.happened_at,
        recorded_at=stamp.now,
        remark=texts.fitting(remark, most=400, field="remark"),
        state=StockCount.State.WAITING if waits else StockCount.State.POSTED,
        recounted=bool(far),
        approved_by_id=actor.person_id if far and not waits else None,
        approved_at=stamp.now if far and not waits else None,
    )
    for one in book.counted:
        one.line.count = made
    StockCountLine.objects.bulk_create([one.line for one in book.counted])
    if not waits:
        count_book.post(book, site=site, stamp=stamp)
    return made


def _beyond(counted: list[Counted], *, actor: Actor) -> list[StockCountLine]:
    """Return the lines beyond the firm's tolerance; what heaps have lost to pours is no difference."""
    value = standards.of_firm(actor, profile_id=actor.profile).value(TOLERANCE)
    tolerance_bp = round(value.value * BASIS_POINTS)
    return [
        one.line
        for one in counted
        if not one.is_use
        and count.beyond(book=one.line.book, found=one.line.found, tolerance_bp=tolerance_bp)
    ]


def _require_lines(acts: Sequence[CountLineAct]) -> None:
    if not 0 < len(acts) <= MOST_LINES:
        message = _("A count has between 1 and %(most)s materials; this one has %(count)s.")
        raise NoLines(message % {"most": MOST_LINES, "count": len(acts)}, field="lines")
    if len({act.material_id for act in acts}) < len(acts):
        raise NoLines(_("A material stands in the count twice. Add its figures up."), field="lines")


def _line(act: CountLineAct, *, position: int, actor: Actor) -> StockCountLine:
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    measures.require_stocked(material)
    pack = None if act.pack_id is None else scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    measure = measures.measure(material, pack=pack, unit=act.unit)
    found = measure.stock(measures.thousandths(act.found, field="found"))
    return StockCountLine(
        position=position,
        material=material,
        found=measures.bounded(found, field="found"),
        explanation=texts.fitting(act.explanation, most=200, field="explanation"),
    )


def _keeps(actor: Actor, *, site: Site) -> bool:
    own = actor.site_ids is None or site.pk in actor.site_ids
    return Role.SITE in actor.roles and own


def _require_sound(
    counted: list[Counted], *, closing: Pour | None, far: list[StockCountLine], recounted: bool
) -> None:
    if closing is not None:
        for one in counted:
            if one.difference.outcome is Outcome.SURPLUS:
                _refuse_surplus(one.line)
        return
    if far and not recounted:
        message = _("%(materials)s: far from the book. Count again, and say that you did.")
        names = ", ".join(line.material.name for line in far)
        ids = [line.material_id for line in far]
        raise RecountAsked(message % {"materials": names}, field="recounted", material_ids=ids)
    open_ones = [
        one.line
        for one in counted
        if one.difference.outcome is not Outcome.AGREES and not one.is_use and not one.line.explanation
    ]
    if open_ones:
        message = _("What was found differs from the book: %(materials)s. Count again, or say why.")
        names = "; ".join(_said(line) for line in open_ones)
        facts = [{"material_id": n.material_id, "book": n.book, "found": n.found} for n in open_ones]
        raise Unexplained(message % {"materials": names}, field="explanation", differences=facts)


def _said(line: StockCountLine) -> str:
    material = line.material
    text = _("%(material)s: %(book)s in the book, %(found)s found")
    book = measures.words(material, quantity=line.book)
    found = measures.words(material, quantity=line.found)
    return text % {"material": material.name, "book": book, "found": found}


def _refuse_surplus(line: StockCountLine) -> None:
    message = _(
        "%(said)s. A heap cannot hold more than was delivered: record the missing delivery, or count the "
        "store and explain the surplus, then close the pour."
    )
    raise MoreThanBook(message % {"said": _said(line)}, field="found", book=line.book, found=line.found)


def _require_heaps(pour: Pour, *, given: set[int]) -> None:
    """Refuse while a heap that the pour's bill draws on lies in the store unmeasured."""
    names = [heap.material.name for heap in heap_rows.heaps_of(pour) if heap.material_id not in given]
    if names:
        message = _("Measure what is left of %(materials)s: the pour's use follows from it.")
        raise HeapMissing(message % {"materials": ", ".join(names)}, field="heaps", materials=names)
