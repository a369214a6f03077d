"""Money against Python's decimal module, whose ROUND_HALF_EVEN is the rounding of IEEE 754-2008, 4.3.1."""

from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import money


@given(
    quantity=st.integers(-(10**15), 10**15),
    rate=st.integers(0, 10**15),
    per=st.sampled_from([1, 1_000, 10_000, 1_000_000]),
)
def test_amount_is_what_decimal_gives(quantity, rate, per):
    with localcontext() as context:
        context.prec = 80
        expected = (Decimal(quantity) * rate / per / 10_000).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)

    assert money.amount(quantity, rate=rate, per=per) == int(expected)


@pytest.mark.parametrize(("parts", "amount"), [(5_000, 0), (15_000, 2), (25_000, 2), (25_001, 3)])
def test_amount_half_way_goes_to_the_even_neighbour(parts, amount):
    assert money.amount(1, rate=parts, per=1) == amount


def test_steel_by_the_kilogram_is_priced_at_its_nominal_mass():
    # IS 1786: 16 mm has 1.58 kg/m; 12 m are 18.96 kg, at 62.50 a kilogram 1,185.00.
    per = money.stock_per("kg", stock_unit="mm", grams_per_metre=1_580)

    assert money.amount(12_000, rate=6_250 * 10_000, per=per) == 118_500


def test_stock_per_refuses_what_is_not_traded_so():
    with pytest.raises(ValueError, match="cm3 cannot be priced by kg"):
        money.stock_per("kg", stock_unit="cm3")
    with pytest.raises(ValueError, match="mass per metre None must be above 0"):
        money.stock_per("kg", stock_unit="mm")


def test_amount_refuses_a_negative_rate_and_an_empty_unit():
    with pytest.raises(ValueError, match="rate -1 must be 0 or more"):
        money.amount(1, rate=-1, per=1)
    with pytest.raises(ValueError, match="must be above 0"):
        money.amount(1, rate=1, per=Fraction(0))
    with pytest.raises(ValueError, match="denominator 0 must be above 0"):
        money.half_even(1, denominator=0)


@given(total=st.integers(-(10**12), 10**12), weights=st.lists(st.integers(0, 10**6), min_size=1).filter(sum))
def test_shares_add_up_to_the_whole(total, weights):
    parts = money.share(total, weights=weights)

    assert sum(parts) == total
    assert all(
        abs(part - Fraction(total * w, sum(weights))) < 1 for part, w in zip(parts, weights, strict=True)
    )


def test_share_refuses_weights_that_divide_nothing():
    with pytest.raises(ValueError, match="weight -1 must be 0 or more"):
        money.share(1, weights=[2, -1])
    with pytest.raises(ValueError, match="no weight is above 0"):
        money.share(1, weights=[0, 0])
