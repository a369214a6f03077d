import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc.cutting import best_fit


@pytest.mark.parametrize(
    ("pieces", "bars"),
    [
        ([], 0),
        ([(9150, 1)], 1),
        # A piece over half a bar takes a bar of its own.
        ([(9700, 6), (7900, 15)], 21),
        # 3.92 m: three to a bar of 12 m; 124 make 42 bars.
        ([(3920, 124)], 42),
        # Three of 4 m fill a bar exactly.
        ([(4000, 3)], 1),
        # The rest of 2.85 m holds two of 1.288 m.
        ([(9150, 2), (1288, 4)], 2),
        # Two lengths that only fit together: 7 + 5.
        ([(7000, 4), (5000, 4)], 4),
        # Longer than a bar: a whole bar and 1 m each, the rests share a third bar.
        ([(13_000, 2)], 3),
        # As long as two bars: nothing is left of them.
        ([(24_000, 3)], 6),
    ],
)
def test_bars_needed_by_hand(pieces, bars):
    assert best_fit.bars_needed(pieces, stock_mm=12_000) == bars


def test_bars_needed_published_cutting_stock():
    # Published instance, stock of 5,600 mm: the best plan takes 73 bars, first fit by length 82.
    pieces = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10}
    pieces |= {2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20}
    found = best_fit.bars_needed(pieces.items(), stock_mm=5600)
    assert 73 <= found <= 82


@given(pieces=st.lists(st.tuples(st.integers(300, 12_000), st.integers(1, 30)), max_size=12))
def test_bars_needed_is_between_the_bounds(pieces):
    found = best_fit.bars_needed(pieces, stock_mm=12_000)
    length = sum(size * count for size, count in pieces)
    own = sum(count for size, count in pieces if size > 6000)
    # No two bars may both be at most half full: fewer than twice the length's worth, and one.
    assert max(length / 12_000, own) <= found <= 2 * length / 12_000 + 1


def test_bars_needed_refuses_a_bar_without_length():
    with pytest.raises(ValueError, match="longer than 0"):
        best_fit.bars_needed([(1000, 1)], stock_mm=0)
