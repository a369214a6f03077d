"""Cover of each profile, on both sides, against published tables and worked answers."""

from dataclasses import replace

import pytest

from estimates.calc.checks import cover
from estimates.calc.sheet.durability import Durability
from tests.estimates.calc.checks.profiled import found, sound
from tests.worked import drawn


def beam_bars(main, link):
    """Bars of the example's first beam: stirrups and straight bars of these sizes."""
    house = drawn.ridge_house()
    name = house.beams[0].name
    stirrup = next(bar for bar in house.bars if bar.shape == "stirrup")
    straight = next(bar for bar in house.bars if bar.shape != "stirrup")
    return (replace(stirrup, member=name, size_mm=link), replace(straight, member=name, size_mm=main))


def slab_bars(size):
    house = drawn.ridge_house()
    straight = next(bar for bar in house.bars if bar.shape != "stirrup")
    return (replace(straight, member="slab", size_mm=size),)


# Worked answers for beams, minimum cover for durability and 10 mm deviation:
# eurocode.us "cover" and "cover-huj": XC1, mains 20, links 8 -> 25 mm to the links; XC3/4 with 25 mm,
# mains 32, links 8 -> 35 mm to the links. EC2 worked examples, 4.1 (scribd.com document 390961818): XC1,
# bars 20, stirrups 8 -> 25 mm to the stirrups. XC3 and bar 16 -> 35 mm (haunch.dev).
@pytest.mark.parametrize(
    ("exposure", "main", "link", "answer"),
    [("XC1", 20, 8, 25), ("XC3", 32, 8, 35), ("XC3", 16, 8, 35)],
)
def test_european_worked_answers(exposure, main, link, answer):
    given = {"exposure": exposure, "bars": beam_bars(main, link)}
    assert found(cover.find, sound("en", beam_cover_mm=float(answer), **given)) == {}
    rows = found(cover.find, sound("en", beam_cover_mm=answer - 1.0, **given))
    assert set(rows) == {"exposure.beam_cover"}


# EC2 table 4.4N (from memory; its first columns agree with another library's rule), class S4 unless named.
@pytest.mark.parametrize(
    ("exposure", "structural_class", "least", "weight"),
    [
        ("XC1", None, 15, "stop"),
        ("XC2", None, 25, "stop"),
        ("XC3", None, 25, "stop"),
        ("XC4", None, 30, "warn"),
        ("XD1", None, 35, "warn"),
        ("XS2", None, 40, "warn"),
        ("XS3", None, 45, "warn"),
        ("XC4", "S1", 15, "warn"),
        ("XC4", "S6", 40, "warn"),
        ("XD3", "S6", 55, "warn"),
    ],
)
@pytest.mark.parametrize("deviation", [None, 5.0])
def test_european_classes(exposure, structural_class, least, weight, deviation):
    durability = Durability(structural_class=structural_class, deviation_mm=deviation)
    nominal = least + (10 if deviation is None else deviation)
    given = {"exposure": exposure, "durability": durability, "beams": (), "beam_cover_mm": None}
    assert found(cover.find, sound("en", cover_mm=float(nominal), **given)) == {}
    rows = found(cover.find, sound("en", cover_mm=nominal - 1.0, **given))
    assert rows == {"exposure.slab_cover": weight}


def test_european_bars_larger_than_the_durable_cover():
    given = {"exposure": "XC1", "bars": slab_bars(20), "beams": (), "beam_cover_mm": None}
    assert found(cover.find, sound("en", cover_mm=30.0, **given)) == {}
    assert found(cover.find, sound("en", cover_mm=29.0, **given)) == {"exposure.slab_cover": "stop"}


# British annex to EC2, cl. 4.4.1.3(4) (concrete.org.uk, fingertips 1028): 40 mm on blinding, 75 mm on soil.
@pytest.mark.parametrize(("surroundings", "least"), [("blinding", 40), ("earth", 75)])
def test_european_slab_on_ground(surroundings, least):
    given = {"exposure": "XC2", "durability": Durability(surroundings=surroundings)}
    assert found(cover.find, sound("en", cover_mm=float(least), **given)) == {}
    assert found(cover.find, sound("en", cover_mm=least - 1.0, **given)) == {"exposure.slab_cover": "stop"}


