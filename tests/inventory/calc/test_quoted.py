"""Cost on site of quotations: conversions against pint's own registry, costs against arithmetic by hand."""

from fractions import Fraction

import pint
import pytest

from inventory.calc import quoted
from inventory.calc.quoted import Charge, Quoted, Tax, Unit

PINT = pint.UnitRegistry()
RUPEE = 1_000_000
"""1/10,000 of the paisa in one rupee."""


@pytest.mark.parametrize(
    ("code", "stock_unit", "of_pint"),
    [
        ("cft", "cm3", PINT.foot**3),
        ("yd3", "cm3", PINT.yard**3),
        ("brass", "cm3", 100 * PINT.foot**3),
        ("L", "cm3", PINT.litre),
        ("lb", "g", PINT.pound),
        ("t", "g", PINT.metric_ton),
        ("kg", "g", PINT.kilogram),
    ],
)
def test_a_unit_holds_what_the_general_library_says(code, stock_unit, of_pint):
    own = {"cm3": PINT.centimetre**3, "g": PINT.gram}[stock_unit]
    expected = (1 * of_pint).to(own).magnitude
    assert float(quoted.stock_per(Unit(code), stock_unit=stock_unit)) == pytest.approx(expected, rel=1e-12)


def test_trade_units_are_exact():
    # 1 ft = 0.3048 m exactly, so 1 ft³ = 28,316.846592 cm³; 1 lb = 453.59237 g exactly (agreement of 1959).
    assert quoted.stock_per(Unit("cft"), stock_unit="cm3") == Fraction(28_316_846_592, 10**6)
    assert quoted.stock_per(Unit("brass"), stock_unit="cm3") == Fraction(28_316_846_592, 10**4)
    assert quoted.stock_per(Unit("lb"), stock_unit="g") == Fraction(45_359_237, 10**5)
    assert quoted.stock_per(Unit("quintal"), stock_unit="g") == 100_000


def test_mass_becomes_volume_only_by_a_stated_density():
    # 1 t of sand that lies at 1,600 kg/m³ fills 0.625 m³; 1 m³ of it weighs 1,600 kg.
    assert quoted.stock_per(Unit("t", bulk_density_kg_m3=1_600), stock_unit="cm3") == 625_000
    assert quoted.stock_per(Unit("m3", bulk_density_kg_m3=1_600), stock_unit="g") == 1_600_000
    with pytest.raises(ValueError, match="state the bulk density"):
        quoted.stock_per(Unit("t"), stock_unit="cm3")


@pytest.mark.parametrize(("code", "stock_unit"), [("m", "g"), ("m2", "cm3"), ("no", "g"), ("sack", "g")])
def test_a_unit_of_the_wrong_kind_is_refused(code, stock_unit):
    with pytest.raises(ValueError):  # noqa: PT011 - the words differ by kind
        quoted.stock_per(Unit(code), stock_unit=stock_unit)


def test_bars_by_the_tonne_are_as_long_as_their_nominal_mass_says():
    # 12 mm bars weigh 0.888 kg/m (IS 1786): a tonne is 1,126.126… m.
    found = quoted.stock_per(Unit("t"), stock_unit="mm", grams_per_metre=888)
    assert float(found) == pytest.approx(1_126_126.126, abs=0.001)


# 12 m³ of sand, in rupees by hand:
#  by the m³      1,900 + 350 freight                        = 2,250.00 a m³, 27,000.00
#  by the brass   5,600 + 5 % tax = 5,880; 12 m³ are 4.2377600 brass (1 brass = 2.8316846592 m³)
#                 4.2377600 × 5,880 = 24,918.03; 5,880 / 2.8316846592 = 2,076.50 a m³
#  by the load    200 ft³ = 5.6633693184 m³: 3 loads at 11,000 = 33,000.00 for 16.9901079552 m³, 1,942.31 a m³
#  by the tonne   1,300 at 1,600 kg/m³ = 2,080.00 a m³, 24,960.00
#  least order    10 m³ more than needed: 22 m³ at 2,000 = 44,000.00
#  all freight    1,900 × 12 + 6,000 = 28,800.00, 2,400.00 a m³
BY_M3 = {"stock_per": Fraction(10**6)}
BRASS = quoted.stock_per(Unit("brass"), stock_unit="cm3")
LOAD = quoted.stock_per(Unit("cft", Fraction(200)), stock_unit="cm3")
TONNE = quoted.stock_per(Unit("t", bulk_density_kg_m3=1_600), stock_unit="cm3")


