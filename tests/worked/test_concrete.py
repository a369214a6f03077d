"""Published quantities of nominal mixes, each with the method that its author used."""

import pytest

from estimates.calc import units
from estimates.calc.derivation import Input
from estimates.calc.mix import constituents
from estimates.calc.reading.reader import MixParts, NominalVolumeMix
from estimates.standards import load

IS = load.profile("is")


def net(parts, *, method, m3=1.0):
    design = NominalVolumeMix(
        kind="nominal_volume",
        parts=MixParts(*parts),
        method=method,
        water_cement=0.5,
        stone_split={"20": 60.0, "10": 40.0},
    )
    concrete = Input(m3, "m³", "published example")
    return {item.key: item.net for item in constituents.quantities(design, concrete=concrete, profile=IS)}


def stone(found):
    return found["stone.20"] + found["stone.10"]


def test_public_analysis_of_rates_1_1_5_3():
    # Delhi Analysis of Rates, item 5.1.2, per m³: cement 0.40 t, sand 0.425 m³, aggregate 0.85 m³.
    found = net((1, 1.5, 3), method="analysis_of_rates")
    assert found["cement"] == pytest.approx(400, abs=0.05)
    assert found["sand"] == pytest.approx(0.425, abs=1e-4)
    assert stone(found) == pytest.approx(0.85, abs=2e-4)


# The 1.54 rule at 1,440 kg/m³, as study pages print it: kg of cement, bags of 50 kg, m³ of sand and stone.
@pytest.mark.parametrize(
    ("parts", "cement", "bags", "sand", "aggregate"),
    [
        ((1, 1.5, 3), 403.2, 8.06, 0.420, 0.840),
        ((1, 2, 4), 316.8, 6.34, 0.440, 0.880),
        ((1, 3, 6), 221.8, 4.44, 0.462, 0.924),
        ((1, 4, 8), 170.6, 3.41, 0.474, 0.948),
        ((1, 5, 10), 138.6, 2.77, 0.481, 0.9625),
    ],
)
def test_rule_of_1_54(parts, cement, bags, sand, aggregate):
    found = net(parts, method="dry_volume_154")
    assert found["cement"] == pytest.approx(cement, abs=0.06)
    assert found["cement"] / 50 == pytest.approx(bags, abs=0.006)
    assert found["sand"] == pytest.approx(sand, abs=6e-4)
    assert stone(found) == pytest.approx(aggregate, abs=6e-4)


# Rate-analysis notes for 10 m³ with the factor 1.55: cement kg and bags, sand and aggregate in m³.
@pytest.mark.parametrize(
    ("parts", "cement", "bags", "sand", "aggregate"),
    [((1, 1.5, 3), 4058, 81.16, 4.23, 8.45), ((1, 4, 8), 1717, 34.34, 4.77, 9.54)],
)
def test_rate_analysis_notes_10_m3(parts, cement, bags, sand, aggregate):
    found = net(parts, method="dry_volume_155", m3=10)
    # The notes round cement to 2.82 m³ (1.19 m³) before they multiply: within 0.05 %.
    assert found["cement"] == pytest.approx(cement, rel=5e-4)
    assert found["cement"] / 50 == pytest.approx(bags, rel=5e-4)
    assert found["sand"] == pytest.approx(sand, abs=6e-3)
    assert stone(found) == pytest.approx(aggregate, abs=6e-3)


def test_lecture_slides_1_4_8_one_cubic_metre():
    # Slides with factor 1.54: 3.41 bags, sand 0.47, ballast 0.94 m³, which they cut short, not rounded.
    found = net((1, 4, 8), method="dry_volume_154")
    assert found["cement"] / 50 == pytest.approx(3.41, abs=6e-3)
    assert int(found["sand"] * 100) / 100 == 0.47
    assert int(stone(found) * 100) / 100 == 0.94


def test_lecture_slides_1_4_8_ten_cubic_metres():
    # Slides with 15.6 m³ dry: cement 1.2 m³ = 34.56 bags.
    assert net((1, 4, 8), method="dry_volume_156", m3=10)["cement"] / 50 == pytest.approx(34.56, abs=1e-6)


def test_imperial_100_cubic_feet_1_2_4():
    # Study page, 1.54: 22 ft³ of cement = 17.942 bags = 897.1 kg; sand 44, stone 88 ft³; water 448.55 L.
    found = net((1, 2, 4), method="dry_volume_154", m3=units.convert(100, unit="cft", to="m³"))
    assert found["cement"] == pytest.approx(897.1, abs=0.05)
    assert found["cement"] / 50 == pytest.approx(17.942, abs=5e-4)
    assert units.convert(found["sand"], unit="m³", to="ft³") == pytest.approx(44)
    assert units.convert(stone(found), unit="m³", to="brass") == pytest.approx(0.88)
    assert found["water"] == pytest.approx(448.55, abs=0.02)


def test_schedule_coefficient_of_1_2_4_in_quintals():
    # Delhi Schedule of Rates: 3.20 quintals per m³ for 1:2:4; the 1.54 rule stays within about 1 %.
    cement = net((1, 2, 4), method="dry_volume_154")["cement"]
    assert units.convert(cement, unit="kg", to="quintal") == pytest.approx(3.20, rel=0.011)


def test_a_bag_of_cement_loose():
    # 50 kg at 1,440 kg/m³: 34.7 L, 28.8 bags to the cubic metre.
    density = IS.number("density.cement")
    assert units.volume(50, unit="kg", bulk_density_kg_m3=density, to="L") == pytest.approx(34.7, abs=0.05)
    assert density / 50 == pytest.approx(28.8)
