"""Lengths in feet and inches in the design form, and the other profiles' examples."""

import json
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import lengths
from estimates.calc.reading import reader as sheets
from estimates.pages import design_typing
from tests.estimates.pages.test_design_typing import INDIA, as_saved, through_the_form


# The international foot is 304.8 mm and the inch 25.4 mm.
@pytest.mark.parametrize(
    ("typed", "millimetres"),
    [
        ("12'-6 1/2\"", 3822.7),
        ("12 ft 6 in", 3810),
        ("12′ 6″", 3810),
        ("5/8 in", 15.875),
        ('0.75"', 19.05),
        ("24'", 7315.2),
        ("150", 150),
    ],
)
def test_lengths_may_be_typed_in_feet_and_inches(typed, millimetres):
    sheet, faults = design_typing.read({"thickness_mm": typed, "outline": f"0, {typed}"}, locale=INDIA)

    assert sheet["thickness_mm"] == millimetres
    assert sheet["outline"] == [[0, millimetres]]
    assert not [fault for fault in faults if fault.path in {"thickness_mm", "outline"}]


@pytest.mark.parametrize("typed", ["12 ft 6", "6\" 12'", "1/0 in", "ft", "12'-6 1/2\" x"])
def test_length_that_is_none_is_refused_with_an_example(typed):
    sheet, faults = design_typing.read({"thickness_mm": typed}, locale=INDIA)

    assert sheet["thickness_mm"] == typed
    assert ["12'-6 1/2\" or 5/8 in" in row.message for row in faults if row.path == "thickness_mm"] == [True]


def test_figure_that_is_no_length_takes_no_feet():
    _sheet, faults = design_typing.read({"mix.kind": "designed", "mix.cement_kg_m3": "12'"}, locale=INDIA)

    assert [row.code for row in faults if row.path == "mix.cement_kg_m3"] == ["unreadable"]


@pytest.mark.parametrize("name", ["roof-over-larch-court", "floor-over-mill-wynd"])
def test_examples_of_other_profiles_go_through_the_form_unchanged(name):
    text = files("estimates").joinpath(f"examples/{name}.json").read_text(encoding="utf-8")
    typed = design_typing.written(as_saved(json.loads(text)), locale=INDIA)

    assert sheets.read(through_the_form(as_saved(json.loads(text)), locale=INDIA)) == sheets.read(text)
    assert typed["thickness_mm"] == ('6"' if name == "roof-over-larch-court" else "175")


@given(sixtyfourths=st.integers(1, 64 * 12 * 100), sign=st.sampled_from([1, -1]))
def test_any_length_in_sixtyfourths_comes_back_as_it_was(sixtyfourths, sign):
    millimetres = sign * round(sixtyfourths * 25.4 / 64, 6)
    text = lengths.feet_and_inches(millimetres)

    assert text is not None
    assert lengths.read(text) == pytest.approx(millimetres, abs=1e-6)