def test_european_exposure_that_says_nothing_of_cover():
    assert found(cover.find, sound("en", exposure="XF1")) == {"cover.class_open": "warn"}
    both = Durability(further=("XC4",))
    assert found(cover.find, sound("en", exposure="XF1", durability=both)) == {}


def test_british_cover_below_the_table():
    given = {"exposure": "XC3", "durability": Durability(values="british")}
    assert found(cover.find, sound("en", cover_mm=30.0, **given)) == {}
    assert found(cover.find, sound("en", cover_mm=29.0, **given)) == {"exposure.slab_cover": "warn"}


# ACI 318-19 table 20.5.1.3.1, cast in place (concreteconstruction.net "Cover for rebars", dailycivil.com):
# slabs 3/4 in to no. 11, 1 1/2 in for no. 14 and 18, beams 1 1/2 in; weather 1 1/2 in to no. 5, else 2 in;
# earth 3 in.
@pytest.mark.parametrize(
    ("surroundings", "bar", "inches"),
    [
        ("sheltered", 13, 0.75),
        ("sheltered", 36, 0.75),
        ("sheltered", 43, 1.5),
        ("weather", 16, 1.5),
        ("weather", 19, 2),
        ("blinding", 19, 2),
        ("earth", 13, 3),
    ],
)
def test_american_slab(surroundings, bar, inches):
    given = {"durability": Durability(surroundings=surroundings), "bars": slab_bars(bar)}
    given |= {"beams": (), "beam_cover_mm": None}
    assert found(cover.find, sound("aci", cover_mm=inches * 25.4, **given)) == {}
    rows = found(cover.find, sound("aci", cover_mm=inches * 25.4 - 0.5, **given))
    assert rows == {"exposure.slab_cover": "stop"}


@pytest.mark.parametrize(
    ("surroundings", "link", "inches"), [("sheltered", 10, 1.5), ("weather", 10, 1.5), ("weather", 19, 2)]
)
def test_american_beam(surroundings, link, inches):
    given = {
        "durability": Durability(surroundings=surroundings),
        "bars": beam_bars(25, link),
        "cover_mm": 76.2,
    }
    assert found(cover.find, sound("aci", beam_cover_mm=inches * 25.4, **given)) == {}
    rows = found(cover.find, sound("aci", beam_cover_mm=inches * 25.4 - 0.5, **given))
    assert rows == {"exposure.beam_cover": "stop"}


def test_american_sheet_that_leaves_the_surroundings_open():
    assert found(cover.find, sound("aci", durability=None)) == {"cover.surroundings_open": "note"}


# IS 456 table 16, note 1: mild exposure and main bars up to 12 mm, 5 mm less (slideshare 45705520).
@pytest.mark.parametrize(
    ("exposure", "bar", "given", "expected"),
    [
        ("mild", 12, 15.0, {"cover.relieved": "note"}),
        ("mild", 12, 14.0, {"exposure.slab_cover": "stop"}),
        ("mild", 12, 20.0, {}),
        ("mild", 16, 19.0, {"exposure.slab_cover": "stop"}),
        ("moderate", 10, 29.0, {"exposure.slab_cover": "stop"}),
    ],
)
def test_indian_relief_for_small_bars(exposure, bar, given, expected):
    sheet = sound("is", exposure=exposure, cover_mm=given, bars=slab_bars(bar))
    assert found(cover.find, sheet) == expected


def test_indian_cover_is_no_smaller_than_the_bar():
    assert found(cover.find, sound("is", cover_mm=25.0, bars=slab_bars(25))) == {}
    assert found(cover.find, sound("is", cover_mm=24.0, bars=slab_bars(25))) == {"cover.bar": "stop"}
