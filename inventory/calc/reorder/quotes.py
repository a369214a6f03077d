"""What a quantity costs: pack prices that fall with the quantity, on all packs or on those beyond a break."""

from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A price that holds from a number of packs on.

    Args:
        packs: least packs of the order, 1 or more.
        pack_price: 1/10,000 minor unit for a pack, 0 or more.
    """

    packs: int
    pack_price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """What a supplier asks for a material.

    Args:
        key: number of the offer, passed through and used to settle a tie.
        seller: number of the supplier: what comes of one supplier on one day shares its trucks.
        content: stock units in a pack, above 0.
        breaks: prices, the first from 1 pack on, with rising packs.
        incremental: a break's price holds for the packs beyond it only, not for all packs of the order.
        minimum_packs: least packs in one order, above 0.
        lead_days: working days from order to delivery, 0 or more.
        load_g: grams of a truck's load that a pack takes, where its room and not its mass fills the truck.
        most_packs: packs that are left of an agreed total, None without an end.
        last_order: last day (ordinal) on which it can be ordered so, None without an end.
    """

    key: int
    seller: int
    content: int
    breaks: tuple[Break, ...]
    incremental: bool = False
    minimum_packs: int = 1
    lead_days: int = 0
    load_g: int | None = None
    most_packs: int | None = None
    last_order: int | None = None

    def __post_init__(self) -> None:
        starts = [one.packs for one in self.breaks]
        if self.content <= 0 or self.minimum_packs <= 0 or self.lead_days < 0:
            raise ValueError(
                f"offer {self.key}: content {self.content} and minimum {self.minimum_packs} must be above 0, "
                f"lead {self.lead_days} 0 or more"
            )
        if not starts or starts[0] != 1 or any(a >= b for a, b in pairwise(starts)):
            raise ValueError(f"offer {self.key}: price breaks at {starts} packs must start at 1 and rise")
        if any(one.pack_price < 0 for one in self.breaks):
            raise ValueError(f"offer {self.key}: a pack price must be 0 or more")

    @property
    def pack_price(self) -> int:
        """1/10,000 minor unit for one pack, before any break."""
        return self.breaks[0].pack_price

    @property
    def ends(self) -> bool:
        """Whether it is to be had for a time or a total only, so that no plan can rest on it alone."""
        return self.most_packs is not None or self.last_order is not None

    @property
    def worth(self) -> int:
        """1/10,000 minor unit that a pack is worth while it lies there: its lowest price."""
        return min(one.pack_price for one in self.breaks)


def amount(packs: int, *, quote: Quote) -> int:
    """Tell what a number of packs costs.

    Source: Snyder & Shen, Fundamentals of Supply Chain Theory, 3.4: all-units and incremental discounts.

    Args:
        packs: packs ordered, 0 or more.
        quote: the prices.

    Returns:
        1/10,000 minor units, 0 for no packs.

    >>> tiers = (Break(packs=1, pack_price=75), Break(packs=400, pack_price=72))
    >>> quotes = [Quote(key=1, seller=1, content=1, breaks=tiers, incremental=each) for each in (False, True)]
    >>> [amount(500, quote=each) for each in quotes]
    [36000, 37200]
    """
    if not quote.incremental:
        held = [one for one in quote.breaks if one.packs <= packs]
        return packs * held[-1].pack_price if held else 0
    total = 0
    starts = [0] + [one.packs for one in quote.breaks[1:]]
    for one, start, end in zip(quote.breaks, starts, [*starts[1:], packs], strict=True):
        total += max(0, min(packs, end) - start) * one.pack_price
    return total


def cheapest(packs: int, *, quote: Quote, kept: float = 0.0) -> int:
    """Tell how many packs to take when at least so many are needed: a break above may cost less.

    Source: derived: with all-units discounts the cost falls only at a break, so only breaks are compared.

    Args:
        packs: least packs, above 0.
        quote: the prices and the minimum.
        kept: share of its price that a pack beyond the need is worth.

    Returns:
        Packs to order, `packs` or more.

    >>> tiers = (Break(packs=1, pack_price=100), Break(packs=50, pack_price=90))
    >>> [cheapest(n, quote=Quote(key=1, seller=1, content=1, breaks=tiers)) for n in (20, 46)]
    [20, 50]
    """
    least = max(packs, quote.minimum_packs)
    best, least_cost = least, float(amount(least, quote=quote))
    if quote.incremental:
        return best
    for one in quote.breaks[1:]:
        cost = one.packs * one.pack_price - kept * (one.packs - least) * one.pack_price
        if one.packs > least and cost < least_cost:
            best, least_cost = one.packs, cost
    return best


def packs_for(value: int, *, quote: Quote) -> int | None:
    """Tell how many packs cost so much or more.

    Source: derived: the first price at which the packs that it takes are fewer than those of the next break.

    Args:
        value: 1/10,000 minor units, 0 or more.
        quote: the prices.

    Returns:
        Packs, None when packs that cost nothing never come to it.

    >>> tiers = (Break(packs=1, pack_price=100), Break(packs=10, pack_price=80))
    >>> quotes = [Quote(key=1, seller=1, content=1, breaks=tiers, incremental=each) for each in (False, True)]
    >>> [[packs_for(value, quote=each) for value in (850, 950)] for each in quotes]
    [[9, 12], [9, 10]]
    """
    if value <= 0:
        return 0
    ends = [one.packs for one in quote.breaks[1:]]
    for one, end in zip(quote.breaks, [*ends, None], strict=True):
        if not one.pack_price:
            continue
        start = one.packs if quote.incremental and one.packs > 1 else 0
        beyond = value - (amount(start, quote=quote) if quote.incremental else 0)
        packs = max(start + -(-beyond // one.pack_price), one.packs)
        if end is None or packs < end + quote.incremental:
            return packs
    return None
