"""When an order of a day comes; days of March 2025 with Sunday off, worked out by hand."""

from datetime import date

import pytest

from inventory.calc.reorder import offers
from inventory.calc.reorder.market import Seller
from inventory.calc.reorder.workdays import Calendar

SUNDAYS_OFF = Calendar(days_off=frozenset({6}))
TUESDAY, FRIDAY = 1, 4


def arrival(day, *, lead, **days):
    return offers.arrival(day, lead_days=lead, calendar=SUNDAYS_OFF, seller=Seller(key=1, **days))


@pytest.mark.parametrize(
    ("lead", "arrives"),
    # From Saturday 1 March with Sunday off: the next working day is Monday 3 March.
    [(0, date(2025, 3, 1)), (1, date(2025, 3, 3)), (6, date(2025, 3, 8)), (7, date(2025, 3, 10))],
)
def test_arrival_counts_working_days(lead, arrives):
    assert arrival(date(2025, 3, 1), lead=lead) == arrives


def test_an_order_of_a_day_off_counts_from_the_next_working_day():
    # Ordered on Sunday 2 March, one working day: Monday counts as the first day back, so Monday 3 March.
    assert arrival(date(2025, 3, 2), lead=0) == date(2025, 3, 3)


@pytest.mark.parametrize(
    ("days", "arrives"),
    [
        # Two working days from Monday 3 March are Wednesday; the next round is Friday.
        ({"delivery_days": frozenset({TUESDAY, FRIDAY})}, date(2025, 3, 7)),
        # The order is taken on Tuesday, two working days on is Thursday.
        ({"order_days": frozenset({TUESDAY})}, date(2025, 3, 6)),
        # Taken on Friday 7, Monday 10 at the earliest, delivered on Tuesday 11.
        ({"order_days": frozenset({FRIDAY}), "delivery_days": frozenset({TUESDAY})}, date(2025, 3, 11)),
    ],
)
def test_an_order_waits_for_the_supplier_s_days(days, arrives):
    assert arrival(date(2025, 3, 3), lead=2, **days) == arrives


@pytest.mark.parametrize(
    ("terms", "words"),
    [
        ({"trip_cost": -1}, "0 or more"),
        ({"least_order": -1}, "0 or more"),
        ({"truck_g": 0}, "above 0"),
        ({"order_days": frozenset({7})}, "weekday 7"),
    ],
)
def test_terms_out_of_bounds_are_refused(terms, words):
    with pytest.raises(ValueError, match=words):
        Seller(key=1, **terms)
