from dataclasses import replace

import pytest

from estimates.calc.checks import mix as checks
from estimates.calc.reading.reader import DesignedMix
from estimates.calc.sheet.mix import NominalMassMix
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")
DESIGNED = DesignedMix(
    kind="designed",
    cement_kg_m3=400,
    water_kg_m3=180,
    sand_kg_m3=660,
    stone_kg_m3={"20": 1168},
    sand_bulk_kg_m3=1650,
    stone_bulk_kg_m3={"20": 1460},
)


def codes(mix):
    return [row.code for row in checks.find(replace(drawn.ridge_house(), mix=mix), profile=IS)]


@pytest.mark.parametrize(
    ("standing", "expected"),
    [(None, []), ("trialled", []), ("proportioned_not_trialled", ["mix.not_trialled"])],
)
def test_proportioned_mix_warns_until_it_is_trialled(standing, expected):
    assert codes(replace(DESIGNED, standing=standing)) == expected


# IS 456 table 9, note: 1:2 generally, from 1:1.5 to 1:2.5.
@pytest.mark.parametrize(
    ("ratio", "expected"),
    [
        (None, []),
        (1.5, []),
        (2.5, []),
        (1.49, ["mix.stone_to_sand"]),
        (2.51, ["mix.stone_to_sand"]),
    ],
)
def test_stone_to_sand_by_mass(ratio, expected):
    mix = NominalMassMix(
        kind="nominal_mass", row="m20", stone_to_sand=ratio, stone_split={"20": 60.0, "10": 40.0}
    )
    assert codes(mix) == expected
