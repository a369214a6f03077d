"""Aims in their order, limits of the search, and what holds for every plan."""

from dataclasses import replace
from itertools import count

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from estimates.calc.cutting import best_fit, checking, planning
from estimates.calc.cutting.facts import Ended, Kind, Piece, Stock, Task
from tests.estimates.calc.cutting import tasks


def test_offcuts_in_store_come_before_new_steel():
    # 5 + 7 m fill a bar, but 5 m can come from the offcut, and 7 m then leaves a rest of 5 m.
    plan = tasks.solved(tasks.task({7000: 1, 5000: 2}, offcuts=(5100,)))
    assert (plan.new_bars, plan.offcuts_used) == (1, 1)


def test_of_two_offcuts_the_short_one_is_taken():
    plan = tasks.solved(tasks.task({2000: 1, 11_000: 1}, offcuts=(5000, 2100)))
    assert [(p.stock, p.bars) for p in plan.patterns] == [(0, 1), (2, 1)]


def test_short_offcuts_are_used_up_and_long_ones_spared():
    # 930 mm from offcuts just worth keeping: the long ones stay whole.
    job = tasks.task({930: 6}, offcuts=(5000, 1010, 1050, 1020, 4000, 1090, 1900))
    plan = tasks.solved(job)
    taken = sorted(job.stocks[p.stock].length_mm for p in plan.patterns for _ in range(p.bars))
    assert (plan.new_bars, taken) == (0, [1010, 1020, 1050, 1090, 1900])


def test_rests_are_gathered_in_one_long_offcut():
    # 24 pieces of 3 m and 2 of 4 m: 7 bars, 4 m left, which one bar can hold in one piece.
    plan = tasks.solved(tasks.task({3000: 24, 4000: 2}))
    assert (plan.new_bars, plan.kept_mm, plan.scrap_mm) == (7, (4000,), 0)


def test_of_several_lengths_the_least_steel_is_bought():
    stocks = (Stock(label="12 m", length_mm=12_000), Stock(label="7.5 m", length_mm=7_500))
    given = replace(tasks.task({7400: 10, 3900: 30}), stocks=stocks)
    plan = tasks.solved(given)
    assert (plan.new_mm, plan.proven) == (10 * 7500 + 10 * 12_000, True)


def test_cost_decides_where_it_is_given():
    # Two bars of 6 m cost less than one of 12 m.
    stocks = (
        Stock(label="12 m", length_mm=12_000, cost=100),
        Stock(label="6 m", length_mm=6_000, cost=49),
    )
    plan = tasks.solved(replace(tasks.task({3000: 4}), stocks=stocks))
    assert (plan.cost, [p.stock for p in plan.patterns]) == (98, [1])


def test_bars_in_store_come_before_equal_ones_to_buy():
    stocks = (Stock(label="buy", length_mm=12_000), Stock(label="store", length_mm=12_000, available=2))
    plan = tasks.solved(replace(tasks.task({5000: 6}), stocks=stocks))
    assert {p.stock: p.bars for p in plan.patterns} == {0: 1, 1: 2}


@settings(max_examples=60, deadline=None)
@given(
    wanted=st.dictionaries(st.integers(200, 6_000), st.integers(1, 9), min_size=1, max_size=8),
    there=st.integers(0, 6),
    times=st.sampled_from([1, 3, 10]),
)
@example(wanted={200: 1, 2001: 3}, there=1, times=3)  # room for a rest, at the cheap price, of 8943 mm
def test_every_plan_with_dear_bars_to_buy_can_be_cut(wanted, there, times):
    stocks = [Stock(label="store", length_mm=6_000, available=there)] if there else []
    dear = Stock(label="buy", length_mm=6_000, cost=6_000 * times)
    job = replace(tasks.task(wanted, stock=6_000), stocks=(*stocks, dear))
    plan = tasks.solved(job)
    assert checking.check(job, plan) == ()
    assert plan.bound <= plan.cost


def test_bound_is_lifted_to_whole_bars_of_two_prices():
    # First fit takes 825 bars, the linear program 805.46 of 12 m: 806 is best, of them 10 a little cheaper.
    stocks = (
        Stock(label="buy", length_mm=12_000, cost=12_001),
        Stock(label="store", length_mm=12_000, available=10),
    )
    plan = tasks.solved(replace(tasks.task(tasks.slab_bars(1)), stocks=stocks), seconds=4)
    assert (plan.new_bars, plan.bound_bars, plan.cost) == (806, 806, 806 * 12_000 + 796)
    assert plan.proven


def test_marks_of_one_length_are_all_served():
    pieces = tuple(Piece(mark=mark, length_mm=4000, count=number) for mark, number in (("A", 2), ("B", 5)))
    given = replace(tasks.task({4000: 1}), pieces=pieces)
    plan = tasks.solved(given)
    assert (plan.new_bars, checking.check(given, plan)) == (3, ())


