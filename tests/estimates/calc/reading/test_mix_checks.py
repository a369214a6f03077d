"""Contradictions within a mix."""

import pytest

from tests.factories import sheets

NOMINAL = sheets.small()["mix"]
DESIGNED = {
    "kind": "designed",
    "cement_kg_m3": 350,
    "water_kg_m3": 160,
    "sand_kg_m3": 700,
    "stone_kg_m3": {"20": 700, "10": 450},
    "sand_bulk_kg_m3": 1600,
    "stone_bulk_kg_m3": {"20": 1500, "10": 1480},
}
DOSE = {"material": "waterproofer", "dose_ml_per_bag": 200}


@pytest.mark.parametrize(
    ("mix", "path", "message"),
    [
        (
            {**NOMINAL, "stone_split": {"20": 60, "10": 30}},
            "mix.stone_split",
            "the stone_split adds up to 90 %, and must add up to 100 %; correct a share",
        ),
        (
            {**NOMINAL, "stone_split": {}},
            "mix.stone_split",
            "the stone_split adds up to 0 %, and must add up to 100 %; correct a share",
        ),
        (
            {**NOMINAL, "admixtures": [DOSE, DOSE]},
            "mix.admixtures[1].material",
            "waterproofer already stands at mix.admixtures[0]; give its whole dose once",
        ),
        (
            {**DESIGNED, "stone_kg_m3": {}, "stone_bulk_kg_m3": {}},
            "mix.stone_kg_m3",
            "stone_kg_m3 is empty; give the stone by nominal size",
        ),
        (
            {**DESIGNED, "stone_bulk_kg_m3": {"20": 1500}},
            "mix.stone_bulk_kg_m3.10",
            "stone of 10 mm stands in stone_kg_m3 but not in stone_bulk_kg_m3; give both or neither",
        ),
        (
            {**DESIGNED, "stone_kg_m3": {"20": 700}},
            "mix.stone_kg_m3.10",
            "stone of 10 mm stands in stone_bulk_kg_m3 but not in stone_kg_m3; give both or neither",
        ),
        (
            {**DESIGNED, "water_kg_m3": 420},
            "mix.water_kg_m3",
            "water_kg_m3 420 over cement_kg_m3 350 is 1.2, and must be 0.25 to 1; correct one of them",
        ),
        (
            {**DESIGNED, "cement_kg_m3": 800, "water_kg_m3": 160},
            "mix.water_kg_m3",
            "water_kg_m3 160 over cement_kg_m3 800 is 0.2, and must be 0.25 to 1; correct one of them",
        ),
    ],
)
def test_contradiction_is_named(mix, path, message):
    assert sheets.messages(sheets.small(mix=mix)) == {path: message}


@pytest.mark.parametrize(
    "mix",
    [
        NOMINAL,
        {**NOMINAL, "stone_split": {"20": 100}},
        {**NOMINAL, "stone_split": {"20": 66.667, "10": 33.333}},
        {**NOMINAL, "method": "analysis_of_rates"},
        {**NOMINAL, "admixtures": [DOSE, {**DOSE, "material": "plasticiser"}]},
        DESIGNED,
    ],
)
def test_sound_mix_is_accepted(mix):
    assert sheets.faults(sheets.small(mix=mix)) == []


def test_method_that_the_profile_lacks_is_named_with_those_it_has():
    found = sheets.messages(sheets.small(mix={**NOMINAL, "method": "by_eye"}))
    assert found["mix.method"].startswith(
        "method 'by_eye' is not known to profile is; use one of absolute_volumes,"
    )


def test_method_is_not_judged_without_a_profile():
    data = sheets.small(profile="xx", mix={**NOMINAL, "method": "by_eye"})
    assert sheets.faults(data) == [("profile", "not_a_choice")]
