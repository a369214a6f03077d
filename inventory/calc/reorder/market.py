"""What the plan of a whole firm is worked out from: items, suppliers, money at stake, roads between sites."""

from dataclasses import dataclass, field

from inventory.calc.reorder.lateness import NO_RECORD, Record
from inventory.calc.reorder.lots import LOOSE, Pack
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import DAYS_IN_WEEK


@dataclass(frozen=True, slots=True, kw_only=True)
class Seller:
    """A supplier as the plan sees it.

    Args:
        key: number of the supplier.
        trip_cost: 1/10,000 minor unit for a truck to a site, 0 when the prices hold on site.
        truck_g: grams that a truck takes, None without a limit.
        least_order: goods for which it takes an order at all, in 1/10,000 minor units; 0 for any. What comes
            to a site on one day is one order.
        order_days: weekdays on which it takes orders, 0 for Monday; empty for every working day.
        delivery_days: weekdays on which it delivers; empty for every working day.
        record: how its deliveries come.
    """

    key: int
    trip_cost: int = 0
    truck_g: int | None = None
    least_order: int = 0
    order_days: frozenset[int] = frozenset()
    delivery_days: frozenset[int] = frozenset()
    record: Record = NO_RECORD

    def __post_init__(self) -> None:
        if self.trip_cost < 0 or self.least_order < 0 or (self.truck_g is not None and self.truck_g <= 0):
            raise ValueError(
                f"supplier {self.key}: trip {self.trip_cost} and least order {self.least_order} must be 0 or "
                f"more, truck {self.truck_g} above 0"
            )
        wrong = sorted(day for day in self.order_days | self.delivery_days if not 0 <= day < DAYS_IN_WEEK)
        if wrong:
            raise ValueError(f"supplier {self.key}: weekday {wrong[0]} must lie between 0 (Monday) and 6")

    @property
    def shares(self) -> bool:
        """Whether it matters what else comes of it on a day: on the same truck, or in the same order."""
        return bool(self.trip_cost or self.least_order)


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The firm's money at stake; costs in 1/10,000 minor units.

    Args:
        stop_cost: cost of a pour that stands for a day, 0 when the firm has not said.
        keep_ppm: cost of keeping goods for a year, in millionths of their price.
        rest_ppm: loss on what is left over in the end, in millionths of its price.
        week_budget: most to be spent on the orders of a week (Monday to Sunday), None without a limit.
        freight: cost of a trip between two sites, None when moves are not to be suggested.
        van_g: grams that such a trip takes, None without a limit.
    """

    stop_cost: int = 0
    keep_ppm: int = 0
    rest_ppm: int = 0
    week_budget: int | None = None
    freight: int | None = None
    van_g: int | None = None

    def __post_init__(self) -> None:
        for name in ("stop_cost", "keep_ppm", "rest_ppm", "week_budget", "freight"):
            value = getattr(self, name)
            if value is not None and value < 0:
                raise ValueError(f"{name} {value} must be 0 or more")
        if self.rest_ppm > 1_000_000:
            raise ValueError(f"loss on the rest {self.rest_ppm} ppm must be at most 1000000")


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """What it costs to take goods from a site to another, in 1/10,000 minor units.

    Args:
        trip: of each trip, whatever is on it.
        tonne: of each tonne, beside the trip.
        own: whether it was given for these two sites; else it is what the firm says of any trip.
    """

    trip: int
    tonne: int = 0
    own: bool = True

    def __post_init__(self) -> None:
        if self.trip < 0 or self.tonne < 0:
            raise ValueError(f"a road's trip {self.trip} and tonne {self.tonne} must cost 0 or more")

    def carriage(self, grams: int) -> int:
        """The part of the cost that goes by the mass, rounded up.

        >>> Road(trip=100, tonne=10).carriage(250_000)
        3
        """
        return -(-self.tonne * grams // 1_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A material at a site: needs and supply, who offers it, and what it is like.

    Args:
        plan: needs, stock, open orders, life, safety days and calendar.
        quotes: what suppliers ask.
        default: pack to count in when nobody offers it.
        unit_mg: mass of a stock unit in milligrams, 0 when it does not load a truck.
        spread: standard deviation of the logarithm of what a pour takes, 0 when it takes what is billed.
        room: most stock units that find room at the site, None without a limit.
    """

    plan: PlanItem
    quotes: tuple[Quote, ...] = ()
    default: Pack = LOOSE
    unit_mg: int = 0
    spread: float = 0.0
    room: int | None = None

    def grams(self, quantity: int) -> int:
        """The mass of a quantity in grams."""
        return quantity * self.unit_mg // 1_000

    def load(self, packs: int, *, quote: Quote) -> int:
        """What packs take of a truck, in grams; something without mass takes one, so that its trip counts."""
        if quote.load_g is not None:
            return max(1, packs * quote.load_g)
        return max(1, self.grams(packs * quote.content))


@dataclass(frozen=True, slots=True, kw_only=True)
class Market:
    """What all items of a firm share.

    Args:
        terms: money at stake.
        sellers: suppliers by their number; one that is not listed has prices on site.
        roads: from a site to another, where it differs from the trip of the terms.
        stranger: how a supplier that is not listed is taken to come: as the firm's deliveries do.
    """

    terms: Terms = Terms()
    sellers: dict[int, Seller] = field(default_factory=dict)
    roads: dict[tuple[int, int], Road] = field(default_factory=dict)
    stranger: Record = NO_RECORD

    def seller(self, key: int) -> Seller:
        """The supplier of a number."""
        return self.sellers.get(key) or Seller(key=key, record=self.stranger)

    def road(self, source: int, target: int) -> Road | None:
        """The road from a site to another, None when nobody has said what a trip costs."""
        if (source, target) in self.roads:
            return self.roads[source, target]
        return None if self.terms.freight is None else Road(trip=self.terms.freight, own=False)
