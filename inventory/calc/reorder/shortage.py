"""How likely a pour runs short, what it rests on, and what can still be done about it by when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import prod, sqrt

import numpy as np
import numpy.typing as npt

from inventory.calc.reorder import at_site, chances, quotes, reserve
from inventory.calc.reorder.bought import Bought, trucks
from inventory.calc.reorder.chances import Span
from inventory.calc.reorder.facts import Need
from inventory.calc.reorder.lateness import Record
from inventory.calc.reorder.market import Item, Market

Chances = npt.NDArray[np.float64]
MOST_STEPS = 4_000
"""Steps of the grid on which deliveries are added up; a coarser one is taken above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A delivery to come.

    Args:
        quantity: stock units ordered.
        promised: day of its promise, as an ordinal.
        seller: number of the supplier, None for what comes of another site.
        record: how the supplier comes.
        planned: whether it is only suggested.
    """

    quantity: int
    promised: int
    seller: int | None
    record: Record
    planned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """The deliveries that a supplier's chances rest on: its own, and those of the firm that they lean on."""

    seller: int
    seen: int
    pooled: int

    @property
    def known(self) -> bool:
        """Whether the supplier's own deliveries are enough."""
        return Record(seen=self.seen, pooled=self.pooled).known


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A way to get what a pour lacks: of whom, the last day on which it still works, and its cost."""

    quote: int
    seller: int
    last_day: date
    packs: int
    cost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """How a need looks.

    Args:
        key: name of the need.
        short: probability that it runs short when the plan is followed, None when no delivery was ever seen.
        without: the same when nothing more is ordered.
        behind: the deliveries that it rests on.
        remedies: ways to get it, the cheapest first.
    """

    key: str
    short: float | None
    without: float | None
    behind: tuple[Behind, ...]
    remedies: tuple[Remedy, ...]


def by_day(dues: Sequence[Due], *, day: int, grid: int, worked: Span) -> Chances:
    """Add up what deliveries bring by the morning of a day: the probability of each number of grid steps.

    Each delivery comes by then with the probability of its supplier's days late, and brings a share of its
    load by the supplier's record; deliveries are taken as independent of each other.
    Source: derived: convolution of the deliveries' distributions on the pack grid.

    Args:
        dues: the deliveries.
        day: the day, as an ordinal.
        grid: stock units in a step of the grid, above 0.
        worked: the worked days.

    Returns:
        Probabilities of 0, 1, 2, … steps, adding up to 1.

    >>> from inventory.calc.reorder.workdays import EVERY_DAY
    >>> worked = chances.span(EVERY_DAY, around=date.fromordinal(739_000))
    >>> due = Due(quantity=100, promised=739_000, seller=1, record=Record(late=(0.8, 0.2)))
    >>> [round(float(chance), 2) for chance in by_day([due, due], day=739_000, grid=50, worked=worked)]
    [0.04, 0.0, 0.32, 0.0, 0.64]
    """
    found: Chances = np.ones(1)
    for due in dues:
        slack = worked.between(due.promised, worked.back(day, 0))
        here = due.record.on_time(slack)
        steps = np.zeros(due.quantity // grid + 1)
        steps[0] = 1 - here
        for share, chance in due.record.shares:
            steps[int(share * due.quantity / grid + 1e-9)] += here * chance
        found = np.convolve(found, steps)
    return found


def of_item(row: Bought, *, market: Market, today: date, dues: Sequence[Due] = ()) -> tuple[Outlook, ...]:
    """Tell how each need of an item looks.

    What has been used up to a need, itself included, is set against what has come by its day: stock that is
    still usable, open orders, and the lots of the plan.
    Source: derived: supply by `by_day`; use lognormal with the mean and the variance of the sum of the needs.

    Args:
        row: the item and what is bought.
        market: suppliers with their records.
        today: day of the plan.
        dues: open orders.

    Returns:
        Outlooks in the order of the needs.
    """
    every = [*dues, *_planned(row, market=market)]
    grid = _grid(row.item, dues=every)
    days = at_site.lacking(row.item, today=today).days
    stock = sum(lot.quantity for lot in row.item.plan.supply.stock)
    found = []
    total, variance = 0, 0.0
    for need in sorted(row.item.plan.needs, key=lambda need: (need.day, need.key)):
        total += need.quantity
        variance += (need.quantity * row.item.spread) ** 2
        day = max(need.day, today).toordinal()
        sure = stock - sum(one.expired for one in days if one.day.toordinal() <= day)
        stand = _Stand(day, sure, total, sqrt(variance) / total, grid, today)
        near = [due for due in every if due.promised <= day]
        found.append(
            Outlook(
                key=need.key,
                short=_short(near, stand=stand, item=row.item),
                without=_short([due for due in near if not due.planned], stand=stand, item=row.item),
                behind=_behind(near),
                remedies=remedies(need, item=row.item, market=market, today=today),
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Stand:
    """How an item stands on the day of a need: what is surely there, what is used by then, and its spread."""

    day: int
    sure: int
    used: int
    spread: float
    grid: int
    today: date


def _planned(row: Bought, *, market: Market) -> list[Due]:
    return [
        Due(
            quantity=lot.quantity,
            promised=lot.chance.arrival,
            seller=lot.chance.quote.seller,
            record=market.seller(lot.chance.quote.seller).record,
            planned=True,
        )
        for lot in row.lots
    ]


def remedies(need: Need, *, item: Item, market: Market, today: date) -> tuple[Remedy, ...]:
    """List who can still bring what a need takes, until when, and for how much.

    Source: derived: the last day from which the supplier's lead, without any buffer, ends at the need.

    Args:
        need: the need.
        item: the item, for its quotes.
        market: suppliers, for their trips.
        today: day of the plan.

    Returns:
        Remedies that are not over, the cheapest first.
    """
    worked = chances.span(item.plan.calendar, around=today)
    found = []
    for quote in item.quotes:
        last = worked.back(worked.back(max(need.day, today).toordinal(), 0), quote.lead_days)
        if last < today.toordinal():
            continue
        packs = quotes.cheapest(-(-(need.quantity + need.reserve) // quote.content), quote=quote)
        seller = market.seller(quote.seller)
        trips = trucks(max(1, item.grams(packs * quote.content)), seller.truck_g)
        found.append(
            Remedy(
                quote=quote.key,
                seller=quote.seller,
                last_day=date.fromordinal(last),
                packs=packs,
                cost=quotes.amount(packs, quote=quote) + seller.trip_cost * trips,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.cost, one.quote)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """How likely a pour lacks at least one of its materials.

    Args:
        likely: with the materials taken as independent of each other, None when one of them is not known.
        least: however they hang together, it is no less: the worst material alone.
        most: however they hang together, it is no more: all of them added up.
    """

    likely: float | None
    least: float
    most: float


def of_pour(parts: Sequence[float | None]) -> Together:
    """Tell how likely a pour lacks at least one of its materials.

    Materials that one truck brings run short together, others do not, so that the independent figure stands
    between two that hold in every case.
    Source: derived: one less the product of the probabilities of enough; the bounds are Fréchet's (1935) and
    Boole's inequality.

    Args:
        parts: probability of running short of each material, None where it is not known.

    Returns:
        The probability with its bounds.

    >>> of_pour([0.1, 0.5])
    Together(likely=0.55, least=0.5, most=0.6)
    >>> of_pour([0.1, None])
    Together(likely=None, least=0.1, most=1.0)
    """
    known = [part for part in parts if part is not None]
    least, most = max(known, default=0.0), min(1.0, sum(known))
    if len(known) < len(parts):
        return Together(likely=None, least=least, most=1.0)
    likely = round(1 - prod(1 - part for part in known), 12)
    return Together(likely=min(most, max(least, likely)), least=least, most=most)


def _short(dues: Sequence[Due], *, stand: _Stand, item: Item) -> float | None:
    if any(due.seller is not None and not due.record.pooled for due in dues):
        return None
    worked = chances.span(item.plan.calendar, around=stand.today)
    short = 0.0
    for steps, chance in enumerate(by_day(dues, day=stand.day, grid=stand.grid, worked=worked)):
        if chance:
            have = stand.sure + steps * stand.grid
            short += float(chance) * (
                1 - reserve.chance_of_enough(have, need=stand.used, spread=stand.spread)
            )
    return min(1.0, max(0.0, short))


def _grid(item: Item, *, dues: Sequence[Due]) -> int:
    """The step on which every delivery is whole, or a coarser one where that would take too many."""
    content = min((quote.content for quote in item.quotes), default=item.default.content)
    most = sum(due.quantity for due in dues)
    return max(1, content if most // content <= MOST_STEPS else -(-most // MOST_STEPS))


def _behind(dues: Sequence[Due]) -> tuple[Behind, ...]:
    records = {due.seller: due.record for due in dues if due.seller is not None}
    return tuple(
        Behind(seller=seller, seen=record.seen, pooled=record.pooled)
        for seller, record in sorted(records.items())
    )
