"""A supplier's bill against order and delivery: what was billed, what came, at which price."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from inventory.calc import money

K = TypeVar("K")

WHOLE_BP = 10_000
"""Basis points in a whole: a tolerance of 1 % is 100."""


class Cause(StrEnum):
    """Why a line of a supplier's bill is held for a person."""

    NOT_RECEIVED = "not_received"
    MORE_THAN_RECEIVED = "more_than_received"
    DEARER = "dearer"
    CHEAPER = "cheaper"
    NO_PRICE = "no_price"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far a bill may lie from delivery and order before a person looks at it.

    Args:
        quantity_bp: billed beyond what was received, basis points of the latter, 0 or more.
        price_bp: amount beside the expected one, either way, basis points of the latter, 0 or more.
        source: where the figures come from.
    """

    quantity_bp: int
    price_bp: int
    source: str

    def __post_init__(self) -> None:
        for name in ("quantity_bp", "price_bp"):
            if getattr(self, name) < 0:
                raise ValueError(f"{name} {getattr(self, name)} must be 0 basis points or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class BilledLine:
    """A line of a supplier's bill with what it is held against.

    Args:
        billed: stock units billed, above 0.
        received: stock units received and not billed before, 0 or more.
        amount: minor units, with the line's share of freight and of tax that is not recovered.
        expected: minor units of the billed quantity at the price at which it was taken in; None when nothing
            was received, 0 when it came in without a price.
    """

    billed: int
    received: int
    amount: int
    expected: int | None

    def __post_init__(self) -> None:
        if self.billed <= 0:
            raise ValueError(f"billed quantity {self.billed} must be above 0")
        if self.received < 0:
            raise ValueError(f"received quantity {self.received} must be 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How a line lies: units billed beyond the delivery, minor units beside the expected amount, causes."""

    quantity_over: int
    price_difference: int
    causes: tuple[Cause, ...]

    @property
    def fits(self) -> bool:
        """Whether nobody needs to look at it."""
        return not self.causes


def match(line: BilledLine, *, tolerance: Tolerance) -> Match:
    """Hold a billed line against its delivery and its order.

    Source: common practice (three-way match of order, receipt and bill); the tolerance as given.

    Args:
        line: the line, in stock units and minor units.
        tolerance: how far it may lie off.

    Returns:
        The differences and why they are held; both may be 0 or within tolerance, then no cause.

    100 bags billed at 410.00, 95 came, taken in at 400.00; 1 % is let through:

    >>> one_percent = Tolerance(quantity_bp=0, price_bp=100, source="example")
    >>> line = BilledLine(billed=100, received=95, amount=4_100_000, expected=4_000_000)
    >>> found = match(line, tolerance=one_percent)
    >>> (found.quantity_over, found.price_difference, [str(cause) for cause in found.causes])
    (5, 100000, ['more_than_received', 'dearer'])
    """
    if line.expected is None:
        return Match(quantity_over=line.billed, price_difference=0, causes=(Cause.NOT_RECEIVED,))
    over = line.billed - line.received if line.billed > line.received else 0
    difference = line.amount - line.expected
    causes = []
    if over * WHOLE_BP > line.received * tolerance.quantity_bp:
        causes.append(Cause.MORE_THAN_RECEIVED)
    if line.expected == 0 and line.amount:
        causes.append(Cause.NO_PRICE)
    elif abs(difference) * WHOLE_BP > line.expected * tolerance.price_bp:
        causes.append(Cause.DEARER if difference > 0 else Cause.CHEAPER)
    return Match(quantity_over=over, price_difference=difference, causes=tuple(causes))


def spread(total: int, *, weights: Sequence[int]) -> list[int]:
    """Share an amount out by weight: freight over the lines of a bill, a price difference over places.

    Source: derived: each running total rounded half to even, so that the shares add up to the amount.

    Args:
        total: minor units, of any sign.
        weights: 0 or more each, not all 0.

    Returns:
        One share for each weight, in minor units.

    Raises:
        ValueError: there is no weight above 0, or one below 0.

    >>> spread(100, weights=[1, 1, 1])
    [33, 34, 33]
    """
    whole = sum(weights)
    if whole <= 0 or min(weights) < 0:
        raise ValueError(f"weights {list(weights)} must be 0 or more and not all 0")
    shares, done, given = [], 0, 0
    for weight in weights:
        done += weight
        upto = money.half_even(total * done, denominator=whole)
        shares.append(upto - given)
        given = upto
    return shares


def revalue(difference: int, *, billed: int, on_hand: int, gone: Mapping[K, int], store: K) -> dict[K, int]:
    """Share a price difference between the store and where the material has gone since.

    What of the delivery is still on hand bears its part in the store; the rest bears it where it was used.
    Source: derived: in proportion to quantity; what is on hand is taken to be of this delivery first.

    Args:
        difference: minor units, of any sign.
        billed: stock units that it is about, above 0.
        on_hand: stock units in the store now, 0 or more.
        gone: stock units that have left the store since, by place, each above 0.
        store: the store's own key.

    Returns:
        Minor units by place, without zeroes; they add up to the difference, or nothing when there is neither
        stock nor use to bear it.

    40 of 100 bags are still there, the others went to two slabs:

    >>> revalue(1_000, billed=100, on_hand=40, gone={"roof": 90, "stair": 30}, store="store")
    {'store': 400, 'roof': 450, 'stair': 150}
    """
    here = min(on_hand, billed)
    away = sum(gone.values())
    keys, weights = [store], [here * away if away else here]
    if away:
        keys += list(gone)
        weights += [(billed - here) * quantity for quantity in gone.values()]
    if not any(weights):
        return {}
    shares = zip(keys, spread(difference, weights=weights), strict=True)
    return {key: share for key, share in shares if share}
