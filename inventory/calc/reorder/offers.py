"""Offers as a person chooses among them: whether an order of today comes in time, and when it comes."""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from inventory.calc.reorder import workdays
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What a supplier asks for a pack.

    Args:
        key: number of the offer, passed through and used to settle a tie.
        content: stock units in the pack, above 0.
        pack_price: 1/10,000 minor unit for one pack on site, 0 or more.
        minimum_packs: least packs in one order, above 0.
        lead_days: working days from order to delivery, 0 or more.
    """

    key: int
    content: int
    pack_price: int
    minimum_packs: int = 1
    lead_days: int = 0

    def __post_init__(self) -> None:
        if self.content <= 0 or self.minimum_packs <= 0:
            raise ValueError(
                f"offer {self.key}: content {self.content} and minimum {self.minimum_packs} must be above 0"
            )
        if self.pack_price < 0 or self.lead_days < 0:
            raise ValueError(
                f"offer {self.key}: price {self.pack_price} and lead {self.lead_days} must be 0 or more"
            )

    @property
    def unit_price(self) -> Fraction:
        """1/10,000 minor units for one stock unit, exactly."""
        return Fraction(self.pack_price, self.content)


def comes_in_time(offer: Offer, *, need_date: date, item: PlanItem, today: date) -> bool:
    """Say whether an order of today comes before the need, with the safety days to spare.

    Source: common practice: order-by = need - safety - lead time, in working days.

    Args:
        offer: the offer with its lead time.
        need_date: day of the need.
        item: safety days and calendar of the site.
        today: the day of the order.

    Returns:
        True when the day to order by is not over.

    >>> item = PlanItem(site_id=1, material="cement", needs=(), safety_days=1)
    >>> slow = Offer(key=1, content=50, pack_price=1, lead_days=3)
    >>> monday = date(2025, 3, 3)
    >>> [comes_in_time(slow, need_date=date(2025, 3, n), item=item, today=monday) for n in (6, 7)]
    [False, True]
    """
    days = item.safety_days + offer.lead_days
    return workdays.back(need_date, working_days=days, calendar=item.calendar) >= today


def arrival(order_date: date, *, lead_days: int, calendar: Calendar) -> date:
    """Tell on which day an order comes at the earliest.

    Source: derived: the first day from which `workdays.back` leads to the day of the order or a later one.

    Args:
        order_date: day of the order.
        lead_days: working days from order to delivery, 0 or more.
        calendar: which days are worked.

    Returns:
        A worked day, not before `order_date`.

    >>> arrival(date(2025, 2, 28), lead_days=2, calendar=Calendar(days_off=frozenset({6})))
    datetime.date(2025, 3, 3)
    """
    day = order_date
    while (
        not workdays.is_worked(day, calendar=calendar)
        or workdays.back(day, working_days=lead_days, calendar=calendar) < order_date
    ):
        day += timedelta(days=1)
    return day
