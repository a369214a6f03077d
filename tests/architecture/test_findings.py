"""The printed table of findings is the code's, and every finding names the values that it rests on."""

from pathlib import Path

import pytest

from estimates.calc.checks import register
from estimates.calc.checks.texts import TEXTS
from estimates.standards import load, own
from estimates.standards.own import Sense

TABLE = Path(load.FOLDER) / "findings.md"


def test_every_finding_stands_in_the_register():
    assert set(register.LIMITS) == set(TEXTS)


def test_printed_table_is_that_of_the_code():
    assert TABLE.read_text(encoding="utf-8") == register.markdown()


@pytest.mark.parametrize("code", [code for code, patterns in register.LIMITS.items() if patterns])
def test_limits_of_a_finding_are_held_by_some_profile(code):
    profiles = [load.profile(profile_id) for profile_id in register.PROFILES]
    assert any(list(register.of(code, profile=profile)) for profile in profiles)


# A firm may tighten the limits of these checks and never loosen them, so each says which way is tighter.
LIMITING = (
    "exposure.grade",
    "exposure.slab_cover",
    "exposure.water_cement",
    "exposure.cement",
    "exposure.air",
    "cement.most",
    "mix.nominal_grade",
    "stone.size",
    "stone.cover",
    "stone.spacing",
    "thickness.least",
    "thickness.fire",
    "placing.free_fall",
    "placing.time",
    "placing.temperature",
    "placing.too_cold",
    "placing.hot",
    "placing.cold",
)


@pytest.mark.parametrize("profile_id", register.PROFILES)
@pytest.mark.parametrize("code", LIMITING)
def test_limit_of_a_check_has_a_tighter_side(code, profile_id):
    profile = load.profile(profile_id)
    asked = {
        key for key, value in profile.values.items() if value in list(register.of(code, profile=profile))
    }
    assert {key for key in asked if own.sense(key) in {Sense.PLAIN, Sense.FIXED}} == set()
