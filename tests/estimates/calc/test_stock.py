import pytest

from estimates.calc import stock


@pytest.mark.parametrize(
    ("quantity", "unit", "stock_unit", "mass", "expected"),
    [
        (400.0004, "kg", "g", None, 400_000),
        (0.425, "m³", "cm3", None, 425_000),
        (20.1, "L", "cm3", None, 20_100),
        (16.32, "m²", "cm2", None, 163_200),
        (3, "no.", "piece", None, 3),
        (2.5, "m", "mm", None, 2_500),
        # IS 1786: 72.177 m of 16 mm at 1.58 kg/m are 114.03966 kg.
        (114.03966, "kg", "mm", 1_580, 72_177),
        (0.00158, "t", "mm", 1_580, 1_000),
        # A tie goes to the even neighbour: 0.5 g to 0, 1.5 g to 2.
        (0.0005, "kg", "g", None, 0),
        (0.0015, "kg", "g", None, 2),
    ],
)
def test_quantity_becomes_whole_stock_units(quantity, unit, stock_unit, mass, expected):
    found = stock.units(quantity, unit=unit, stock_unit=stock_unit, milligrams_per_millimetre=mass)

    assert found == expected


def test_units_refuse_what_cannot_be_kept():
    with pytest.raises(ValueError, match=r"quantity -1 kg must be 0 or more"):
        stock.units(-1, unit="kg", stock_unit="g")
    with pytest.raises(ValueError, match="a quantity in m³ cannot be kept in g"):
        stock.units(1, unit="m³", stock_unit="g")
    with pytest.raises(ValueError, match="mass per length None must be above 0"):
        stock.units(1, unit="kg", stock_unit="mm")
    with pytest.raises(ValueError, match="quantity nan"):
        stock.units(float("nan"), unit="kg", stock_unit="g")