@pytest.mark.parametrize(
    ("offer", "total", "per_m3"),
    [
        (Quoted(1_900 * RUPEE, **BY_M3, freight=Charge(350 * RUPEE, "unit")), "27000.00", "2250.00"),
        (Quoted(5_600 * RUPEE, BRASS, tax=Tax(50_000)), "24918.03", "2076.50"),
        (Quoted(11_000 * RUPEE, LOAD, whole=True), "33000.00", "1942.31"),
        (Quoted(1_300 * RUPEE, TONNE), "24960.00", "2080.00"),
        (Quoted(2_000 * RUPEE, **BY_M3, minimum=Fraction(22)), "44000.00", "2000.00"),
        (Quoted(1_900 * RUPEE, **BY_M3, freight=Charge(6_000 * RUPEE, "whole")), "28800.00", "2400.00"),
    ],
    ids=["m³", "brass", "load", "tonne", "least order", "freight for all"],
)
def test_quotations_in_different_bases_compare_as_cost_on_site(offer, total, per_m3):
    cost = quoted.landed(offer, need=12 * 10**6)
    assert f"{float(cost.total / RUPEE):.2f}" == total
    assert f"{float(cost.rate * 10**6 / RUPEE):.2f}" == per_m3


def test_what_must_be_bought_beyond_the_need_is_said():
    cost = quoted.landed(Quoted(11_000 * RUPEE, LOAD, whole=True), need=12 * 10**6)
    # 3 × 5,663,369.3184 − 12,000,000 cm³
    assert (cost.bought, cost.surplus) == (3, Fraction(49_901_079_552, 10**4))


@pytest.mark.parametrize(
    ("tax", "total"),
    [
        # 100 bags at 400 are 40,000; 18 % of it 7,200; with 18 % in it 40,000 hold 40,000/1.18 = 33,898.31.
        (Tax(180_000), "47200.00"),
        (Tax(180_000, recoverable=True), "40000.00"),
        (Tax(180_000, included=True), "40000.00"),
        (Tax(180_000, included=True, recoverable=True), "33898.31"),
    ],
    ids=["borne", "got back", "in the price", "in the price and got back"],
)
def test_only_tax_that_is_not_got_back_is_cost(tax, total):
    cost = quoted.landed(Quoted(400 * RUPEE, Fraction(50_000), tax=tax, whole=True), need=5_000_000)
    assert f"{float(cost.total / RUPEE):.2f}" == total
    assert cost.price + cost.freight + cost.loading + cost.tax == cost.total


def test_tax_is_on_freight_and_loading_too():
    # (100 × 400 + 100 × 5 + 1,000) × 1.18 = 41,500 × 1.18 = 48,970
    offer = Quoted(
        400 * RUPEE,
        Fraction(50_000),
        freight=Charge(5 * RUPEE, "unit"),
        loading=Charge(1_000 * RUPEE, "whole"),
        tax=Tax(180_000),
        whole=True,
    )
    assert quoted.landed(offer, need=5_000_000).total == 48_970 * RUPEE


def test_the_price_of_a_pack_follows_from_the_cost_on_site():
    # 2,076.50 a m³ by the brass: half a cubic metre costs 1,038.25.
    cost = quoted.landed(Quoted(5_600 * RUPEE, BRASS, tax=Tax(50_000)), need=12 * 10**6)
    assert quoted.pack_price(cost, content=500_000) == pytest.approx(1_038.25 * RUPEE, abs=0.005 * RUPEE)


@pytest.mark.parametrize("need", [0, -1])
def test_a_need_of_nothing_is_refused(need):
    with pytest.raises(ValueError, match="must be above 0"):
        quoted.landed(Quoted(1, Fraction(1)), need=need)


def test_a_negative_figure_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        quoted.landed(Quoted(1, Fraction(1), freight=Charge(-1, "unit")), need=1)
