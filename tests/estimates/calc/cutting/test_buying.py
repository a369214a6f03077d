"""Purchase advice, by hand."""

import time
from dataclasses import replace

import pytest

from estimates.calc.cutting import buying, checking
from estimates.calc.cutting.buying import Habit, Purchase
from estimates.calc.cutting.facts import Kind, Stock
from tests.estimates.calc.cutting import tasks

TWELVE = Stock(label="12 m", length_mm=12_000)
NINE = Stock(label="9 m", length_mm=9_000)
SEVEN_HALF = Stock(label="7.5 m", length_mm=7_500)


def advised(lengths, *, stocks, percent=5.0, label="12 m", mg_per_mm=888):
    given = replace(tasks.task(lengths), stocks=stocks)
    habit = Habit(label=label, percent=percent)
    return buying.advise(given, today=habit, mg_per_mm=mg_per_mm, clock=time.monotonic, seconds=20)


def test_mix_of_lengths_by_hand():
    # Ten pieces of 7.4 m and ten of 4.4 m: 7.4 + 4.4 fill 12 m; ten more of 4.4 m go two to a bar of 9 m.
    advice = advised({7400: 10, 4400: 20}, stocks=(TWELVE, NINE, SEVEN_HALF))
    assert advice.mix == Purchase(
        bars=(("12 m", 10), ("9 m", 5)), mass_g=146_520, cost=165_000, kept_g=0, suffices=True
    )
    # With 12 m alone the last ten take five bars.
    assert advice.one_length is not None
    assert (advice.one_length.bars, advice.one_length.mass_g) == ((("12 m", 15),), 159_840)
    assert buying.saving_g(advice, advice.one_length) == 13_320
    # 162 m and 5 % are 170.1 m, 15 bars.
    assert advice.by_percent == Purchase(
        bars=(("12 m", 15),), mass_g=159_840, cost=180_000, kept_g=None, suffices=True
    )


def test_percentage_that_does_not_suffice_is_confessed():
    # A piece of 6.1 m takes a bar of 12 m; by length and 5 % ten pieces would be 64.05 m, six bars.
    advice = advised({6100: 10}, stocks=(TWELVE,))
    assert advice.by_percent is not None
    assert (advice.by_percent.bars, advice.by_percent.suffices) == ((("12 m", 6),), False)
    assert buying.saving_g(advice, advice.by_percent) < 0


def test_first_fit_takes_more():
    # The published instance: 82 bars of 5.6 m by first fit, 73 by plan.
    mill = Stock(label="5.6 m", length_mm=5_600)
    advice = advised(tasks.PAPER_MILL, stocks=(mill,), label="5.6 m", mg_per_mm=1000)
    assert advice.first_fit is not None
    assert (advice.first_fit.bars, advice.mix.bars) == ((("5.6 m", 82),), (("5.6 m", 73),))
    assert buying.saving_g(advice, advice.first_fit) == 9 * 5_600


def test_stock_in_hand_is_not_bought_again():
    rest = Stock(label="lot 7", length_mm=6_000, kind=Kind.OFFCUT, available=2)
    bar = Stock(label="lot 8", length_mm=12_000, available=1)
    advice = advised({6000: 6}, stocks=(TWELVE, rest, bar), percent=0)
    assert (advice.mix.bars, advice.by_percent and advice.by_percent.bars) == ((("12 m", 1),), (("12 m", 1),))


def test_length_that_does_not_hold_the_longest_piece_is_not_compared():
    advice = advised({8000: 3}, stocks=(TWELVE, SEVEN_HALF), label="7.5 m")
    assert (advice.one_length, advice.first_fit, advice.by_percent) == (None, None, None)
    assert checking.check(replace(tasks.task({8000: 3}), stocks=(TWELVE, SEVEN_HALF)), advice.plan) == ()


def test_faults_are_named_together():
    with pytest.raises(ValueError, match="bought today") as refusal:
        advised({8000: 3}, stocks=(TWELVE,), label="6 m", percent=-1, mg_per_mm=0)
    assert len(str(refusal.value).split("; ")) == 6
