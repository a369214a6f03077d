"""The day of casting: each limit and each missing measure, for every profile."""

import pytest

from estimates.calc.checks import placing
from estimates.calc.sheet.placing import Placing
from estimates.calc.sheet.works import Consumable, Plant
from tests.estimates.calc.checks.profiled import found, sound

PROFILES = ("is", "en", "aci")


def day(profile, **said):
    return found(placing.find, sound(profile, placing=Placing(**said)))


@pytest.mark.parametrize("profile", PROFILES)
def test_day_that_nothing_is_said_of(profile):
    assert found(placing.find, sound(profile)) == {}


@pytest.mark.parametrize("profile", PROFILES)
def test_beams_cast_apart(profile):
    assert day(profile, beams_apart=True) == {"placing.beams_apart": "warn"}
    agreed = {"beams_apart": True, "beams_joint": "as sketch 4, A. Engineer, 2026-05-01"}
    assert day(profile, **agreed) == {"placing.beams_apart_agreed": "note"}


@pytest.mark.parametrize("profile", PROFILES)
def test_rain(profile):
    assert day(profile, rain=True) == {"placing.rain": "warn"}
    assert day(profile, rain=True, rain_measures="sheets for 120 m²") == {}


@pytest.mark.parametrize("profile", PROFILES)
def test_rain_cover_of_the_bill_is_a_measure(profile):
    cover = (Consumable(item="rain_cover"),)
    sheet = sound(profile, placing=Placing(rain=True), consumables=cover)
    assert found(placing.find, sheet) == {}


@pytest.mark.parametrize("profile", PROFILES)
def test_spare_vibrator(profile):
    assert found(placing.find, sound(profile, plant=Plant(spare_vibrators=1))) == {}
    rows = found(placing.find, sound(profile, plant=Plant(spare_vibrators=0)))
    assert rows == {"placing.no_spare_vibrator": "warn"}


# IS 456 cl. 13.2 from memory 1.5 m, custom 1.2 m; custom 1.5 m and 5 ft elsewhere.
@pytest.mark.parametrize(("profile", "most"), [("is", 1200), ("en", 1500), ("aci", 1524)])
def test_free_fall(profile, most):
    assert day(profile, free_fall_mm=float(most)) == {}
    assert day(profile, free_fall_mm=most + 1.0) == {"placing.free_fall": "warn"}


@pytest.mark.parametrize(("profile", "better", "most"), [("is", 30, 45), ("en", 60, 90), ("aci", 60, 90)])
def test_time(profile, better, most):
    assert day(profile, minutes=float(better)) == {}
    assert day(profile, minutes=better + 1.0) == {"placing.time": "warn"}
    weight = "stop" if profile == "aci" else "warn"
    assert day(profile, minutes=most + 1.0) == {"placing.time": weight}


# ACI 305.1-14, 3.3: 95 °F = 35 °C; United Kingdom: below 35 °C; IS 7861-1 from memory 40 °C.
@pytest.mark.parametrize(
    ("profile", "better", "most", "weight"),
    [("is", 35, 40, "warn"), ("en", 30, 35, "stop"), ("aci", 32, 35, "stop")],
)
def test_hot_concrete(profile, better, most, weight):
    assert day(profile, concrete_c=float(better)) == {}
    assert day(profile, concrete_c=better + 1.0) == {"placing.temperature": "warn"}
    assert day(profile, concrete_c=most + 1.0) == {"placing.temperature": weight}


@pytest.mark.parametrize(("profile", "least"), [("is", 5), ("en", 5), ("aci", 10)])
def test_cold_concrete(profile, least):
    assert day(profile, concrete_c=float(least)) == {}
    assert day(profile, concrete_c=least - 1.0) == {"placing.too_cold": "warn"}


# IS 7861-1: hot above 40 °C (as quoted in an examination answer); NHBC 3.1.15: above 30 °C; custom: 80 °F.
@pytest.mark.parametrize(
    ("profile", "hot", "weight"), [("is", 40, "stop"), ("en", 30, "stop"), ("aci", 27, "warn")]
)
def test_hot_weather_without_measures(profile, hot, weight):
    assert day(profile, air_c=float(hot)) == {}
    assert day(profile, air_c=hot + 1.0) == {"placing.hot": weight}
    assert day(profile, air_c=hot + 1.0, weather_measures="night work") == {}


@pytest.mark.parametrize(("profile", "cold"), [("is", 5), ("en", 5), ("aci", 4)])
def test_cold_weather_without_measures(profile, cold):
    assert day(profile, air_c=cold + 1.0) == {}
    assert day(profile, air_c=float(cold)) == {"placing.cold": "warn"}
    assert day(profile, air_c=float(cold), weather_measures="insulation") == {}
