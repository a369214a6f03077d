import pytest

from inventory.calc import steel


def test_heavy_bars_are_short_in_length():
    # Quantity-surveyor notes on reconciliation (constructionduniya.blogspot.com): 100 t of 16 mm bars at
    # 1.63 kg/m instead of 1.58: 61,349.693 m instead of 63,291.139 m, 3,067.5 kg short (3,067.485 unrounded).
    received = steel.length_mm(100_000_000, mg_per_mm=1_630)
    assert received == 61_349_693
    assert steel.length_mm(100_000_000, mg_per_mm=1_580) == 63_291_139
    assert 100_000_000 - steel.mass_g(received, mg_per_mm=1_580) == 3_067_485


@pytest.mark.parametrize(
    ("mg_per_mm", "grams"),
    # IS 1786:2008, table 1: nominal mass per metre of 8, 10, 12, 16, 20, 25 and 32 mm bars, by 12 m of each.
    [
        (395, 4_740),
        (617, 7_404),
        (888, 10_656),
        (1_580, 18_960),
        (2_470, 29_640),
        (3_850, 46_200),
        (6_310, 75_720),
    ],
)
def test_mass_of_a_stock_bar(mg_per_mm, grams):
    assert steel.mass_g(12_000, mg_per_mm=mg_per_mm) == grams


def test_a_difference_keeps_its_sign():
    assert steel.mass_g(-12_000, mg_per_mm=395) == -4_740


def test_mass_per_metre_must_be_above_nothing():
    with pytest.raises(ValueError, match="mass per metre 0 must be above 0 g/m"):
        steel.mass_g(1, mg_per_mm=0)
    with pytest.raises(ValueError, match="mass per metre 0 must be above 0 g/m"):
        steel.length_mm(1, mg_per_mm=0)
