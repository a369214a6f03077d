"""Class, cement, stone and thickness of each profile, on both sides of the limit."""

import pytest

from estimates.calc.checks import concrete
from estimates.calc.reading.reader import MixParts, NominalVolumeMix, SpacingRule
from estimates.calc.sheet.durability import Durability
from tests.estimates.calc.checks.profiled import found, mix, sound

PROFILES = ("is", "en", "aci")


def spaced(mm):
    return (SpacingRule(mark="R1", size_mm=10, direction="x", spacing_mm=float(mm), layer="bottom"),)


@pytest.mark.parametrize("profile", PROFILES)
def test_sound_sheet_has_no_finding(profile):
    for check in (
        concrete.cement,
        concrete.strength_class,
        concrete.nominal,
        concrete.thickness,
        concrete.stone,
    ):
        assert found(check, sound(profile)) == {}


# IS 456 cl. 8.2.4.2: 450 kg/m³; BS 8110-1 cl. 3.3.5: 550; custom: 700 lb/yd³ = 415.3 kg/m³.
@pytest.mark.parametrize(
    ("profile", "most", "weight"), [("is", 450, "stop"), ("en", 550, "warn"), ("aci", 415, "warn")]
)
def test_most_cement(profile, most, weight):
    assert found(concrete.cement, sound(profile, mix=mix(cement_kg_m3=float(most)))) == {}
    rows = found(concrete.cement, sound(profile, mix=mix(cement_kg_m3=most + 1.0)))
    assert rows == {"cement.most": weight}


@pytest.mark.parametrize("grade", ["C20/25", "C28/35", "C30/37", "C32/40"])
def test_classes_that_are_pairs(grade):
    assert found(concrete.strength_class, sound("en", grade=grade)) == {}


@pytest.mark.parametrize("grade", ["C30/35", "C31/38", "C90/100"])
def test_classes_that_are_no_pair(grade):
    assert found(concrete.strength_class, sound("en", grade=grade)) == {"grade.class": "warn"}


@pytest.mark.parametrize(
    ("profile", "highest", "above"),
    [("is", "M20", "M25"), ("en", "C20/25", "C25/30"), ("aci", "2500 psi", "3000 psi")],
)
def test_nominal_mix_above_its_grade(profile, highest, above):
    nominal = NominalVolumeMix(
        kind="nominal_volume",
        parts=MixParts(1, 1.5, 3),
        water_cement=0.5,
        stone_split={"20": 60.0, "10": 40.0},
    )
    assert found(concrete.nominal, sound(profile, grade=highest, mix=nominal)) == {}
    assert found(concrete.nominal, sound(profile, grade=above, mix=nominal)) == {"mix.nominal_grade": "warn"}


@pytest.mark.parametrize(
    ("profile", "least", "better"), [("is", 120, 125), ("en", 100, 125), ("aci", 101.6, 127)]
)
def test_thickness(profile, least, better):
    assert found(concrete.thickness, sound(profile, thickness_mm=float(better))) == {}
    thin = found(concrete.thickness, sound(profile, thickness_mm=better - 1.0))
    assert thin == {"thickness.better": "note"}
    assert found(concrete.thickness, sound(profile, thickness_mm=float(least))) == thin
    assert found(concrete.thickness, sound(profile, thickness_mm=least - 1.0)) == {"thickness.least": "warn"}


# IS 456 figure 1 (125 mm for 2 h), EC2-1-2 table 5.8 (120 mm), IBC table 722.2.2.1 (5.0 in), all from memory.
@pytest.mark.parametrize(
    ("profile", "minutes", "least"), [("is", 180, 150), ("en", 180, 150), ("aci", 180, 157.48)]
)
def test_thickness_for_fire(profile, minutes, least):
    given = {"durability": Durability(fire_minutes=minutes)}
    assert found(concrete.thickness, sound(profile, thickness_mm=float(least), **given)) == {}
    rows = found(concrete.thickness, sound(profile, thickness_mm=least - 1.0, **given))
    assert rows == {"thickness.fire": "warn"}


# IS 456 cl. 5.3.3: a fourth of the thickness (scribd.com document 429648732); ACI 318 cl. 26.4.2.1: a third.
@pytest.mark.parametrize(
    ("profile", "least", "weight"), [("is", 80, "stop"), ("en", 80, "warn"), ("aci", 60.1, "warn")]
)
def test_stone_and_thickness(profile, least, weight):
    assert found(concrete.stone, sound(profile, thickness_mm=float(least))) == {}
    rows = found(concrete.stone, sound(profile, thickness_mm=least - 1.0))
    assert rows == {"stone.size": weight}


@pytest.mark.parametrize(
    ("profile", "field", "least"),
    [("is", "beam_cover_mm", 25), ("en", "beam_cover_mm", 20), ("en", "cover_mm", 20)],
)
def test_stone_and_cover(profile, field, least):
    assert found(concrete.stone, sound(profile, **{field: float(least)})) == {}
    assert found(concrete.stone, sound(profile, **{field: least - 1.0})) == {"stone.cover": "warn"}


# Stone of 20 mm: IS 456 and EC2 cl. 8.2(2) ask for 5 mm more between bars; ACI for 4/3 of the stone, 26.7 mm.
@pytest.mark.parametrize(
    ("profile", "clear", "weight"), [("is", 25, "warn"), ("en", 25, "stop"), ("aci", 26.7, "warn")]
)
def test_stone_and_clear_distance(profile, clear, weight):
    assert found(concrete.stone, sound(profile, spacing_rules=spaced(clear + 10))) == {}
    assert found(concrete.stone, sound(profile, spacing_rules=spaced(clear + 9))) == {"stone.spacing": weight}
