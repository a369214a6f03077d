"""From lots to suggestions: what to buy for which pour, in sums that a reader can redo."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from inventory.calc.reorder import at_site, chances, deciding, fingerprint, lots
from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.facts import Line
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.sizing import Lot
from inventory.calc.reorder.suggestions import Reason, Suggestion


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A suggestion to buy, its lot by number and quote, its part of the lot's price (1/10,000 minor unit).

    `come_day` is the day on which the table shows it.
    """

    suggestion: Suggestion
    lot: int
    quote: Quote
    price: int
    come_day: date


def tell(row: Bought, *, today: date) -> tuple[Told, ...]:
    """Divide the lots of an item among the pours that they are for.

    Each pour of a lot gets the packs that have to be opened for it; what is left in a pack serves the next
    pour of the lot, and the last one takes what a minimum or a price break adds.
    Source: derived: `lots.divide_packs` over what the lot serves of each need.

    Args:
        row: what is bought of an item.
        today: day of the plan.

    Returns:
        Suggestions in the order of the lots and their needs, each with packs above 0.
    """
    if not row.lots:
        return ()
    lines = [line for line in at_site.lacking(row.item, today=today).lines if line.net]
    pieces = _pieces(row, lines=lines)
    found: list[Told] = []
    for number in range(len(row.lots)):
        found += _of_lot(row, number=number, pieces=pieces[number], today=today)
    return tuple(found)


def _pieces(row: Bought, *, lines: Sequence[Line]) -> dict[int, list[tuple[Line, int]]]:
    """Divide what lots serve of a day among the needs of that day, earlier lots first."""
    by_day: dict[int, list[Line]] = defaultdict(list)
    for line in lines:
        by_day[line.day.toordinal()].append(line)
    left = {id(line): line.net for line in lines}
    pieces: dict[int, list[tuple[Line, int]]] = defaultdict(list)
    for one in sorted(row.served, key=lambda one: (one.demand, one.lot)):
        rest = one.quantity
        for line in by_day[row.demands[one.demand].day]:
            part = min(rest, left[id(line)])
            left[id(line)] -= part
            rest -= part
            if part:
                pieces[one.lot].append((line, part))
    return pieces


def _of_lot(row: Bought, *, number: int, pieces: Sequence[tuple[Line, int]], today: date) -> list[Told]:
    lot = row.lots[number]
    quote = lot.chance.quote
    pack = Pack(content=quote.content, minimum=quote.minimum_packs * quote.content)
    packs = list(lots.divide_packs([part for _line, part in pieces], pack=Pack(content=quote.content)))
    packs[-1] += lot.packs - sum(packs)
    if packs[-1] < 0:  # earlier pieces opened packs that the last ones share
        packs = _taken_back(packs)
    prices = deciding.price_of(packs, lot=lot)
    first = pieces[0][0]
    deliver_by, order_by = _days(row, lot=lot, first=first, today=today)
    found, spare = [], 0
    for (line, part), count, price in zip(pieces, packs, prices, strict=True):
        opened = spare
        spare += count * quote.content - part
        if not count:
            continue
        reason = Reason(
            need=line.need.quantity,
            reserve=line.reserve,
            usable_stock=line.from_stock,
            open_orders=line.from_orders,
            planned_earlier=line.need.quantity + line.reserve - line.from_stock - line.from_orders - part,
            net=part,
            opened_packs=opened,
            packs=count,
            pack_content=quote.content,
            minimum=pack.minimum,
            surplus=spare,
        )
        suggestion = _suggestion(row, line=line, reason=reason, days=(deliver_by, order_by), today=today)
        come_day = max(min(first.day, line.day), today)
        found.append(Told(suggestion=suggestion, lot=number, quote=quote, price=price, come_day=come_day))
    return found


def _taken_back(packs: list[int]) -> list[int]:
    """Take packs back from the last needs until none is below 0."""
    for at in range(len(packs) - 1, 0, -1):
        if packs[at] < 0:
            packs[at - 1] += packs[at]
            packs[at] = 0
    return packs


def _days(row: Bought, *, lot: Lot, first: Line, today: date) -> tuple[date, date]:
    """The day by which it should be there, and by which to order: never moved, also when it is over."""
    worked = chances.span(row.item.plan.calendar, around=today)
    wanted = worked.back(first.need.day.toordinal(), row.item.plan.safety_days)
    order_day = min(lot.chance.order_day, worked.back(wanted, lot.chance.quote.lead_days))
    return date.fromordinal(min(lot.chance.arrival, wanted)), date.fromordinal(order_day)


def _suggestion(
    row: Bought, *, line: Line, reason: Reason, days: tuple[date, date], today: date
) -> Suggestion:
    need, plan = line.need, row.item.plan
    deliver_by, order_by = days
    what = (plan.site_id, plan.material, need.key, need.pour_id, need.slab_id)
    return Suggestion(
        site_id=plan.site_id,
        material=plan.material,
        need_key=need.key,
        pour_id=need.pour_id,
        slab_id=need.slab_id,
        need_date=need.day,
        deliver_by=deliver_by,
        order_by=order_by,
        late_days=(today - order_by).days if order_by < today else 0,
        packs=reason.packs,
        quantity=reason.packs * reason.pack_content,
        reason=reason,
        fingerprint=fingerprint.of((what, (need.day, order_by, reason.packs, reason.pack_content))),
    )