@pytest.mark.parametrize(("most", "bars"), [(8, 78), (10, 75), (12, 75), (20, 73)])
def test_paper_mill_within_so_many_patterns(most, bars):
    # Published: 10 patterns are the fewest with 73 bars; here a bar or two more is what the search reaches.
    given = tasks.task(tasks.PAPER_MILL, stock=5600, max_patterns=most)
    plan = tasks.solved(given, seconds=20)
    assert checking.check(given, plan) == ()
    assert plan.patterns_kept
    assert plan.new_bars <= bars


def test_a_bar_with_a_part_of_a_pattern_needs_no_pattern_of_its_own():
    # Five pieces, two to a bar: the last bar gives one.
    given = tasks.task({5000: 5}, max_patterns=1)
    plan = tasks.solved(given)
    assert (plan.new_bars, plan.patterns_kept, checking.check(given, plan)) == (3, True, ())


def test_more_patterns_than_allowed_are_confessed():
    # Each of these takes a bar of its own: three patterns whatever one does.
    plan = tasks.solved(tasks.task({7000: 1, 8000: 1, 9000: 1}, max_patterns=2))
    assert (plan.patterns_kept, plan.new_bars) == (False, 3)


def test_equal_input_gives_an_equal_plan():
    job = tasks.task(tasks.slab_bars(11, sizes=12, pieces=300), offcuts=(4200, 2600))
    assert tasks.solved(job) == tasks.solved(job)


def test_plan_of_many_lengths_ends_by_itself():
    # Too many patterns to look for fewer: the search does not spend the rest of its time on it.
    job = tasks.task(tasks.slab_bars(1, sizes=60, pieces=600))
    plan = tasks.solved(job, seconds=120)
    assert (plan.ended, plan.proven, checking.check(job, plan)) == (Ended.DONE, True, ())


def test_without_time_there_is_still_a_plan():
    job = tasks.task(tasks.slab_bars(1))
    plan = tasks.solved(job, seconds=0)
    assert (plan.ended, checking.check(job, plan)) == (Ended.TIME, ())
    # First fit by length takes 825; the bound holds although the search did not end.
    assert plan.new_bars <= 825
    assert 0 < plan.bound <= 806 * 12_000


def test_time_is_read_from_the_clock_that_is_given():
    ticks = count()
    plan = planning.solve(
        tasks.task(tasks.PAPER_MILL, stock=5600), clock=lambda: float(next(ticks)), seconds=5
    )
    assert plan.ended is Ended.TIME


def test_cancelling_ends_the_search_with_the_best_plan_so_far():
    job, told = tasks.task(tasks.slab_bars(1)), []
    plan = tasks.solved(job, progress=told.append, cancelled=lambda: bool(told))
    assert (plan.ended, checking.check(job, plan)) == (Ended.CANCELLED, ())
    assert [step.doing for step in told][:1] == ["first fit by length"]


def test_progress_never_goes_back():
    told = []
    tasks.solved(tasks.task(tasks.triplets(3, number=60), stock=1000), progress=told.append)
    costs, bounds = [step.cost for step in told], [step.bound for step in told]
    assert costs == sorted(costs, reverse=True)
    assert bounds == sorted(bounds)


lengths = st.dictionaries(st.integers(200, 6_000), st.integers(1, 9), min_size=1, max_size=8)
offcuts = st.lists(st.integers(300, 5_500), max_size=4)


@settings(max_examples=60, deadline=None)
@given(wanted=lengths, rests=offcuts, blade=st.sampled_from([0, 3, 6]), keep=st.integers(300, 2_000))
def test_every_plan_can_be_cut_and_lies_between_its_bounds(wanted, rests, blade, keep):
    job = tasks.task(wanted, stock=6_000, offcuts=rests, blade_mm=blade, keep_mm=keep)
    plan = tasks.solved(job)
    assert checking.check(job, plan) == ()
    need = sum(length * number for length, number in wanted.items()) - sum(rests)
    assert max(0, -(-need // 6_000)) * 6_000 <= plan.bound <= plan.cost == plan.new_mm
    assert plan.ended is Ended.DONE
    # Best fit by length, without the offcuts, is never better.
    plain = [(length + blade, number) for length, number in wanted.items()]
    assert plan.new_bars <= best_fit.bars_needed(plain, stock_mm=6_000 + blade)


@settings(max_examples=30, deadline=None)
@given(wanted=lengths, more=st.integers(300, 5_500))
def test_another_offcut_never_takes_more_new_steel(wanted, more):
    job = tasks.task(wanted, stock=6_000)
    extra = Stock(label="one more", length_mm=more, kind=Kind.OFFCUT, available=1)
    with_it = Task(stocks=(*job.stocks, extra), pieces=job.pieces, keep_mm=job.keep_mm)
    before, after = tasks.solved(job), tasks.solved(with_it)
    assert after.bound <= before.bound
    if after.proven:
        assert after.new_mm <= before.new_mm
