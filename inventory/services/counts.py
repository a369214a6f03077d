"""Counts of a store: what was found is asserted, and the difference to the book is an entry of its own.

For material that is used by count, what is missing after a pour is that pour's use.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack, UseMethod
from inventory.calc import costing, count
from inventory.calc.count import Outcome
from inventory.models import Place, StockCount, StockCountLine
from inventory.queries import counts as heap_rows
from inventory.queries import movements
from inventory.services import (
    balance_table,
    firm_days,
    heaps,
    measures,
    moments,
    places,
    posting,
    prices,
    replan,
    texts,
)
from inventory.services.balance_table import Books
from inventory.services.posting import Posting, Stamp
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Pour, Role, Site
from projects.services import numbers, pours
from projects.services.acts import business_act

MOST_LINES = 200


class NoLines(Refused):
    """A count of nothing, of too much, or of a material twice."""

    code = "no_lines"


class Unexplained(Refused):
    """What was found differs from the book, and nobody has said why."""

    code = "unexplained"
    status = 409


class BookBelowNothing(Stale):
    """By the book less than nothing was there at the time of the count."""

    code = "book_below_nothing"


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
    """A count of some materials of a site's store; without a time it is now."""

    site_id: int
    happened_at: datetime | None
    lines: tuple[CountLineAct, ...]
    remark: str = ""


@dataclass(frozen=True)
class CloseAct:
    """A pour to close, with the heaps as measured after it."""

    pour_id: int
    happened_at: datetime | None
    heaps: tuple[CountLineAct, ...] = ()
    remark: str = ""


@dataclass
class _Counted:
    """A counted material on its way to the ledger."""

    line: StockCountLine
    difference: count.Difference
    pours: list[Pour]

    @property
    def is_use(self) -> bool:
        """Whether what is missing was used in pours."""
        return self.difference.outcome is Outcome.MISSING and bool(self.pours)


@business_act(result=StockCount)
def record(*, actor: Actor, act: CountAct, key: str, now: datetime) -> StockCount:
    """Record a count against the book at the time of counting.

    What is missing of a heap since the last count goes to the pours placed in between; every other difference
    goes to or comes from the count difference, at the store's average. Refused with `unexplained` while such
    a difference has no explanation.
    """
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    stamp = Stamp(actor=actor, happened_at=moments.settled(act.happened_at, now=now), now=now, key=key)
    made = _write(act.lines, site=site, stamp=stamp, closing=None, remark=act.remark)
    replan.soon(actor.firm_id, now=now)
    return made


@business_act(result=Pour)
def close_pour(*, actor: Actor, act: CloseAct, key: str, now: datetime) -> Pour:
    """Close a pour: what its heaps have lost is posted as use, in proportion to what the bill says.

    Refused when a heap of the pour's bill was not measured, or holds more than the book says.
    """
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, pk=act.pour_id)
    _require_heaps(pour, given={line.material_id for line in act.heaps})
    if act.heaps and pour.state == Pour.State.POURED:
        stamp = Stamp(actor=actor, happened_at=moments.settled(act.happened_at, now=now), now=now, key=key)
        _write(act.heaps, site=pour.slab.site, stamp=stamp, closing=pour, remark=act.remark)
        replan.soon(actor.firm_id, now=now)
    return pours.close(actor=actor, act=pours.ClosingAct(pour_id=pour.pk), key=f"{key}:close", now=now)


def _write(
    acts: Sequence[CountLineAct], *, site: Site, stamp: Stamp, closing: Pour | None, remark: str
) -> StockCount:
    actor = stamp.actor
    actor.require(Permission.COUNT_STOCK)
    _require_lines(acts)
    lines = []
    for n, act in enumerate(acts, start=1):
        with texts.at_line(n):
            lines.append(_line(act, position=n, actor=actor))
    number = numbers.next_number(firm_id=actor.firm_id, kind="CT", now=stamp.now)
    between = heaps.pours_between(
        site,
        material_ids=[line.material_id for line in lines if line.material.use_method == UseMethod.COUNT],
        happened_at=stamp.happened_at,
        closing=closing,
    )
    books = _lock(lines, site=site, pours=between)
    counted = _against_book(lines, site=site, books=books, between=between, stamp=stamp)
    _require_sound(counted, closing=closing)
    made = StockCount.objects.create(
        firm_id=actor.firm_id,
        site=site,
        number=number,
        counted_by_id=actor.person_id,
        by_keeper=_keeps(actor, site=site),
        happened_at=stamp.happened_at,
        recorded_at=stamp.now,
        remark=texts.fitting(remark, most=400, field="remark"),
    )
    for one in counted:
        one.line.count = made
    StockCountLine.objects.bulk_create([one.line for one in counted])
    _post(counted, site=site, books=books, stamp=stamp)
    return made


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


