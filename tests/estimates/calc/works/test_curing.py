import pytest

from estimates.calc.derivation import Input
from estimates.calc.reading.reader import Curing
from estimates.calc.works import curing as curings
from estimates.standards import load

IS = load.profile("is")


# IS 456 cl. 13.5.1 as quoted in a published examination paper: 7, 10 and 14 days.
@pytest.mark.parametrize(
    ("cement", "hot_dry", "days"),
    [
        ("opc", False, 7),
        ("opc", True, 10),
        ("blended", False, 10),
        ("blended", True, 14),
        ("unknown", False, 10),
        ("unknown", True, 14),
    ],
)
def test_least_days_by_cement_and_weather(cement, hot_dry, days):
    curing = Curing(cement=cement, method="ponding", hot_dry=hot_dry)
    assert curings.least_days(curing, profile=IS).value == days


def test_days_stated_by_the_engineer_win():
    curing = Curing(cement="blended", method="ponding", days=21)
    assert curings.days(curing, profile=IS) == Input(21, "day", "drawing: curing")


@pytest.mark.parametrize(
    ("method", "hot_dry", "litres"),
    [
        # By hand for 100 m² and ordinary cement: a fill of 50 L/m², then 5 (8) L/m² on each of 7 (10) days.
        ("ponding", False, 8_500),
        ("ponding", True, 13_000),
        # 2 L/m² at each of 2 (3) wettings a day.
        ("wet_cover", False, 2_800),
        ("wet_cover", True, 6_000),
    ],
)
def test_curing_water(method, hot_dry, litres):
    curing = Curing(cement="opc", method=method, hot_dry=hot_dry)
    assert curings.water(Input(100, "m²", ""), curing=curing, profile=IS).net == pytest.approx(litres)


def test_curing_cover_is_the_whole_top():
    cover = curings.cover(Input(70.885, "m²", ""))
    assert (cover.net, cover.material) == (70.885, "curing-cover")
