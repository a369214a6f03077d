"""Faults of form: each names field, value, bound and remedy."""

import pytest

from estimates.calc.sheet import faults as sheet_faults
from tests.factories import sheets

MIX = sheets.small()["mix"]


@pytest.mark.parametrize(
    ("changes", "path", "message"),
    [
        (
            {"thickness_mm": 9000},
            "thickness_mm",
            "thickness_mm 9000 must be at most 5000 mm; correct the number",
        ),
        ({"cover_mm": 0.5}, "cover_mm", "cover_mm 0.5 must be at least 1 mm; correct the number"),
        (
            {"outline": [[0, 0], [300_000, 0], [0, 4000]]},
            "outline[1][0]",
            "outline entry 1 300000 must be at most 200000 mm; correct the number",
        ),
        (
            {"outline": [[0, 0], [6000, 0]]},
            "outline",
            "outline a list of 2 must have at least 3 entries; complete it",
        ),
        ({"outline": [[0, 0], [6000], [0, 4000]]}, "outline[1][1]", "outline entry 2 is missing; add it"),
        (
            {"outline": [[0, 0], {"x": 6000, "y": 0}, [0, 4000]]},
            "outline[1]",
            "outline entry 2 a group of fields must be a list in square brackets; correct it",
        ),
        (
            {"exposure": "sever"},
            "exposure",
            (
                "exposure 'sever' is not a class of profile is; "
                "choose one of mild, moderate, severe, very_severe, extreme"
            ),
        ),
        (
            {"mix": {**MIX, "kind": "nominal"}},
            "mix",
            (
                "mix a group of fields must have a kind, one of "
                "'nominal_volume', 'nominal_mass', 'designed'; choose one"
            ),
        ),
        (
            {"mix": {"parts": [1, 2, 4]}},
            "mix",
            'mix a group of fields has no kind; add "kind": "nominal_volume", "nominal_mass" or "designed"',
        ),
        (
            {"mix": {**MIX, "water_cement": 0.1}},
            "mix.water_cement",
            "water_cement 0.1 must be at least 0.25; correct the number",
        ),
        (
            {"mix": {**MIX, "parts": [1, 1.5]}},
            "mix.parts[2]",
            "parts entry 3 is missing; add it",
        ),
        (
            {"mix": {**MIX, "parts": {"cement": 1, "sand": 1.5, "stone": 3}}},
            "mix.parts",
            "parts a group of fields must be a list in square brackets; correct it",
        ),
        (
            {"mix": {**MIX, "stone_split": {"20": 60, "12": 40}}},
            "mix.stone_split.12",
            "'12' is no name here; use '20' or '10'",
        ),
        (
            {"mix": {**MIX, "admixtures": [{"material": "waterproofer", "dose_ml_per_bag": 0}]}},
            "mix.admixtures[0].dose_ml_per_bag",
            "dose_ml_per_bag 0 must be more than 0 ml; correct the number",
        ),
        (
            {"bars": [sheets.bar(size_mm=10.0)]},
            "bars[0].size_mm",
            "size_mm 10.0 must be a whole number; write it without quotation marks or decimals",
        ),
        (
            {"bars": [sheets.bar(dimensions={"A": -85})]},
            "bars[0].dimensions.A",
            "A -85 must be at least 1 mm; correct the number",
        ),
        (
            {"bars": [sheets.bar(cranks=True)]},
            "bars[0].cranks",
            "cranks True must be a whole number; write it without quotation marks or decimals",
        ),
        (
            {"bars": [sheets.bar(crank_angle_deg=50)]},
            "bars[0].crank_angle_deg",
            "crank_angle_deg 50 must be 30, 45 or 60; choose one of these",
        ),
        (
            {"curing": {"cement": "opc", "method": "ponding", "hot_dry": 1}},
            "curing.hot_dry",
            "hot_dry 1 must be true or false; write one of them without quotation marks",
        ),
        (
            {"drawing": {"number": "T-1", "dated": "2026-02-30"}},
            "drawing.dated",
            "dated '2026-02-30' must be a calendar date; write it as 2026-03-12",
        ),
        (
            {"drawing": {"number": "T-1", "dated": 20260312}},
            "drawing.dated",
            "dated 20260312 must be a calendar date; write it as 2026-03-12",
        ),
        ({"drawing": {}}, "drawing.number", "number is missing; add it"),
        (
            {"designed": 1},
            "designed",
            "designed is not a field of this sheet; take it out or correct its spelling",
        ),
        ({"slab": "\ud800"}, "slab", r"slab '\ud800' must be readable text; write it again"),
        ({"slab": b"roof"}, "slab", "slab b'roof' must be text; write it in quotation marks"),
        (
            {"allowances": [1]},
            "allowances",
            "allowances a list of 1 must be a group of named fields in braces; correct it",
        ),
    ],
)
def test_fault_of_form_is_named(changes, path, message):
    assert sheets.messages(sheets.small(**changes)) == {path: message}


def test_text_out_of_form_says_what_is_asked():
    found = sheets.messages(sheets.small(bars=[sheets.bar(mark="S 1")]))
    assert found["bars[0].mark"].startswith("mark 'S 1' does not have the form of this field")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"slab": "roof\x00"}, [("slab", "bad_text")]),
        ({"slab": "two\nlines"}, [("slab", "bad_text")]),
        ({"slab": "  "}, [("slab", "bad_text")]),
        ({"remark": "bell \x07"}, [("remark", "bad_text")]),
        ({"remark": "two\n\tlines"}, []),
        ({"bars": [sheets.bar(mark="S\x08")]}, [("bars[0].mark", "bad_text")]),
        # Joiners are part of the spelling of several scripts.
        ({"slab": "क्\u200dष"}, []),
    ],
)
def test_control_characters_are_refused(changes, expected):
    assert sheets.faults(sheets.small(**changes)) == expected


def test_list_is_not_blamed_for_its_faulty_entries():
    found = sheets.faults(sheets.small(outline=[[0, "0"], [6000, "0"], [0, "4000"]]))
    assert found == [
        ("outline[0][1]", "wrong_type"),
        ("outline[1][1]", "wrong_type"),
        ("outline[2][1]", "wrong_type"),
    ]


def test_key_that_is_no_text_is_refused():
    assert sheets.faults({**sheets.small(), 5: 1}) == [("[5]", "unknown_field")]


def test_unknown_kind_of_fault_still_has_a_sentence():
    # A sequence that is no list: the schema's own wording for it is not one of ours.
    found = sheets.messages(sheets.small(drawing={"number": "T", "dated": "2026-01-05"}, steel_methods=5))
    assert found == {"steel_methods": "steel_methods 5 must be a group of named fields in braces; correct it"}


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (125.0, "125"),
        (1e300, "1e+300"),
        (10**400, "a number of more than 60 digits"),
        (True, "True"),
        ({}, "a group of fields"),
        ([1, 2], "a list of 2"),
        ("a\nb", r"'a\nb'"),
        ("x" * 80, "'" + "x" * 59 + "…'"),
    ],
)
def test_value_is_shown_on_one_short_line(value, expected):
    assert sheet_faults.show(value) == expected


def test_path_is_written_as_people_read_it():
    assert sheet_faults.path_of(["beams", 2, "start", 0]) == "beams[2].start[0]"
    assert sheet_faults.path_of(["\ud800", "y"]) == r"\ud800.y"
