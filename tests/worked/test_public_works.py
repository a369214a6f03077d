"""US Army correspondence course EN5466: a retaining wall from its geometry to what is ordered."""

import pytest

from estimates.calc import packs, units
from estimates.calc.packs import PackSize

SACK = PackSize("sack", 1, "sack", "American sack of 94 lb")
SHORT_TON = PackSize("short ton", 1, "short_ton", "whole tons as the course orders them")
WASTE = 0.10
SACKS_PER_YD3, STONE_LB_PER_YD3, SAND_LB_PER_YD3 = 7.05, 1768, 1083
WATER_GAL_PER_SACK = 8


@pytest.fixture
def concrete_yd3():
    """1,720.6 ft³ of wall and footing in cubic yards, waste added; the course rounds at each step."""
    # Wall 14 ft 9 in high, 8 in (0.67 ft) to 1 ft thick; footing 1.25 × 8.5; both 75 ft long.
    cubic_feet = 14.75 * (0.67 + 1) / 2 * 75 + 1.25 * 8.5 * 75
    assert round(cubic_feet, 1) == 1720.6
    cubic_yards = round(units.convert(round(cubic_feet, 1), unit="ft³", to="yd³"), 1)
    assert cubic_yards == 63.7
    return round(cubic_yards * (1 + WASTE), 1)


def test_volume_with_waste(concrete_yd3):
    assert concrete_yd3 == 70.1


def test_cement_in_sacks(concrete_yd3):
    order = packs.rounded_up(concrete_yd3 * SACKS_PER_YD3, pack=SACK)
    assert order.packs == 495
    assert order.surplus == pytest.approx(495 - 494.2, abs=0.05)


@pytest.mark.parametrize(
    ("pounds_per_yd3", "pounds", "tons"), [(STONE_LB_PER_YD3, 123_937, 62), (SAND_LB_PER_YD3, 75_918, 38)]
)
def test_aggregates_in_short_tons(concrete_yd3, pounds_per_yd3, pounds, tons):
    found = concrete_yd3 * pounds_per_yd3
    assert found == pytest.approx(pounds, abs=1)
    assert packs.rounded_up(units.convert(found, unit="lb", to="short_ton"), pack=SHORT_TON).packs == tons


def test_water_in_gallons(concrete_yd3):
    sacks = packs.rounded_up(concrete_yd3 * SACKS_PER_YD3, pack=SACK).packs
    gallons = sacks * WATER_GAL_PER_SACK
    assert gallons == 3960
    # The same in litres and back: nothing is lost on the road.
    assert units.convert(units.convert(gallons, unit="gal", to="L"), unit="L", to="gal") == pytest.approx(
        3960
    )
