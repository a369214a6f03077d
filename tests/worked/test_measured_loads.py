"""Loads measured as public pages and tables work them out."""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from estimates.standards import load
from inventory.calc.measuring import bar_mass, body, methods, moisture, weighing
from inventory.calc.measuring.methods import Reading

REGISTRY = pint.UnitRegistry()
"""A registry of the test's own, which knows nothing of ours."""


def read(**figures):
    return {name: Reading(Decimal(value)) for name, value in figures.items()}


# Tipper bodies: paramvisions.com (2022), quantity-takeoff.com, askvity.info (in feet).
BODIES = [
    ({"length": "5", "bottom_length": "4.3", "width": "2.25"}, ("1.95", "2.15", "1.9"), 20.925),
    ({"length": "5.5", "bottom_length": "4.5", "width": "1.5"}, ("1.7", "1.7", "1.7"), 12.75),
    ({"length": "15", "width": "6"}, ("5", "5", "5"), 450),
]


@pytest.mark.parametrize(("inside", "depths", "volume"), BODIES)
def test_truck_body_as_published(inside, depths, volume):
    made = body.Body(depths=[Fraction(d) for d in depths], **{k: Fraction(v) for k, v in inside.items()})

    assert float(body.volume(made)) == pytest.approx(volume, rel=1e-12)


def test_published_body_in_trade_units_and_by_mass():
    """The same page: 738.97 ft³ (it takes 35.315 ft³ to the m³), 7.39 brass, 33.48 t at 1.6 t/m³."""
    readings = read(
        length="5", bottom_length="4.3", width="2.25", depth_1="1.95", depth_2="2.15", depth_3="1.9"
    )

    found = methods.TRUCK.work_out(readings)

    volume = REGISTRY.Quantity(float(found.volume), "m³")
    assert volume.to("ft³").magnitude == pytest.approx(738.97, abs=0.02)
    assert volume.to("ft³").magnitude / 100 == pytest.approx(7.39, abs=0.005)
    assert float(weighing.loose_volume(Fraction(33_480), density=Fraction(1_600))) == float(found.volume)
    assert found.working == "(5 + 4.3) / 2 × 2.25 × (1.95 + 2.15 + 1.9) / 3"


def test_body_that_tapers_both_ways_is_the_frustum_of_the_textbooks():
    """Frustum h/3 (A + B + √AB): 4 × 2 over 2 × 1 with 3 m of depth is 3/3 (8 + 2 + 4) = 14."""
    made = body.Body(
        length=Fraction(4),
        width=Fraction(2),
        bottom_length=Fraction(2),
        bottom_width=Fraction(1),
        depths=[Fraction(3)] * 3,
    )

    assert body.volume(made) == 14


# IS 2386-3 test: curioustab.com (cm), civinnovate.com (the same), slideplayer.com 3426948 (14.25 % printed).
JARS = [("15", "12", 25.0), ("200", "160", 25.0), ("320", "280", 14.285714)]


@pytest.mark.parametrize(("moist", "flooded", "percent"), JARS)
def test_bulking_from_the_jar(moist, flooded, percent):
    found = methods.bulking_of(read(jar_moist=moist, jar_flooded=flooded))

    assert float(found) == pytest.approx(percent, abs=1e-6)


def test_sand_at_25_percent_of_bulking_as_slabs_are_planned():
    """2.6 m³ of dry sand are 3.2 m³ at 25 % (a table of small slabs): 3.25 m³ moist hold 2.6 m³."""
    assert moisture.dry_volume(Fraction("3.25"), bulking=Fraction(25)) == Fraction("2.6")


# Least and greatest mass of a batch, kg/m: makers' tables (jaibharatsteel.com, shivatmt.com), by IS 1786.
BAR_BOUNDS = [
    (8, 0.395, 0.367, 0.423),
    (10, 0.617, 0.574, 0.660),
    (12, 0.888, 0.844, 0.932),
    (16, 1.58, 1.501, 1.659),
    (20, 2.47, 2.396, 2.544),
    (25, 3.85, 3.735, 3.966),
    (32, 6.31, 6.121, 6.499),
]


@pytest.mark.parametrize(("size", "nominal", "least", "most"), BAR_BOUNDS)
def test_tolerance_table_of_bars(size, nominal, least, most):
    percent = bar_mass.tolerance(size, profile=load.profile("is")).value

    assert nominal * (1 - percent / 100) == pytest.approx(least, abs=0.001)
    assert nominal * (1 + percent / 100) == pytest.approx(most, abs=0.001)


@pytest.mark.parametrize(
    ("profile", "size", "percent"),
    [("en", 8, 6), ("en", 10, 4.5), ("en", 32, 4.5), ("aci", 13, 6), ("aci", 32, 6)],
)
def test_tolerance_of_the_other_profiles(profile, size, percent):
    """EN 10080, BS 4449:2005: ±6 % up to 8 mm, ±4.5 % above; ASTM A615: not below 94 %; from memory."""
    assert bar_mass.tolerance(size, profile=load.profile(profile)).value == percent


def test_heavy_bars_of_the_buyers_example():
    """100 t of 16 mm at 1.63 kg/m instead of 1.58 are 3,067.5 kg short of their nominal mass."""
    found = methods.BARS.work_out(read(bars="100", bar_length="12", pieces_length="3", pieces_mass="4.89"))

    metres = 100_000 / found.per_metre
    assert found.per_metre == Fraction("1.63")
    assert float(100_000 - metres * Fraction("1.58")) == pytest.approx(3_067.5, abs=0.05)


def test_bags_below_their_print():
    found = methods.BAGS.work_out(read(bags="200", weighed="10", weighed_mass="487.5"))

    # 48.75 kg in the mean of bags of 50 kg: 2.5 % short.
    assert weighing.deviation_percent(found.mean, nominal=Fraction(50)) == Fraction("-2.5")


REFUSED = [
    (methods.BAGS, {"bags": "5", "weighed": "10", "weighed_mass": "500"}),
    (methods.BRIDGE, {"gross": "9000", "tare": "9000"}),
    (methods.BRIDGE, {"gross": "9000", "tare": "9500"}),
]


@pytest.mark.parametrize(("method", "figures"), REFUSED)
def test_readings_that_cannot_be_are_refused(method, figures):
    with pytest.raises(ValueError, match=r"more than|above"):
        method.work_out(read(**figures))


@pytest.mark.parametrize(
    "figures", [{"jar_moist": "200"}, {"jar_moist": "1", "jar_flooded": "1", "bulking": "5"}]
)
def test_half_a_jar_and_two_bulkings_are_refused(figures):
    with pytest.raises(ValueError, match=r"two readings|leave one"):
        methods.bulking_of(read(**figures))
