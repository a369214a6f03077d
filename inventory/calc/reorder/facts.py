"""What the plan is worked out from, and the rows that it is made of. All quantities are in stock units."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Stock that is usable now.

    Args:
        quantity: stock units, above 0.
        usable_until: last day on which it may be used, None when it keeps.
    """

    quantity: int
    usable_until: date | None = None

    def __post_init__(self) -> None:
        _require_quantity(self.quantity, what="lot")


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What an open order will still bring.

    Args:
        key: unique name (order line).
        quantity: stock units still to come, above 0.
        expected: day on which it is expected; usable on that day.
        usable_until: last day on which it may be used, None when it keeps; not before `expected`.
    """

    key: str
    quantity: int
    expected: date
    usable_until: date | None = None

    def __post_init__(self) -> None:
        _require_quantity(self.quantity, what=f"receipt {self.key}")
        if self.usable_until is not None and self.usable_until < self.expected:
            raise ValueError(
                f"receipt {self.key}: usable until {self.usable_until} must not be before {self.expected}, "
                "when it is expected"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What a pour needs by a day.

    Args:
        key: unique name of the need.
        quantity: stock units, above 0.
        day: day on which it must lie on the site.
        reserve: stock units that must still lie there once the need is served (uncertainty only), 0 or more;
            afterwards they serve the next need.
        pour_id: the pour it is for, passed through.
        slab_id: the slab it is for, passed through.
        for_short: part of the reserve that stands for loads that bring less than was ordered.
        background: part of the quantity that works beside pours take until this day.
    """

    key: str
    quantity: int
    day: date
    reserve: int = 0
    pour_id: int | None = None
    slab_id: int | None = None
    for_short: int = 0
    background: int = 0

    def __post_init__(self) -> None:
        _require_quantity(self.quantity, what=f"need {self.key}")
        if self.reserve < 0:
            raise ValueError(f"need {self.key}: reserve {self.reserve} must be 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One need netted: net = quantity + reserve - (from stock + from orders + from plan), never below 0.

    What is bought for it adds up too, when net is above 0: net = from opened + planned - surplus.

    Args:
        need: the need.
        day: day of the need, or the first day of the plan when that is later.
        reserve: reserves of this need and of those before it on the same day.
        from_stock: usable stock of today that is still there when it is served.
        from_orders: receipts of open orders that are there when it is served.
        from_plan: earlier planned purchases that are there when it is served.
        net: what is missing.
        from_opened: what packs opened for earlier needs of the day still hold, 0 when nothing is missing.
        packs: packs planned for it; 0 when opened packs are enough.
        planned: stock units in those packs.
        surplus: what the packs opened on this day still hold once it is served, 0 when nothing is missing.
    """

    need: Need
    day: date
    reserve: int
    from_stock: int
    from_orders: int
    from_plan: int
    net: int
    from_opened: int
    packs: int
    planned: int
    surplus: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day of the plan: closing = opening + received - expired + planned - gross.

    `background` is the part of gross that works beside pours take.
    """

    day: date
    opening: int
    received: int
    expired: int
    gross: int
    reserve: int
    net: int
    planned: int
    closing: int
    background: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Something a person should look at; the plan does not hide it by moving a date.

    Args:
        code: `need_past_due` (its day is over and it is still open; counted on the first day),
            `receipt_overdue` (expected before the first day and not here; counted on the first day) or
            `receipt_after_need` (an open order that comes after a need which lacks it: ask for it sooner).
        key: name of the need or of the receipt.
        day: the day that it had, unchanged.
        quantity: stock units concerned, at most what the order brings.
        days: days by which it is late.
    """

    code: str
    key: str
    day: date
    quantity: int
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The netted days, the needs in the order in which they were served, and what to look at."""

    days: tuple[Day, ...]
    lines: tuple[Line, ...]
    notices: tuple[Notice, ...]


def _require_quantity(quantity: int, *, what: str) -> None:
    if quantity <= 0:
        raise ValueError(f"{what}: quantity {quantity} must be above 0")
