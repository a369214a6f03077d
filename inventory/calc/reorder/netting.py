"""Time-phased netting on true days: dated needs less usable stock and open orders, day by day."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from inventory.calc.reorder import lots, notices, yard
from inventory.calc.reorder.facts import Day, Line, Lot, Need, Plan, Receipt
from inventory.calc.reorder.lots import LOOSE, Pack
from inventory.calc.reorder.yard import Heap, Origin, Yard


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What covers the needs: usable stock, open orders, and how more of it can be bought.

    Args:
        stock: usable lots of today.
        receipts: what open orders will still bring.
        pack: how the material is sold.
        life_days: days after its arrival on which a planned purchase may still be used, None when it keeps.
    """

    stock: tuple[Lot, ...] = ()
    receipts: tuple[Receipt, ...] = ()
    pack: Pack = LOOSE
    life_days: int | None = None

    def __post_init__(self) -> None:
        if self.life_days is not None and self.life_days < 0:
            raise ValueError(f"life {self.life_days} of a purchase must be 0 days or more")


NO_SUPPLY = Supply()
"""Nothing there, nothing ordered, any quantity can be bought."""


def net(needs: Iterable[Need], *, supply: Supply, first_day: date) -> Plan:
    """Net dated needs against stock and open orders.

    On each day with a need: net = max(0, gross + reserve - available), available = what lay there the evening
    before, still usable, and what comes that day. What is planned to cover the net comes on the day of the
    need, in whole packs; the surplus serves the next need. Nothing is planned on a day without a need.
    Source: time-phased netting of requirements planning (gross to net), worked on days instead of weeks.

    Args:
        needs: dated needs of one material at one site.
        supply: usable stock, open orders and how more is bought.
        first_day: the day on which the plan starts; earlier needs and receipts count on it, and are notices.

    Returns:
        The plan in stock units: a row for each day on which something happens, a line for each need, notices.

    Raises:
        ValueError: two needs or two receipts have the same key.

    >>> friday = date(2025, 3, 7)
    >>> plan = net([Need(key="a", quantity=120, day=friday)], first_day=date(2025, 3, 3),
    ...            supply=Supply(stock=(Lot(quantity=35),), pack=Pack(content=50)))
    >>> (plan.lines[0].net, plan.lines[0].packs, plan.lines[0].surplus)
    (85, 2, 15)
    """
    ordered = tuple(sorted(needs, key=lambda need: (need.day, need.key)))
    _refuse_doubles([need.key for need in ordered], what="needs")
    _refuse_doubles([receipt.key for receipt in supply.receipts], what="receipts")
    heaps: Yard = tuple(
        Heap(origin=Origin.STOCK, quantity=lot.quantity, usable_until=lot.usable_until)
        for lot in supply.stock
    )
    days: list[Day] = []
    lines: list[Line] = []
    for day in _event_days(ordered, supply=supply, first_day=first_day):
        row, served, heaps = _net_day(
            day,
            heaps=heaps,
            needs=[need for need in ordered if max(need.day, first_day) == day],
            receipts=[receipt for receipt in supply.receipts if max(receipt.expected, first_day) == day],
            supply=supply,
        )
        days.append(row)
        lines.extend(served)
    found = notices.past_due(ordered, receipts=supply.receipts, first_day=first_day)
    found += notices.after_need(lines, receipts=supply.receipts)
    return Plan(days=tuple(days), lines=tuple(lines), notices=found)


def _net_day(
    day: date, *, heaps: Yard, needs: Sequence[Need], receipts: Sequence[Receipt], supply: Supply
) -> tuple[Day, list[Line], Yard]:
    opening = yard.on_hand(heaps)
    heaps += tuple(
        Heap(origin=Origin.ORDER, quantity=receipt.quantity, usable_until=receipt.usable_until)
        for receipt in receipts
    )
    before = yard.on_hand(heaps)
    heaps = yard.expire(heaps, day=day)
    usable = yard.on_hand(heaps)
    until = None if supply.life_days is None else day + timedelta(days=supply.life_days)
    drafts: list[Line] = []
    for need in needs:
        draft = _draft(need, day=day, heaps=heaps, reserve=drafts[-1].reserve if drafts else 0)
        drafts.append(draft)
        if draft.net:
            heaps += (Heap(origin=Origin.PLAN, quantity=draft.net, usable_until=until),)
        heaps = yard.take(heaps, quantity=need.quantity)
    lines = _with_packs(drafts, pack=supply.pack)
    missing = sum(line.net for line in lines)
    planned = sum(line.planned for line in lines)
    if planned > missing:
        heaps += (Heap(origin=Origin.PLAN, quantity=planned - missing, usable_until=until),)
    row = Day(
        day=day,
        opening=opening,
        received=sum(receipt.quantity for receipt in receipts),
        expired=before - usable,
        gross=sum(need.quantity for need in needs),
        reserve=sum(need.reserve for need in needs),
        net=missing,
        planned=planned,
        closing=yard.on_hand(heaps),
        background=sum(need.background for need in needs),
    )
    return row, lines, heaps


def _draft(need: Need, *, day: date, heaps: Yard, reserve: int) -> Line:
    held = reserve + need.reserve
    available = {origin: yard.on_hand(heaps, origin=origin) for origin in Origin}
    return Line(
        need=need,
        day=day,
        reserve=held,
        from_stock=available[Origin.STOCK],
        from_orders=available[Origin.ORDER],
        from_plan=available[Origin.PLAN],
        net=max(0, need.quantity + held - sum(available.values())),
        from_opened=0,
        packs=0,
        planned=0,
        surplus=0,
    )


def _with_packs(drafts: Sequence[Line], *, pack: Pack) -> list[Line]:
    lines = []
    spare = 0
    packs = lots.divide_packs([draft.net for draft in drafts], pack=pack)
    for draft, count in zip(drafts, packs, strict=True):
        opened = spare if draft.net else 0
        planned = count * pack.content
        spare += planned - draft.net
        surplus = spare if draft.net else 0
        lines.append(replace(draft, from_opened=opened, packs=count, planned=planned, surplus=surplus))
    return lines


def _event_days(needs: Sequence[Need], *, supply: Supply, first_day: date) -> list[date]:
    dated = [need.day for need in needs] + [receipt.expected for receipt in supply.receipts]
    days = {first_day} | {max(day, first_day) for day in dated}
    last = max(days)
    ends = [lot.usable_until for lot in supply.stock] + [receipt.usable_until for receipt in supply.receipts]
    spoiled = {end + timedelta(days=1) for end in ends if end is not None}
    return sorted(days | {day for day in spoiled if first_day < day < last})


def _refuse_doubles(keys: Sequence[str], *, what: str) -> None:
    doubles = [first for first, second in pairwise(sorted(keys)) if first == second]
    if doubles:
        raise ValueError(f"two {what} have the key {doubles[0]}")
