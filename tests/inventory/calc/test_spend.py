from fractions import Fraction

import pytest

from inventory.calc import spend
from inventory.calc.costing import Pool
from inventory.calc.spend import Amounts, Facts

RATE = 8_000_000  # 8.00 per piece


def bags(**change):
    right = {"material": "cement", "budget": 80_000, "allowed": 100, "rate": RATE, "per": 1}
    return Facts(**(right | change))


def test_amounts_before_anything_happened_forecast_the_budget():
    assert spend.amounts(bags()) == Amounts(budget=80_000, to_come=80_000, forecast=80_000)


def test_amounts_half_way():
    # By hand: 40 used at 8.50 = 340.00; 60 to come: 30 in store at 8.50 = 255.00, 20 on order at 9.00 =
    # 180.00, 10 at the estimate of 8.00 = 80.00; together 515.00. All 100 as planned: the 55.00 are price.
    result = spend.amounts(
        bags(
            used=40,
            issued_value=34_000,
            received_value=59_500,
            on_hand=Pool(30, 25_500),
            open_order=Pool(20, 18_000),
        )
    )
    assert result == Amounts(
        budget=80_000,
        committed=18_000,
        received=59_500,
        used=34_000,
        to_come=51_500,
        forecast=85_500,
        usage_variance=0,
        price_variance=5_500,
    )
    assert result.over_budget == 5_500


def test_amounts_take_waste_and_late_prices_into_what_was_used():
    result = spend.amounts(
        bags(used=108, issued_value=85_000, wasted_value=6_000, adjusted_value=800, finished=True)
    )
    assert (result.used, result.to_come, result.forecast) == (91_800, 0, 91_800)
    assert (result.usage_variance, result.price_variance) == (6_400, 5_400)


def test_amounts_of_a_slab_that_used_too_much_before_it_is_finished():
    result = spend.amounts(bags(used=110, issued_value=88_000, on_hand=Pool(5, 4_000)))
    assert (result.to_come, result.usage_variance, result.price_variance) == (0, 8_000, 0)


def test_amounts_of_a_finished_slab_that_used_less():
    result = spend.amounts(bags(used=90, issued_value=72_000, finished=True, on_hand=Pool(10, 8_000)))
    assert (result.forecast, result.usage_variance, result.price_variance) == (72_000, -8_000, 0)


def test_amounts_of_a_material_that_the_bill_does_not_know_are_usage():
    facts = Facts(material="nails", budget=0, allowed=0, rate=None, per=1, used=3, issued_value=450)
    result = spend.amounts(facts)
    assert (result.forecast, result.usage_variance, result.price_variance) == (450, 450, 0)


def test_total_adds_every_column():
    first = Amounts(
        budget=1, committed=2, received=3, used=4, to_come=5, forecast=9, usage_variance=6, price_variance=2
    )
    assert spend.total([first, first]) == Amounts(
        budget=2,
        committed=4,
        received=6,
        used=8,
        to_come=10,
        forecast=18,
        usage_variance=12,
        price_variance=4,
    )
    assert spend.total([]) == Amounts()


def test_per_measure_is_exact():
    # By hand: 500,000.00 on 120 m2 is 4,166.66...; on 18 m3 27,777.77...
    assert spend.per_measure(50_000_000, measured=1_200_000, per=10_000) == Fraction(50_000_000, 120)
    assert spend.per_measure(50_000_000, measured=18_000_000, per=1_000_000) == Fraction(50_000_000, 18)


def test_per_measure_of_nothing_is_refused():
    with pytest.raises(ValueError, match="measured 0 must be above 0"):
        spend.per_measure(1, measured=0, per=10_000)


def test_still_to_come_refuses_negative():
    with pytest.raises(ValueError, match="remaining quantity -1 must be 0 or more"):
        spend.still_to_come(-1, sources=(), rate=RATE, per=1)


def test_still_to_come_takes_no_more_than_remains():
    assert spend.still_to_come(3, sources=(Pool(6, 600), Pool(6, 6_000)), rate=RATE, per=1) == 300


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"rate": None}, "cement: a budget of 80000 for 100 needs its rate"),
        ({"used": -1}, "cement: used -1 must be 0 or more"),
        ({"allowed": -1}, "cement: allowed -1 must be 0 or more"),
    ],
)
def test_facts_refuse(change, message):
    with pytest.raises(ValueError, match=message):
        bags(**change)
