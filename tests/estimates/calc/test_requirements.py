from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import requirements

# The calendar of May 2026: the 4th, 11th and 18th are Mondays.


@pytest.mark.parametrize(
    ("pour_date", "lead_days", "day_off", "expected"),
    [
        (date(2026, 5, 20), 0, 6, date(2026, 5, 20)),
        (date(2026, 5, 20), 1, 6, date(2026, 5, 19)),
        (date(2026, 5, 18), 1, 6, date(2026, 5, 16)),
        (date(2026, 5, 20), 4, 6, date(2026, 5, 15)),
        (date(2026, 5, 20), 12, 6, date(2026, 5, 6)),
        (date(2026, 5, 20), 6, 4, date(2026, 5, 13)),
        (date(2026, 5, 17), 0, 6, date(2026, 5, 17)),
    ],
)
def test_need_date_counts_working_days_back(pour_date, lead_days, day_off, expected):
    assert requirements.need_date(pour_date, lead_days=lead_days, day_off=day_off) == expected


def test_need_date_passes_over_holidays():
    # Two working days back from Monday 4 May 2026, Sunday off and Saturday a holiday: Thursday 30 April.
    closed = frozenset({date(2026, 5, 2)})
    found = requirements.need_date(date(2026, 5, 4), lead_days=2, day_off=6, holidays=closed)
    assert found == date(2026, 4, 30)


def test_need_date_refuses_what_is_no_lead_or_day():
    with pytest.raises(ValueError, match="lead of -1 working days must be 0 or more"):
        requirements.need_date(date(2026, 5, 4), lead_days=-1, day_off=6)
    with pytest.raises(ValueError, match="day off 7 must be from 0"):
        requirements.need_date(date(2026, 5, 4), lead_days=1, day_off=7)


@given(quantity=st.integers(0, 10**12), cuts=st.lists(st.integers(1, 999_999), max_size=6, unique=True))
def test_shares_of_the_whole_slab_add_up_to_its_bill(quantity, cuts):
    edges = [0, *sorted(cuts), 1_000_000]
    shares = [after - before for before, after in pairwise(edges)]

    assert sum(requirements.split(quantity, shares_ppm=shares)) == quantity


def test_a_part_without_a_pour_is_left_out():
    assert requirements.split(1_000_001, shares_ppm=[250_000, 250_000]) == (250_000, 250_000)
    assert requirements.split(10, shares_ppm=[]) == ()


def test_split_refuses_more_than_the_slab_and_less_than_nothing():
    with pytest.raises(ValueError, match="shares of 1000001 millionths must not be more"):
        requirements.split(1, shares_ppm=[1_000_000, 1])
    with pytest.raises(ValueError, match="quantity -1 must be 0 or more"):
        requirements.split(-1, shares_ppm=[1])
    with pytest.raises(ValueError, match="weight -5 must be 0 or more"):
        requirements.split(1, shares_ppm=[-5])
