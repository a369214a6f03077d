"""Choosing among offers; days of March 2025 with Sunday off, worked out by hand."""

from datetime import date

import pytest

from inventory.calc.reorder import offers
from inventory.calc.reorder.offers import Offer
from inventory.calc.reorder.workdays import Calendar

MONDAY = date(2025, 3, 3)
SUNDAYS_OFF = Calendar(days_off=frozenset({6}))


def offer(key, *, price, lead, content=50, minimum=1):
    return Offer(key=key, content=content, pack_price=price, lead_days=lead, minimum_packs=minimum)


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ({"content": 0}, "must be above 0"),
        ({"minimum": 0}, "must be above 0"),
        ({"price": -1}, "must be 0 or more"),
        ({"lead": -1}, "must be 0 or more"),
    ],
)
def test_an_offer_out_of_bounds_is_refused(figures, words):
    with pytest.raises(ValueError, match=words):
        offer(1, **({"price": 1, "lead": 1} | figures))


@pytest.mark.parametrize(
    ("lead", "arrives"),
    # From Saturday 1 March with Sunday off: the next working day is Monday 3 March.
    [(0, date(2025, 3, 1)), (1, date(2025, 3, 3)), (6, date(2025, 3, 8)), (7, date(2025, 3, 10))],
)
def test_arrival_counts_working_days(lead, arrives):
    assert offers.arrival(date(2025, 3, 1), lead_days=lead, calendar=SUNDAYS_OFF) == arrives


def test_an_order_of_a_day_off_counts_from_the_next_working_day():
    # Ordered on Sunday 2 March, one working day: Monday counts as the first day back, so Monday 3 March.
    assert offers.arrival(date(2025, 3, 2), lead_days=0, calendar=SUNDAYS_OFF) == date(2025, 3, 3)
