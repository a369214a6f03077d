"""Suggestions to buy: how many packs, for which pour, to order by which day, and why in numbers."""

from dataclasses import dataclass, replace
from datetime import date

from inventory.calc.reorder import fingerprint
from inventory.calc.reorder.facts import Lot, Need
from inventory.calc.reorder.netting import NO_SUPPLY, Supply
from inventory.calc.reorder.workdays import EVERY_DAY, Calendar


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanItem:
    """Everything the plan of one material at one site is worked out from.

    Args:
        site_id: the site, passed through.
        material: code of the material.
        needs: dated needs, in stock units.
        supply: usable stock, open orders and shelf life; how long a supplier takes is of its quote.
        safety_days: working days by which the delivery should come before the day of the need, 0 or more.
        calendar: which days are worked.
    """

    site_id: int
    material: str
    needs: tuple[Need, ...]
    supply: Supply = NO_SUPPLY
    safety_days: int = 0
    calendar: Calendar = EVERY_DAY

    def __post_init__(self) -> None:
        if self.safety_days < 0:
            raise ValueError(f"{self.material}: safety_days {self.safety_days} must be 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why this much, in stock units: two sums that a reader can redo.

    net = need + reserve - usable stock - open orders - planned earlier;
    surplus = packs x pack content + opened packs - net.

    Args:
        need: what the pour needs.
        reserve: what must still lie there afterwards (uncertainty only).
        usable_stock: stock of today that is still there and usable on that day.
        open_orders: what open orders have brought by then and earlier pours have not used.
        planned_earlier: what purchases of this plan for earlier pours leave for it.
        net: what is missing.
        opened_packs: what packs bought for another pour of the same day leave for it.
        packs: packs to buy.
        pack_content: stock units in a pack.
        minimum: least stock units in one order, 0 when there is none.
        surplus: what is left in the packs once this pour is served; it serves the next one.
    """

    need: int
    reserve: int
    usable_stock: int
    open_orders: int
    planned_earlier: int
    net: int
    opened_packs: int
    packs: int
    pack_content: int
    minimum: int
    surplus: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """One thing to buy for one pour.

    Args:
        site_id: the site, as given.
        material: code of the material.
        need_key: name of the need that it serves.
        pour_id: the pour, as given.
        slab_id: the slab, as given.
        need_date: day on which the material must lie on the site, unchanged even when it is over.
        deliver_by: `need_date` less the safety days.
        order_by: `deliver_by` less the lead time; never moved, also when it is over.
        late_days: calendar days by which `order_by` is over today, 0 when it is not.
        packs: packs to buy, above 0.
        quantity: stock units in them.
        reason: why, in numbers.
        fingerprint: stable name of what is suggested; today and the figures of the reason are not part of it.
    """

    site_id: int
    material: str
    need_key: str
    pour_id: int | None
    slab_id: int | None
    need_date: date
    deliver_by: date
    order_by: date
    late_days: int
    packs: int
    quantity: int
    reason: Reason
    fingerprint: str


def item_fingerprint(item: PlanItem) -> str:
    """Name the inputs of a plan, so that a run on unchanged inputs can be told apart from a new one.

    Source: derived: `fingerprint.of` with the lists sorted.

    Args:
        item: needs, supply, safety days and calendar.

    Returns:
        64 hexadecimal digits, the same in whatever order needs, lots and receipts were listed.

    >>> empty = PlanItem(site_id=1, material="cement", needs=())
    >>> item_fingerprint(empty) == item_fingerprint(replace(empty, safety_days=1))
    False
    """
    supply = replace(
        item.supply,
        stock=tuple(sorted(item.supply.stock, key=_lot_order)),
        receipts=tuple(sorted(item.supply.receipts, key=lambda receipt: receipt.key)),
    )
    needs = tuple(sorted(item.needs, key=lambda need: need.key))
    return fingerprint.of(replace(item, supply=supply, needs=needs))


def _lot_order(lot: Lot) -> tuple[date, bool, int]:
    return (lot.usable_until or date.max, lot.usable_until is None, lot.quantity)
