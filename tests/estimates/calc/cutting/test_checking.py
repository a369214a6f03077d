"""The checker finds each kind of fault that is put into a good plan."""

from dataclasses import replace

import pytest

from estimates.calc.cutting import checking
from tests.estimates.calc.cutting import tasks

GIVEN = tasks.task({7000: 2, 4990: 2, 3000: 3}, offcuts=(3500,), keep_mm=1500, blade_mm=5)


@pytest.fixture(scope="module")
def plan():
    return tasks.solved(GIVEN)


def _first(plan, **changes):
    return replace(plan, patterns=(replace(plan.patterns[0], **changes), *plan.patterns[1:]))


def test_good_plan_passes(plan):
    assert checking.check(GIVEN, plan) == ()


@pytest.mark.parametrize(
    ("spoil", "fault"),
    [
        (lambda plan: _first(plan, bars=plan.patterns[0].bars + 1), "wanted"),
        (lambda plan: _first(plan, bars=0), "cuts nothing"),
        (lambda plan: _first(plan, counts=(2, 2, 0)), "from a bar of 12000 mm"),
        (lambda plan: _first(plan, counts=(1,)), "does not belong"),
        (lambda plan: _first(plan, stock=7), "does not belong"),
        (lambda plan: _first(plan, remainder_mm=1), "remainder 1 mm is not"),
        (lambda plan: replace(plan, patterns=plan.patterns[1:]), "wanted"),
        (lambda plan: replace(plan, new_bars=1), "new bars"),
        (lambda plan: replace(plan, kept_mm=(12_000,)), "rests are kept"),
        (lambda plan: replace(plan, scrap_mm=plan.scrap_mm + 1), "another sum"),
        (lambda plan: replace(plan, bound=plan.cost + 1), "below its bound"),
    ],
)
def test_fault_is_found(plan, spoil, fault):
    assert any(fault in text for text in checking.check(GIVEN, spoil(plan)))


def test_more_stock_than_there_is_is_found(plan):
    none_left = replace(GIVEN, stocks=(GIVEN.stocks[0], replace(GIVEN.stocks[1], available=0)))
    assert any("1 taken, 0 there" in text for text in checking.check(none_left, plan))


def test_the_blade_is_reckoned_between_pieces():
    # 7,000 + 5,000 fill 12,000 without a blade, but not with one.
    exact = tasks.task({7000: 1, 5000: 1})
    plan = tasks.solved(exact)
    assert plan.new_bars == 1
    assert any("from a bar" in text for text in checking.check(replace(exact, blade_mm=1), plan))
    assert tasks.solved(replace(exact, blade_mm=1)).new_bars == 2


def test_too_many_patterns_are_found(plan):
    few = replace(GIVEN, max_patterns=1)
    assert any("different patterns" in text for text in checking.check(few, plan))
