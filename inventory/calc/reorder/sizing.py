"""Which needs to buy together: the cheapest chain of lots, each for the needs of one stretch of days."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from inventory.calc.reorder import quotes
from inventory.calc.reorder.quotes import Quote

RATE_DAYS = 365 * 1_000_000
"""A yearly share in millionths becomes a daily one by this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """A way to have a delivery for a need.

    Args:
        quote: whom it is bought of.
        order_day: day of the order, as an ordinal.
        arrival: day on which it is promised, as an ordinal.
        in_time: whether it is promised for the need or before it.
    """

    quote: Quote
    order_day: int
    arrival: int
    in_time: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Net requirement of a day, as an ordinal, in stock units, and the ways to have a delivery in time."""

    day: int
    quantity: int
    chances: tuple[Chance, ...] = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """A lot to buy: it is for the demands from number `first` to `last`, and its surplus serves later ones.

    Costs in 1/10,000 minor units: `price` for the packs, `trip` for trucks that it adds, `keeping` until use,
    `risk` what its lateness costs on average.
    """

    first: int
    last: int
    chance: Chance
    packs: int
    price: int
    trip: int
    keeping: int
    risk: int = 0

    @property
    def quantity(self) -> int:
        """Stock units in the packs."""
        return self.packs * self.chance.quote.content

    @property
    def cost(self) -> int:
        """All that the lot costs, expected lateness included."""
        return self.price + self.trip + self.keeping + self.risk


ChanceCost = Callable[[Chance, int], int]
"""What a delivery costs for so many stock units, or for the need of a day: 1/10,000 minor units."""


def _no_cost(_chance: Chance, _figure: int) -> int:
    return 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What lots have to keep to, and what keeping costs.

    Args:
        trip_cost: what a delivery of so many stock units adds to the trips.
        least_packs: packs below which the supplier takes no order of that day, what else comes counted in.
        late_cost: what the lateness of a delivery costs on average for the need of a day (ordinal).
        life_days: days after its arrival on which a purchase may be used, None when it keeps.
        room: stock units for which a day of arrival (ordinal) has room, None without a limit; a lot for
            one need alone may exceed it.
        keep_ppm: cost of keeping goods for a year, in millionths of their price.
        rest_ppm: loss on what is left over at the end, in millionths of its price.
        rest_unit: that price, as 1/10,000 minor units for so many stock units.
        apart: whether each need is bought for itself.
    """

    trip_cost: ChanceCost
    least_packs: Callable[[Chance], int] | None = None
    late_cost: ChanceCost = _no_cost
    life_days: int | None = None
    room: Callable[[int], int] | None = None
    keep_ppm: int = 0
    rest_ppm: int = 0
    rest_unit: tuple[int, int] = (0, 1)
    apart: bool = False


@dataclass(frozen=True, slots=True)
class _Mark:
    """The cheapest way to have served the demands so far: cost, lots, and what is left of the last lot.

    `lying` is stock units times days between arrival and need: of equal cost, what lies least is taken.
    """

    cost: int
    lots: tuple[Lot, ...]
    carry: int = 0
    arrival: int = 0
    quote: Quote | None = None
    lying: int = 0


def cheapest(demands: Sequence[Demand], *, rules: Rules) -> tuple[Lot, ...]:
    """Work out the lots of least cost for dated needs, in whole packs over true day spans.

    The chain of Wagner and Whitin: what is left of a lot's packs serves the next needs while it may be used.
    With a minimum order or a life that runs out within a rest, only the cheapest way to each day is kept, so
    that the result is then good but not proven.
    Source: Wagner & Whitin 1958; derived: packs by the running sum, keeping by days and price.

    Args:
        demands: net requirements by day, days rising, each above 0 and with a chance of delivery.
        rules: trips, life, room and keeping.

    Returns:
        Lots in the order of their needs.

    Two needs ten days apart, 3,000 for a trip: one lot while keeping costs less than the second trip.

    >>> quote = Quote(key=1, seller=1, content=50, breaks=(quotes.Break(packs=1, pack_price=100_000),))
    >>> needs = [Demand(day=d, quantity=500, chances=(Chance(quote=quote, order_day=d - 3, arrival=d - 1),))
    ...     for d in (100, 110)]
    >>> for ppm in (50_000, 500_000):
    ...     rules = Rules(trip_cost=lambda chance, quantity: 3_000, keep_ppm=ppm)
    ...     print([lot.packs for lot in cheapest(needs, rules=rules)])
    [20]
    [10, 10]
    """
    marks: list[_Mark | None] = [None] * (len(demands) + 1)
    marks[0] = _Mark(0, ())
    for first, demand in enumerate(demands):
        mark = marks[first]
        if mark is None:
            continue
        if mark.carry >= demand.quantity and _usable(mark, demand.day, rules=rules):
            _offer(marks, first + 1, _carried(mark, demand, rules=rules), demands=demands, rules=rules)
            continue
        for chance in demand.chances:
            _extend(marks, first=first, chance=chance, demands=demands, rules=rules)
    last = marks[-1]
    if last is None:
        raise ValueError(f"no chance of delivery for one of {len(demands)} needs")
    return last.lots


