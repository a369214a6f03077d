"""Offers as a person chooses among them: whether an order of today comes in time, and when it comes."""

from datetime import date

from inventory.calc.reorder import chances
from inventory.calc.reorder.market import Seller
from inventory.calc.reorder.quotes import Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar


def comes_in_time(quote: Quote, *, need_date: date, item: PlanItem, seller: Seller, today: date) -> bool:
    """Say whether an order of today comes before the need, with the safety days to spare.

    Source: common practice: order-by = need - safety - lead time, in working days.

    Args:
        quote: the offer with its lead time.
        need_date: day of the need.
        item: safety days and calendar of the site.
        seller: the supplier with its days.
        today: the day of the order.

    Returns:
        True when the day to order by is not over.

    >>> from inventory.calc.reorder.quotes import Break
    >>> item = PlanItem(site_id=1, material="cement", needs=(), safety_days=1)
    >>> slow = Quote(key=1, seller=1, content=50, breaks=(Break(packs=1, pack_price=1),), lead_days=3)
    >>> days = [date(2025, 3, n) for n in (6, 7)]
    >>> [comes_in_time(slow, need_date=day, item=item, seller=Seller(key=1), today=date(2025, 3, 3))
    ...     for day in days]
    [False, True]
    """
    wanted = chances.span(item.calendar, around=today).back(need_date.toordinal(), item.safety_days)
    comes = arrival(today, lead_days=quote.lead_days, calendar=item.calendar, seller=seller)
    return comes.toordinal() <= wanted


def arrival(order_date: date, *, lead_days: int, calendar: Calendar, seller: Seller) -> date:
    """Tell on which day an order comes at the earliest.

    Source: derived: the supplier's first delivery from which its lead leads back to its first order day.

    Args:
        order_date: day of the order.
        lead_days: working days from order to delivery, 0 or more.
        calendar: which days are worked.
        seller: the supplier with its days.

    Returns:
        A worked day, not before `order_date`.

    >>> sundays_off = Calendar(days_off=frozenset({6}))
    >>> arrival(date(2025, 2, 28), lead_days=2, calendar=sundays_off, seller=Seller(key=1))
    datetime.date(2025, 3, 3)
    """
    on = chances.rounds(seller, calendar=calendar, around=order_date)
    return date.fromordinal(on.arrival(order_date.toordinal(), lead_days))
