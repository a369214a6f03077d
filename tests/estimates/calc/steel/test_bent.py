"""What a bent bar makes one ask, against the printed limits of BS 8666:2005 and ACI 315-99."""

import pytest

from estimates.calc.reading import reader
from estimates.calc.sheet.steel import BarMark, SteelMethods
from estimates.calc.steel import bent, rules
from estimates.standards import load
from tests.factories import sheets

BS = rules.choose(SteelMethods(), profile=load.profile("en"))
ACI = rules.choose(SteelMethods(), profile=load.profile("aci"))


def asked(shape, size_mm, given, *, chosen=BS):
    bar = BarMark(mark="M", member="x", size_mm=size_mm, shape=shape, dimensions=given, per_member=1)
    return [
        (found.code, found.params.get("letter", found.params.get("letters", "")))
        for found in bent.questions(bar, rules=chosen)
    ]


@pytest.mark.parametrize(
    ("shape", "size_mm", "given", "codes"),
    [
        # P of 12 mm is 125: at it is good, below it is asked.
        ("11", 12, {"A": 125, "B": 125}, []),
        ("11", 12, {"A": 124, "B": 2000}, [("steel.leg_short", "A")]),
        # Shape 12: A and B at least R + 6d = 272, R at least r = 24.
        ("12", 12, {"A": 271, "B": 900, "R": 200}, [("steel.leg_short", "A")]),
        ("12", 12, {"A": 900, "B": 900, "R": 20}, [("steel.leg_short", "R")]),
        # Shape 13: B at least 2 (r + d) = 72; A and C at least B/2 + 5d.
        ("13", 12, {"A": 900, "B": 71, "C": 900}, [("steel.leg_short", "B")]),
        ("13", 12, {"A": 900, "B": 300, "C": 209}, [("steel.leg_short", "C")]),
        # Links: end legs of 10d, P = 160 for 12 mm, and equal ones.
        ("51", 12, {"A": 400, "B": 300, "C": 155}, [("steel.leg_short", "C")]),
        ("51", 12, {"A": 400, "B": 300, "C": 160, "D": 180}, [("steel.ends_differ", "CD")]),
        # Between two bends of 20 mm yards ask for 260.
        ("21", 20, {"A": 400, "B": 250, "C": 400}, [("steel.side_short", "B")]),
        # A crank without its rise, and one steeper than 45°.
        ("26", 12, {"A": 400, "B": 500, "C": 400}, [("steel.figure_incomplete", "D")]),
        ("26", 12, {"A": 400, "B": 500, "C": 400, "D": 360}, [("steel.length_approximate", "")]),
        # 10 mm above a radius of 3.5 m comes straight.
        ("67", 10, {"A": 6000, "R": 3600}, [("steel.comes_straight", "")]),
        # A plain word has no least.
        ("u", 12, {"A": 60, "B": 900, "C": 60}, []),
    ],
)
def test_limits_of_bs_8666_are_asked_about(shape, size_mm, given, codes):
    assert asked(shape, size_mm, given) == codes


def test_hooks_shorter_than_the_table_are_asked_about_by_the_name_of_the_bar():
    # ACI 315-99 table 1: a 135° stirrup hook of #4 takes 4½ in, 114.3 mm.
    bar = {"A": 114, "B": 400, "C": 250, "D": 400, "E": 250, "G": 115}
    assert asked("T1", 13, bar, chosen=ACI) == [("steel.leg_short", "A")]
    mark = BarMark(mark="T", member="x", size_mm=13, shape="T1", dimensions=bar, per_member=1)
    assert "a bar of #4 is 114.3 mm" in next(bent.questions(mark, rules=ACI)).text


def sheet_with(**bar):
    row = sheets.bar(**bar)
    return sheets.roof() | {"bars": [row], "steel_methods": {"catalogue": "bs8666-2005"}}


def test_drawing_with_short_legs_is_taken_as_received():
    found = reader.read(sheet_with(shape="21", size_mm=10, dimensions={"A": 110, "B": 2600, "C": 110}))
    assert found.bars[0].shape == "21"


@pytest.mark.parametrize(
    ("bar", "code", "path"),
    [
        ({"shape": "21", "dimensions": {"A": 300, "B": 900}}, "dimension_missing", "dimensions.C"),
        ({"shape": "00", "dimensions": {"A": 300, "B": 900}}, "dimension_superfluous", "dimensions.B"),
        ({"shape": "T1", "dimensions": {"A": 300}}, "shape_of_another_catalogue", "shape"),
        ({"shape": "11", "dimensions": {"A": 20, "B": 900}}, "too_short_to_bend", "dimensions.A"),
        ({"shape": "11", "size_mm": 28, "dimensions": {"A": 300, "B": 900}}, "bend_unknown", "size_mm"),
        ({"shape": "00", "dimensions": {"A": 900}, "ends": "up"}, "field_superfluous", "ends"),
    ],
)
def test_shape_that_cannot_be_worked_out_is_a_fault(bar, code, path):
    with pytest.raises(reader.SheetFaults) as refused:
        reader.read(sheet_with(**{"size_mm": 10} | bar))
    assert [(fault.code, fault.path) for fault in refused.value.faults] == [(code, f"bars[0].{path}")]


def test_code_without_its_catalogue_names_the_one_to_choose():
    sheet = sheet_with(shape="11", size_mm=10, dimensions={"A": 300, "B": 900}) | {"steel_methods": {}}
    with pytest.raises(reader.SheetFaults, match=r"name steel_methods\.catalogue 'bs8666-2005'"):
        reader.read(sheet)
