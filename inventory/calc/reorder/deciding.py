"""Which of a supplier's terms made a lot what it is: in figures that a reader can follow."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from inventory.calc.reorder import bought, quotes
from inventory.calc.reorder.bought import Bought, Loads, Slot
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.sizing import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """The terms behind a lot; money in 1/10,000 minor units, 0 or None where a term had no say.

    Args:
        trucks: trucks of the delivery that it comes with.
        trip_cost: cost of each.
        riders: codes of the other materials on them.
        break_packs: packs from which its price holds.
        first_price: price of a pack without the break.
        extra_packs: packs beyond its needs, for a break or a least order.
        least_order: goods for which the supplier takes an order.
        order_value: goods of the order that it is in.
    """

    trucks: int = 0
    trip_cost: int = 0
    riders: tuple[str, ...] = ()
    break_packs: int = 0
    first_price: int = 0
    extra_packs: int = 0
    least_order: int = 0
    order_value: int = 0


@dataclass(slots=True)
class Deliveries:
    """What comes to a site of each supplier on each day, of which materials."""

    loads: Loads = field(default_factory=Loads)
    materials: dict[Slot, set[str]] = field(default_factory=lambda: defaultdict(set))


def deliveries(rows: Sequence[Bought]) -> Deliveries:
    """Put together what comes to a site.

    Source: derived: the lots by supplier and day.

    Args:
        rows: what is bought for the site.

    Returns:
        Its deliveries.
    """
    found = Deliveries()
    for row in rows:
        found.loads.put(row.lots, item=row.item, sign=1)
        for lot in row.lots:
            found.materials[lot.chance.quote.seller, lot.chance.arrival].add(row.item.plan.material)
    return found


def of_lot(row: Bought, *, number: int, beside: Deliveries, market: Market) -> Decided:
    """Name the terms behind a lot.

    Source: derived: trucks of its day, the break that its packs reach, packs that serve nothing, its order.

    Args:
        row: the item and its lots.
        number: which of the lots.
        beside: what comes to the site.
        market: suppliers.

    Returns:
        The terms.
    """
    lot = row.lots[number]
    quote, slot = lot.chance.quote, (lot.chance.quote.seller, lot.chance.arrival)
    seller = market.seller(quote.seller)
    used = sum(one.quantity for one in row.served if one.lot == number)
    held = [one for one in quote.breaks if 1 < one.packs <= lot.packs]
    return Decided(
        trucks=bought.trucks(beside.loads.grams[slot], seller.truck_g) if seller.trip_cost else 0,
        trip_cost=seller.trip_cost,
        riders=tuple(sorted(beside.materials[slot] - {row.item.plan.material})) if seller.shares else (),
        break_packs=held[-1].packs if held else 0,
        first_price=quote.pack_price if held else 0,
        extra_packs=_extra(lot, used=used),
        least_order=seller.least_order,
        order_value=beside.loads.values[slot] if seller.least_order else 0,
    )


def price_of(packs: Sequence[int], *, lot: Lot) -> tuple[int, ...]:
    """Share a lot's price among its parts, in their order, each at the prices that its packs fall under.

    Source: derived: differences of the price of the running sum; an all-units price is the same for each.

    Args:
        packs: packs of each part, adding up to the lot's.
        lot: the lot.

    Returns:
        1/10,000 minor units of each part, adding up to the lot's price.
    """
    found, before = [], 0
    for count in packs:
        if lot.chance.quote.incremental:
            after = quotes.amount(before + count, quote=lot.chance.quote)
            found.append(after - quotes.amount(before, quote=lot.chance.quote))
        else:
            found.append(lot.price * count // lot.packs)
        before += count
    return tuple(found)


def _extra(lot: Lot, *, used: int) -> int:
    """Whole packs of a lot that nothing uses."""
    return (lot.quantity - used) // lot.chance.quote.content