def _extend(
    marks: list[_Mark | None], *, first: int, chance: Chance, demands: Sequence[Demand], rules: Rules
) -> None:
    """Try lots by one chance for the needs from `first` on, one need more each time."""
    mark = marks[first]
    assert mark is not None  # noqa: S101 - asked for only from a day that is reached
    quote = chance.quote
    carry = mark.carry if _usable(mark, demands[first].day, rules=rules) else 0
    kept_ppm = max(0, 1_000_000 - rules.rest_ppm) / 1_000_000
    least = rules.least_packs(chance) if rules.least_packs is not None else 0
    most = _left(mark, quote=quote)
    total, unit_days, late = -carry, 0, 0
    for last in range(first, len(demands)):
        demand = demands[last]
        level = carry - (-(total + demand.quantity) // quote.content) * quote.content
        if last > first and not _may_add(demand, chance=chance, level=level, rules=rules):
            break
        total += demand.quantity
        unit_days += (total if last == first else demand.quantity) * max(0, demand.day - chance.arrival)
        late += rules.late_cost(chance, demand.day)
        packs = quotes.cheapest(max(least, -(-total // quote.content)), quote=quote, kept=kept_ppm)
        if most is not None and packs > most:
            break
        price = quotes.amount(packs, quote=quote)
        quantity = packs * quote.content
        lot = Lot(
            first=first,
            last=last,
            chance=chance,
            packs=packs,
            price=price,
            trip=rules.trip_cost(chance, quantity),
            keeping=quote.worth * unit_days * rules.keep_ppm // (quote.content * RATE_DAYS),
            risk=late,
        )
        lots, lying = (*mark.lots, lot), mark.lying + unit_days
        after = _Mark(mark.cost + lot.cost, lots, quantity - total, chance.arrival, quote, lying)
        _offer(marks, last + 1, after, demands=demands, rules=rules)
        if rules.apart:
            break


def _left(mark: _Mark, *, quote: Quote) -> int | None:
    """Packs that are left of a quote's total beside the lots so far, None without an end."""
    if quote.most_packs is None:
        return None
    return quote.most_packs - sum(lot.packs for lot in mark.lots if lot.chance.quote == quote)


def _may_add(demand: Demand, *, chance: Chance, level: int, rules: Rules) -> bool:
    if rules.room is not None and level > rules.room(chance.arrival):
        return False
    return rules.life_days is None or demand.day - chance.arrival <= rules.life_days


def _usable(mark: _Mark, day: int, *, rules: Rules) -> bool:
    return rules.life_days is None or day - mark.arrival <= rules.life_days


def _carried(mark: _Mark, demand: Demand, *, rules: Rules) -> _Mark:
    quote, days = mark.quote, max(0, demand.day - mark.arrival)
    assert quote is not None  # noqa: S101 - what is carried was bought by one
    cost = quote.worth * demand.quantity * days * rules.keep_ppm // (quote.content * RATE_DAYS)
    lying = mark.lying + demand.quantity * days
    return _Mark(mark.cost + cost, mark.lots, mark.carry - demand.quantity, mark.arrival, quote, lying)


def _offer(
    marks: list[_Mark | None], at: int, mark: _Mark, *, demands: Sequence[Demand], rules: Rules
) -> None:
    """Keep a mark that is the cheapest of its day, or as cheap and lies less; the last one bears its rest."""
    if at == len(demands) and mark.carry:
        worth, units = rules.rest_unit
        loss = worth * mark.carry * rules.rest_ppm // (units * 1_000_000)
        mark = replace(mark, cost=mark.cost + loss)
    known = marks[at]
    if known is None or (mark.cost, mark.lying) < (known.cost, known.lying):
        marks[at] = mark