def _lock(lines: list[StockCountLine], *, site: Site, pours: dict[int, list[Pour]]) -> Books:
    """Lock every balance that the count may change, in one go and so in one order."""
    common = (places.store(site), places.of_site(site, kind=Place.Kind.COUNT))
    pairs = [(place.pk, line.material_id) for place in common for line in lines]
    for material_id, placed in pours.items():
        pairs += [(places.slab(pour.slab).pk, material_id) for pour in placed]
    return balance_table.lock(pairs)


def _against_book(
    lines: list[StockCountLine],
    *,
    site: Site,
    books: Books,
    between: dict[int, list[Pour]],
    stamp: Stamp,
) -> list[_Counted]:
    store = places.store(site)
    ids = [line.material_id for line in lines]
    since = movements.net_after(store, material_ids=ids, happened_at=stamp.happened_at)
    counted = []
    for line in lines:
        line.book = books.quantity(store, material_id=line.material_id) - since.get(line.material_id, 0)
        if line.book < 0:
            message = _(
                "By the book less than nothing of %(material)s was there at that time. Check the time of the "
                "count, or count again now."
            )
            raise BookBelowNothing(message % {"material": line.material.name}, field="happened_at")
        difference = count.difference(book=line.book, found=line.found)
        counted.append(_Counted(line, difference, between.get(line.material_id, [])))
    return counted


def _require_sound(counted: list[_Counted], *, closing: Pour | None) -> None:
    if closing is not None:
        for one in counted:
            if one.difference.outcome is Outcome.SURPLUS:
                _refuse_surplus(one.line)
        return
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


def _post(counted: list[_Counted], *, site: Site, books: Books, stamp: Stamp) -> None:
    by_material = heaps.theoretical(
        list({pour.pk: pour for one in counted for pour in one.pours}.values()),
        material_ids=[one.line.material_id for one in counted],
    )
    lines: list[Posting] = []
    for one in counted:
        if one.is_use:
            lines += _use(one, site=site, by_pour=by_material.get(one.line.material_id, {}))
        elif one.difference.outcome is not Outcome.AGREES:
            lines.append(_difference(one, site=site, books=books, stamp=stamp))
    for movement in posting.post(lines, stamp=stamp):
        assert movement.count_line is not None  # noqa: S101 - every posting above names its line
        sign = 1 if movement.target.kind == Place.Kind.STORE else -1
        movement.count_line.value_minor += sign * movement.value_minor
    StockCountLine.objects.bulk_update([one.line for one in counted], ["value_minor"])


def _use(one: _Counted, *, site: Site, by_pour: dict[int, int]) -> list[Posting]:
    line = one.line
    shares = count.heap_use(
        opening=line.book,
        received=0,
        closing=line.found,
        theoretical=heaps.weights(one.pours, by_pour=by_pour),
    ).by_pour
    return [
        Posting(
            material=line.material,
            source=places.store(site),
            target=places.slab(pour.slab),
            quantity=shares[pour.pk],
            reason=posting.Reason.USE_BY_COUNT,
            pour=pour,
            count_line=line,
        )
        for pour in one.pours
        if shares[pour.pk]
    ]


def _difference(one: _Counted, *, site: Site, books: Books, stamp: Stamp) -> Posting:
    line = one.line
    store, beside = places.store(site), places.of_site(site, kind=Place.Kind.COUNT)
    surplus = one.difference.outcome is Outcome.SURPLUS
    return Posting(
        material=line.material,
        source=beside if surplus else store,
        target=store if surplus else beside,
        quantity=one.difference.quantity,
        value_minor=_surplus_value(one, store=store, books=books, stamp=stamp) if surplus else None,
        reason=posting.Reason.COUNT,
        count_line=line,
    )


def _surplus_value(one: _Counted, *, store: Place, books: Books, stamp: Stamp) -> int:
    """Value a surplus at the store's average; an empty store takes the last rate, and nothing without one."""
    material = one.line.material
    pool = books.pool(store, material_id=material.pk)
    if pool.quantity:
        return costing.average_value(pool, quantity=one.difference.quantity)
    on_date = firm_days.of(stamp.happened_at, actor=stamp.actor)
    price = prices.known(material, supplier=None, on_date=on_date)
    return 0 if price is None else price.value(one.difference.quantity)
