"""Stock counts: a difference is an entry of its own, and a heap is used by what is missing from it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from inventory.calc import money

WHOLE_BP = 10_000
"""Basis points in a whole."""


class Outcome(StrEnum):
    """What a count shows against the book."""

    AGREES = "agrees"
    MISSING = "missing"
    SURPLUS = "surplus"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A count against the book: `quantity` in stock units, never negative; `outcome` says which way it goes.

    Missing stock moves from the store to the count difference, a surplus from there to the store.
    """

    book: int
    found: int
    outcome: Outcome
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapUse:
    """Use of a material that nobody weighs out: what the heap lost between two counts (all stock units)."""

    opening: int
    received: int
    closing: int
    used: int
    by_pour: Mapping[int, int]


def difference(*, book: int, found: int) -> Difference:
    """Compare a count with the book.

    Source: derived: difference = found - book, kept as a positive quantity between two places.

    Args:
        book: stock units that the record says are there, 0 or more.
        found: stock units that were counted, 0 or more.

    Returns:
        The difference: which way, and how many stock units.

    Raises:
        ValueError: either figure is negative.

    >>> difference(book=500_000, found=450_000)
    Difference(book=500000, found=450000, outcome=<Outcome.MISSING: 'missing'>, quantity=50000)
    """
    for name, figure in (("book", book), ("found", found)):
        if figure < 0:
            raise ValueError(f"{name} quantity {figure} must be 0 or more")
    if found < book:
        return Difference(book=book, found=found, outcome=Outcome.MISSING, quantity=book - found)
    outcome = Outcome.SURPLUS if found > book else Outcome.AGREES
    return Difference(book=book, found=found, outcome=outcome, quantity=found - book)


def beyond(*, book: int, found: int, tolerance_bp: int) -> bool:
    """Whether a count lies so far from the book that it is taken twice and approved by a second person.

    Source: derived: |found - book| > book x tolerance / 10,000; an empty book has no tolerance.

    Args:
        book: stock units that the record says are there, 0 or more.
        found: stock units that were counted, 0 or more.
        tolerance_bp: basis points of the book, 0 or more; 500 are 5 %.

    Returns:
        Whether it lies beyond the tolerance, either way.

    Raises:
        ValueError: a figure is negative.

    >>> [beyond(book=200, found=found, tolerance_bp=500) for found in (190, 189, 210, 211)]
    [False, True, False, True]
    """
    for name, figure in (("book", book), ("found", found), ("tolerance_bp", tolerance_bp)):
        if figure < 0:
            raise ValueError(f"{name} {figure} must be 0 or more")
    return abs(found - book) * WHOLE_BP > book * tolerance_bp


def heap_use(*, opening: int, received: int, closing: int, theoretical: Mapping[int, int]) -> HeapUse:
    """Share what a heap lost between two counts among the pours in between.

    Source: derived: use = opening + received - closing, in proportion to theoretical use (largest remainder).

    Args:
        opening: stock units counted (or in the book) at the start, 0 or more.
        received: stock units that came in since, less what left otherwise than by use, of any sign.
        closing: stock units measured now, 0 or more.
        theoretical: stock units that the design gives each pour cast in between, by the pour's number.

    Returns:
        The use and its parts by pour in the order of their numbers, adding up exactly.

    Raises:
        ValueError: a count is negative, more is there than came, or something was used and no pour uses it.

    >>> dict(heap_use(opening=0, received=10, closing=3, theoretical={1: 4, 2: 2}).by_pour)
    {1: 5, 2: 2}
    """
    for name, figure in (("opening", opening), ("closing", closing)):
        if figure < 0:
            raise ValueError(f"{name} quantity {figure} must be 0 or more")
    used = opening + received - closing
    if used < 0:
        raise ValueError(
            f"closing {closing} is more than opening {opening} and received {received} together; "
            "record the surplus as a count difference"
        )
    pours = sorted(theoretical)
    if used == 0:
        parts: tuple[int, ...] = (0,) * len(pours)
    else:
        parts = money.share(used, weights=[theoretical[pour] for pour in pours])
    by_pour = dict(zip(pours, parts, strict=True))
    return HeapUse(opening=opening, received=received, closing=closing, used=used, by_pour=by_pour)
