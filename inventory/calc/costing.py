"""Value of stock by weighted average: one pool per store and material, in recorded order.

Every function conserves value to the minor unit: what leaves a pool and what stays add up to what was there.
"""

from dataclasses import dataclass

from inventory.calc import money


@dataclass(frozen=True, slots=True)
class Pool:
    """What a place holds of one material.

    Args:
        quantity: stock units, 0 or more.
        value: minor units, 0 or more; 0 when the quantity is 0. It may be 0 with a quantity
            (the client's own material).
    """

    quantity: int = 0
    value: int = 0

    def __post_init__(self) -> None:
        if self.quantity < 0:
            raise ValueError(f"quantity {self.quantity} of a pool must be 0 or more")
        if self.value < 0:
            raise ValueError(f"value {self.value} of a pool must be 0 or more")
        if self.quantity == 0 and self.value != 0:
            raise ValueError(f"value {self.value} has no quantity to carry it; adjust it to 0 first")


EMPTY = Pool()
"""A place that holds nothing of a material."""


def receive(pool: Pool, *, quantity: int, value: int) -> Pool:
    """Add a receipt to a pool.

    Source: IAS 2 Inventories, paragraph 27: the average may be worked out as each shipment is received.

    Args:
        pool: what is there.
        quantity: stock units received, above 0.
        value: minor units they cost, 0 or more.

    Returns:
        The pool afterwards.

    Raises:
        ValueError: the quantity is not above 0 or the value is negative.

    >>> receive(Pool(100, 200), quantity=400, value=840)
    Pool(quantity=500, value=1040)
    """
    _require_quantity(quantity)
    _require_value(value)
    return Pool(pool.quantity + quantity, pool.value + value)


def issue(pool: Pool, *, quantity: int) -> tuple[Pool, int]:
    """Take a quantity out of a pool at its average.

    The value out is value x quantity / quantity there, rounded half to even; the last unit takes the rest.
    Source: IAS 2 Inventories, paragraph 27 (weighted average); the rounding is ours.

    Args:
        pool: what is there.
        quantity: stock units to take, above 0 and not more than there is.

    Returns:
        The pool afterwards and the value that left it, in minor units.

    Raises:
        ValueError: the quantity is not above 0, or more than there is.

    >>> issue(Pool(500, 1040), quantity=200)
    (Pool(quantity=300, value=624), 416)
    """
    _require_there(pool, quantity=quantity)
    value = money.half_even(pool.value * quantity, denominator=pool.quantity)
    return Pool(pool.quantity - quantity, pool.value - value), value


def average_value(pool: Pool, *, quantity: int) -> int:
    """Value a quantity at the average of a pool without taking it: a surplus found by count, for example.

    Source: IAS 2 Inventories, paragraph 27 (weighted average).

    Args:
        pool: what is there, not empty.
        quantity: stock units to value, above 0; may be more than there is.

    Returns:
        Minor units, rounded half to even.

    Raises:
        ValueError: the quantity is not above 0, or the pool is empty and so has no average.

    >>> average_value(Pool(500, 1040), quantity=25)
    52
    """
    _require_quantity(quantity)
    if pool.quantity == 0:
        raise ValueError("an empty pool has no average; state the value")
    return money.half_even(pool.value * quantity, denominator=pool.quantity)


def withdraw(pool: Pool, *, quantity: int, value: int) -> tuple[Pool, int]:
    """Take a quantity out at a stated value: a reversal carries its original value, not the average.

    When that leaves value without quantity, or takes more value than there was, the difference is stranded.
    It is handed back, to be taken out of the place by an adjustment and charged as price variance:
    value before = value out + value after + stranded.
    Source: derived: a reversal carries the original value; value is conserved.

    Args:
        pool: what is there.
        quantity: stock units to take, above 0 and not more than there is.
        value: minor units that leave with them, 0 or more.

    Returns:
        The pool afterwards, and the stranded value in minor units: 0 as a rule, below 0 when more value left
        than was there.

    Raises:
        ValueError: the quantity is not above 0 or more than there is, or the value is negative.

    >>> withdraw(Pool(20, 300), quantity=10, value=100)
    (Pool(quantity=10, value=200), 0)
    >>> withdraw(Pool(10, 150), quantity=10, value=100)
    (Pool(quantity=0, value=0), 50)
    """
    _require_there(pool, quantity=quantity)
    _require_value(value)
    left = pool.quantity - quantity
    rest = pool.value - value
    if left == 0 or rest < 0:
        return Pool(left, 0), rest
    return Pool(left, rest), 0


def _require_quantity(quantity: int) -> None:
    if quantity <= 0:
        raise ValueError(f"quantity {quantity} must be above 0")


def _require_value(value: int) -> None:
    if value < 0:
        raise ValueError(f"value {value} must be 0 or more")


def _require_there(pool: Pool, *, quantity: int) -> None:
    _require_quantity(quantity)
    if quantity > pool.quantity:
        raise ValueError(f"quantity {quantity} is more than the {pool.quantity} there is")
