"""A count against the book: what differs, and how the difference enters the ledger."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from estimates.models import UseMethod
from inventory.calc import costing, count
from inventory.calc.count import Outcome
from inventory.models import Place, StockCountLine
from inventory.queries import movements
from inventory.services import balance_table, firm_days, heaps, places, posting, prices
from inventory.services.balance_table import Books
from inventory.services.posting import Posting, Stamp
from projects.errors import Stale
from projects.models import Pour, Site


class BookBelowNothing(Stale):
    """By the book less than nothing was there at the time of the count."""

    code = "book_below_nothing"


@dataclass
class Counted:
    """A counted material on its way to the ledger."""

    line: StockCountLine
    difference: count.Difference
    pours: list[Pour]

    @property
    def is_use(self) -> bool:
        """Whether what is missing was used in pours."""
        return self.difference.outcome is Outcome.MISSING and bool(self.pours)


@dataclass(frozen=True)
class Book:
    """The locked balances of a count and its lines held against them."""

    books: Books
    counted: list[Counted]


def opened(lines: list[StockCountLine], *, site: Site, stamp: Stamp, closing: Pour | None = None) -> Book:
    """Lock what the count may change and hold its lines against the book at the time of counting.

    Refused with `book_below_nothing` when less than nothing was there by the book.
    """
    between = heaps.pours_between(
        site,
        material_ids=[line.material_id for line in lines if line.material.use_method == UseMethod.COUNT],
        happened_at=stamp.happened_at,
        closing=closing,
    )
    books = _lock(lines, site=site, pours=between)
    return Book(books, _against_book(lines, site=site, books=books, between=between, stamp=stamp))


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
) -> list[Counted]:
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
        counted.append(Counted(line, difference, between.get(line.material_id, [])))
    return counted


def post(book: Book, *, site: Site, stamp: Stamp) -> None:
    """Write the differences: use to the pours of a heap, everything else to or from the count difference."""
    counted, books = book.counted, book.books
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


def _use(one: Counted, *, site: Site, by_pour: dict[int, int]) -> list[Posting]:
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


def _difference(one: Counted, *, site: Site, books: Books, stamp: Stamp) -> Posting:
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


def _surplus_value(one: Counted, *, store: Place, books: Books, stamp: Stamp) -> int:
    """Value a surplus at the store's average; an empty store takes the last rate, and nothing without one."""
    material = one.line.material
    pool = books.pool(store, material_id=material.pk)
    if pool.quantity:
        return costing.average_value(pool, quantity=one.difference.quantity)
    on_date = firm_days.of(stamp.happened_at, actor=stamp.actor)
    price = prices.known(material, supplier=None, on_date=on_date)
    return 0 if price is None else price.value(one.difference.quantity)
