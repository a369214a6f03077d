"""Every profile holds what the code asks of it, and works its own example out from sheet to findings."""

import re
from importlib.resources import files
from pathlib import Path

import pytest

from estimates.calc import bill
from estimates.calc.checks import casting as checks
from estimates.calc.reading import reader as sheets
from estimates.standards import load

EXAMPLES = {
    "is": "roof-over-ridge-house",
    "en": "floor-over-mill-wynd",
    "aci": "roof-over-larch-court",
}
ROOT = Path(__file__).parents[2]
ASKED = re.compile(r'\.(?:value|number|choice)\(\s*"([a-z0-9_\-]+(?:\.[a-z0-9_\-]+)+)"\s*\)')

# Keys that only the rule of one profile asks for: cover has a rule of its own in each, the stone's distance
# goes by a share in one. Of the families, each profile asks for its own formula's.
FAMILIES = ("laps.", "curing_gain.")
OWN = {
    "cover.deviation": {"en"},
    "cover.least": {"en"},
    "cover.to_bar_min": {"is", "en"},
    "cover.small_bar_max": {"aci"},
    "cover.heavy_bar_min": {"aci"},
    "cover.sheltered.slab": {"aci"},
    "air.tolerance": {"aci"},
    "stone.to_clear_spacing_max": {"aci"},
}


def asked():
    """Keys that the code names as they stand, with a file that asks; examples in docstrings left out."""
    found = {}
    for app in ("estimates", "inventory"):
        for file in (ROOT / app).rglob("*.py"):
            code = "\n".join(
                line for line in file.read_text().splitlines() if not line.lstrip().startswith((">>>", "..."))
            )
            found |= dict.fromkeys(ASKED.findall(code), file.name)
    return found


@pytest.mark.parametrize("profile_id", EXAMPLES)
def test_no_key_that_code_asks_for_is_missing(profile_id):
    profile = load.profile(profile_id)
    held = {*profile.values, *profile.choices}
    lacking = {key: file for key, file in asked().items() if key not in held}
    shared = {key: file for key, file in lacking.items() if not key.startswith(FAMILIES)}
    assert {key: file for key, file in shared.items() if profile_id in OWN.get(key, EXAMPLES)} == {}


def test_every_key_is_held_by_some_profile():
    held = {key for profile_id in EXAMPLES for key in load.profile(profile_id).values}
    held |= {key for profile_id in EXAMPLES for key in load.profile(profile_id).choices}
    assert set(asked()) - held == set()


def test_the_walk_finds_keys():
    assert {"concrete.cement_max", "density.water"} <= set(asked())
    assert len(asked()) > 20


@pytest.mark.parametrize(("profile_id", "name"), EXAMPLES.items())
def test_example_is_taken_off_and_checked(profile_id, name):
    text = files("estimates").joinpath(f"examples/{name}.json").read_text(encoding="utf-8")
    sheet = sheets.read(text)
    profile = load.profile(profile_id)
    takeoff = bill.compute(sheet, profile=profile)
    assert (sheet.profile, takeoff.edition) == (profile_id, profile.edition)
    kinds = {line.key.split(".")[0] for line in takeoff.lines}
    assert {"concrete", "cement", "formwork", "steel", "curing"} <= kinds
    found = checks.find(sheet, profile=profile)
    # The Indian example is a roof as it is found: M20 and small covers under moderate exposure.
    indian = ["exposure.grade", "exposure.slab_cover", "exposure.beam_cover"]
    assert [row.code for row in found if row.stops] == (indian if profile_id == "is" else [])


# Mill Wynd by hand: slab (7.2 x 5.4 - 2 x 1) x 0.175 = 6.454 m³, beam 0.25 x (0.45 - 0.175) x 7.2 = 0.495 m³.
# Larch Court by hand: slab (24 x 18 - 2.5 x 2.5) x 0.5 = 212.875 ft³, beam 1 x 1 x 24 ft = 24 ft³; 1 ft³ is
# 0.0283168 m³, and the sheet's tenths of a millimetre round.
@pytest.mark.parametrize(
    ("profile_id", "cubic_metres"), [("en", 6.454 + 0.495), ("aci", (212.875 + 24) * 0.0283168)]
)
def test_concrete_of_an_example_by_hand(profile_id, cubic_metres):
    text = files("estimates").joinpath(f"examples/{EXAMPLES[profile_id]}.json").read_text(encoding="utf-8")
    takeoff = bill.compute(sheets.read(text), profile=load.profile(profile_id))
    assert takeoff.concrete_m3 == pytest.approx(cubic_metres, rel=2e-4)
