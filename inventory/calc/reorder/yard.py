"""The yard while a plan is being worked out: lots with their origin, used first that spoil first."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum


class Origin(StrEnum):
    """Where a lot of the plan comes from."""

    STOCK = "stock"
    ORDER = "order"
    PLAN = "plan"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heap:
    """A quantity (stock units) of one origin, usable up to and with a day, or for ever."""

    origin: Origin
    quantity: int
    usable_until: date | None = None


Yard = tuple[Heap, ...]


def on_hand(yard: Yard, *, origin: Origin | None = None) -> int:
    """Add up what lies in the yard.

    Source: derived: sum.

    Args:
        yard: the heaps.
        origin: only heaps of this origin, or None for all.

    Returns:
        Stock units, 0 or more.

    >>> heaps = (Heap(origin=Origin.STOCK, quantity=3), Heap(origin=Origin.ORDER, quantity=4))
    >>> on_hand(heaps, origin=Origin.ORDER)
    4
    """
    if origin is None:
        return sum([heap.quantity for heap in yard])
    return sum([heap.quantity for heap in yard if heap.origin is origin])


def expire(yard: Yard, *, day: date) -> Yard:
    """Leave out what may no longer be used.

    Source: derived: a lot may be used up to and with its last day.

    Args:
        yard: the heaps.
        day: the day on which they are to be used.

    Returns:
        The heaps still usable on that day.

    >>> expire((Heap(origin=Origin.STOCK, quantity=3, usable_until=date(2025, 3, 1)),), day=date(2025, 3, 2))
    ()
    """
    return tuple(heap for heap in yard if heap.usable_until is None or heap.usable_until >= day)


def take(yard: Yard, *, quantity: int) -> Yard:
    """Use a quantity, what spoils first going first.

    Source: common practice: first expired, first out; of equals, stock before orders before planned packs.

    Args:
        yard: the heaps.
        quantity: stock units to use, 0 or more and not more than there is.

    Returns:
        The heaps that are left.

    Raises:
        ValueError: more is asked for than there is.

    >>> take((Heap(origin=Origin.PLAN, quantity=3), Heap(origin=Origin.STOCK, quantity=3)), quantity=4)
    (Heap(origin=<Origin.PLAN: 'plan'>, quantity=2, usable_until=None),)
    """
    there = on_hand(yard)
    if quantity > there:
        raise ValueError(f"quantity {quantity} is more than the {there} there is")
    left = []
    for heap in sorted(yard, key=_turn):
        used = min(quantity, heap.quantity)
        quantity -= used
        if used < heap.quantity:
            left.append(replace(heap, quantity=heap.quantity - used))
    return tuple(left)


def _turn(heap: Heap) -> tuple[bool, date, int]:
    return (heap.usable_until is None, heap.usable_until or date.max, list(Origin).index(heap.origin))
