"""Days and costs of hire against numpy's calendar, and sums done by hand beside each."""

from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.calc import hire
from inventory.calc.hire import Basis, DayCount, Ended, Hired, Terms

MONDAY = date(2026, 5, 4)
EVERY_DAY = "1111111"


def terms(**more):
    said = {"rate": 1_250_000, "basis": Basis.PIECE_DAY, "day_count": DayCount.BOTH} | more
    return Terms(**said)


@given(out=st.dates(date(2000, 1, 1), date(2099, 1, 1)), stay=st.integers(1, 900))
def test_days_are_those_of_the_calendar(out, stay):
    back = out + timedelta(days=stay)
    nights = int(np.busday_count(out, back, weekmask=EVERY_DAY))
    both = len(np.arange(np.datetime64(out), np.datetime64(back) + np.timedelta64(1, "D")))

    assert hire.days(out, back, terms=terms(day_count=DayCount.NIGHTS)) == nights
    assert hire.days(out, back, terms=terms()) == both


@pytest.mark.parametrize(
    ("count", "minimum", "charged"), [(DayCount.BOTH, 1, 1), (DayCount.NIGHTS, 1, 1), (DayCount.BOTH, 7, 7)]
)
def test_back_on_its_first_day_is_charged_at_the_least(count, minimum, charged):
    assert hire.days(MONDAY, MONDAY, terms=terms(day_count=count, minimum_days=minimum)) == charged


@given(parts=st.lists(st.tuples(st.integers(1, 500), st.integers(1, 200)), min_size=1, max_size=9))
def test_cost_of_part_returns_is_pieces_times_days_times_rate(parts):
    pieces, stays = (np.array(column, dtype=object) for column in zip(*parts, strict=True))
    exact = Fraction(int(pieces @ stays)) * Fraction(5, 4) * 100
    ended = [Ended(number, MONDAY + timedelta(days=stay)) for number, stay in parts]

    found = hire.cost(ended, out=MONDAY, terms=terms(day_count=DayCount.NIGHTS))

    assert found == round(exact)


def test_one_price_for_all_runs_until_the_last_piece_is_back():
    # Out Monday, the last back on Saturday: six days with both counted, at 120.00.
    ended = [Ended(40, MONDAY + timedelta(days=2)), Ended(24, MONDAY + timedelta(days=5))]
    assert hire.cost(ended, out=MONDAY, terms=terms(rate=120_000_000, basis=Basis.DAY)) == 6 * 12_000


def test_price_for_the_whole_is_the_same_however_long():
    whole = terms(rate=5_000_000_000, basis=Basis.WHOLE)
    for stay in (0, 90):
        assert hire.cost([Ended(3, MONDAY + timedelta(days=stay))], out=MONDAY, terms=whole) == 500_000


def test_standing_with_part_back_part_lost_and_the_rest_late():
    # 60 out on 4 May, 40 back on the 11th (8 days), 1 lost on the 13th (10), 19 still out on the 20th (17):
    # 320 + 10 + 323 = 653 piece-days at 1.25; due on the 18th, so two days late and no other end in sight.
    props = Hired(
        pieces=60,
        out_date=MONDAY,
        due_date=date(2026, 5, 18),
        ended=(Ended(40, date(2026, 5, 11)), Ended(1, date(2026, 5, 13))),
    )
    found = hire.standing(props, terms=terms(), today=date(2026, 5, 20))
    assert (found.still_out, found.late_days, found.piece_days) == (19, 2, 653)
    assert (found.cost, found.cost_at_end) == (81_625, 81_625)


def test_planned_end_prices_what_is_still_out_until_then():
    # 2 machines at 400.00, nights: 3 nights so far, 10 at the end.
    machines = Hired(pieces=2, out_date=MONDAY, due_date=date(2026, 5, 14))
    found = hire.standing(
        machines, terms=terms(rate=400_000_000, day_count=DayCount.NIGHTS), today=date(2026, 5, 7)
    )
    assert (found.cost, found.cost_at_end, found.late_days) == (6 * 40_000, 20 * 40_000, 0)


def test_what_is_back_costs_no_more_and_is_never_late():
    mixer = Hired(pieces=1, out_date=MONDAY, due_date=date(2026, 5, 5), ended=(Ended(1, date(2026, 5, 8)),))
    found = hire.standing(mixer, terms=terms(), today=date(2026, 8, 1))
    assert (found.still_out, found.late_days, found.piece_days) == (0, 0, 5)


def test_look_before_the_first_day_is_one_on_the_first_day():
    mixer = Hired(pieces=1, out_date=MONDAY, due_date=MONDAY)
    assert hire.standing(mixer, terms=terms(), today=date(2026, 1, 1)).piece_days == 1


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: terms(rate=-1), "rate -1 must be 0 or more"),
        (lambda: terms(minimum_days=0), "minimum of 0 days must be 1 or more"),
        (lambda: Hired(pieces=0, out_date=MONDAY, due_date=MONDAY), "0 pieces must be 1 or more"),
        (
            lambda: Hired(pieces=2, out_date=MONDAY, due_date=MONDAY, ended=(Ended(3, MONDAY),)),
            "3 pieces ended of 2 hired",
        ),
        (
            lambda: hire.days(MONDAY, date(2026, 5, 3), terms=terms()),
            "back on 2026-05-03 must not lie before",
        ),
    ],
)
def test_impossible_hire_is_refused(make, said):
    with pytest.raises(ValueError, match=said):
        make()
