from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest

from inventory.calc import money


@pytest.mark.parametrize("numerator", [-35, -25, -15, -7, -5, 0, 5, 7, 15, 25, 35, 10**20 + 5, 10**20 + 15])
def test_half_even_as_decimal_rounds(numerator):
    # Oracle: the decimal module's ROUND_HALF_EVEN (General Decimal Arithmetic Specification).
    expected = Decimal(numerator).scaleb(-1).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
    assert money.half_even(numerator, denominator=10) == int(expected)


def test_half_even_refuses_denominator_zero():
    with pytest.raises(ValueError, match="denominator 0 must be above 0"):
        money.half_even(1, denominator=0)


@pytest.mark.parametrize(
    ("quantity", "stock_unit", "unit", "rate", "expected"),
    [
        # CPWD analysis of rates 2014, item 5.1.2: quantity x rate = amount, in rupees and paise.
        (400_000, "g", "t", 5_156_00, 2_062_40),  # 0.40 t cement at 5,156
        (425_000, "cm3", "m3", 1_450_00, 616_25),  # 0.425 m3 sand at 1,450
        (570_000, "cm3", "m3", 1_425_00, 812_25),  # 0.57 m3 of 20 mm stone at 1,425
        (280_000, "cm3", "m3", 1_400_00, 392_00),  # 0.28 m3 of 10 mm stone at 1,400
        # Round figures by hand: one unit of trade costs its rate.
        (1_000, "mm", "m", 56_12, 56_12),
        (1_000, "cm3", "L", 90_00, 90_00),
        (10_000, "cm2", "m2", 250_00, 250_00),
        (1, "piece", "no", 7_00, 7_00),
        (1_000, "g", "kg", 61_50, 61_50),
    ],
)
def test_amount_in_units_of_trade(quantity, stock_unit, unit, rate, expected):
    per = money.stock_per(unit, stock_unit=stock_unit)
    assert money.amount(quantity, rate=rate * money.RATE_PARTS, per=per) == expected


@pytest.mark.parametrize(("unit", "rate"), [("kg", 61_50), ("t", 61_500_00)])
def test_amount_of_bar_priced_by_mass(unit, rate):
    # 12 m of 16 mm at the nominal 1.58 kg/m (IS 1786:2008, table 1) are 18.96 kg; at 61.50 per kg 1,166.04.
    per = money.stock_per(unit, stock_unit="mm", grams_per_metre=1_580)
    assert money.amount(12_000, rate=rate * money.RATE_PARTS, per=per) == 1_166_04


def test_amount_of_tie_goes_to_even():
    assert [money.amount(quantity, rate=5_000, per=1) for quantity in (1, 3, -1, -3)] == [0, 2, 0, -2]


def test_amount_is_exact_where_a_float_is_not():
    assert money.amount(3 * 10**15 + 1, rate=10_000, per=1) == 3 * 10**15 + 1
    assert money.amount(10**17 + 1, rate=10_000, per=1) == 10**17 + 1


@pytest.mark.parametrize(
    ("rate", "per", "message"), [(-1, 1, "rate -1 must be 0 or more"), (1, 0, "0 must be above 0")]
)
def test_amount_refuses(rate, per, message):
    with pytest.raises(ValueError, match=message):
        money.amount(1, rate=rate, per=per)


def test_stock_per_refuses_unknown_pair():
    with pytest.raises(ValueError, match="g cannot be priced by m3"):
        money.stock_per("m3", stock_unit="g")


@pytest.mark.parametrize("mass", [None, 0])
def test_stock_per_refuses_bar_without_mass(mass):
    with pytest.raises(ValueError, match="must be above 0 g/m to price bars by kg"):
        money.stock_per("kg", stock_unit="mm", grams_per_metre=mass)


def test_rate_from_amount_of_cement_by_the_tonne():
    # CPWD analysis of rates 2014, item 5.1.2, read backwards: 0.40 t for 2,062.40 is 5,156 per t.
    assert money.rate_from_amount(2_062_40, quantity=400_000, per=1_000_000) == 5_156_00 * money.RATE_PARTS


@pytest.mark.parametrize(
    ("total", "quantity", "per", "message"),
    [
        (-1, 1, 1, "amount -1 must be 0 or more"),
        (1, 0, 1, "quantity 0 must be above 0"),
        (1, 1, Fraction(0), "0 must be above 0"),
    ],
)
def test_rate_from_amount_refuses(total, quantity, per, message):
    with pytest.raises(ValueError, match=message):
        money.rate_from_amount(total, quantity=quantity, per=per)


@pytest.mark.parametrize(
    ("total", "weights", "expected"),
    [
        # The usual illustration of the Hare quota, ten seats for these votes: 5, 2, 1, 1, 1, 0 (encyclopedia
        # article "Largest remainders method"; the table as remembered, quotas checked by hand).
        (10, (47_000, 16_000, 15_800, 12_000, 6_100, 3_100), (5, 2, 1, 1, 1, 0)),
        (1, (1, 1), (1, 0)),
        (-100, (1, 1, 1), (-34, -33, -33)),
        (0, (2, 1), (0, 0)),
        (7, (0, 5, 0), (0, 7, 0)),
    ],
)
def test_share_by_largest_remainder(total, weights, expected):
    assert money.share(total, weights=weights) == expected


@pytest.mark.parametrize(
    ("weights", "message"),
    [
        ((1, -1), "weight -1 must be 0 or more"),
        ((0, 0), "no weight is above 0"),
        ((), "no weight is above 0"),
    ],
)
def test_share_refuses(weights, message):
    with pytest.raises(ValueError, match=message):
        money.share(5, weights=weights)
