"""Reading and writing a design sheet."""

import dataclasses
import json
import math
from datetime import date
from importlib.resources import files

import pytest

from estimates.calc import bill
from estimates.calc.reading import reader as sheet
from estimates.calc.sheet import text as sheet_text
from estimates.standards import load
from tests.factories import sheets


def test_example_is_read_as_drawn():
    roof = sheet.read(sheets.roof())
    assert (roof.drawing.number, roof.drawing.revision, roof.drawing.dated, roof.drawing.engineer) == (
        "RH-S-04",
        "B",
        date(2026, 3, 12),
        "N. Orveld",
    )
    assert roof.outline == ((0, -600), (9200, -600), (9200, 7400), (0, 7400))
    assert [(opening.name, opening.outline[0]) for opening in roof.openings] == [
        ("stair", (6300, 5700)),
        ("duct", (300, 6900)),
    ]
    assert [(beam.name, beam.depth_mm) for beam in roof.beams] == [
        ("B1", 450),
        ("B2", 500),
        ("B3", 450),
        ("B4", 450),
        ("B5", 450),
        ("B6", 450),
    ]
    assert (roof.cover_mm, roof.beam_cover_mm, roof.thickness_mm) == (20, 25, 125)
    assert len(roof.bars) == 17


def test_example_as_text_and_as_data_is_the_same():
    text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
    assert sheet.read(text) == sheet.read(sheets.roof())


def test_written_sheet_is_the_example_with_its_empty_fields():
    written = json.loads(sheet.to_json(sheet.read(sheets.roof())))
    expected = sheets.roof()
    expected["bars"] = [{"remark": "", **row} for row in expected["bars"]]
    empty = {name: value for name, value in written.items() if value in ([], {})}
    assert {"spacing_rules", "answers", "allowances"} <= set(empty)
    expected["beams"] = [{"via": [], "top_level_mm": 0, **row} for row in expected["beams"]]
    assert written == {**expected, **empty}


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"slab": "छत 屋根 — Dach ✓"},
        {"thickness_mm": 150.5},
        {"beams": [sheets.beam()], "beam_cover_mm": 25},
        {"spacing_rules": [sheets.rule(region=[[0, 0], [3000, 0], [3000, 2000]])]},
        {"allowances": {"cement": 2.5}},
        {
            "mix": {
                "kind": "designed",
                "cement_kg_m3": 350,
                "water_kg_m3": 160,
                "sand_kg_m3": 700,
                "stone_kg_m3": {"20": 700, "10": 450},
                "sand_bulk_kg_m3": 1600,
                "stone_bulk_kg_m3": {"20": 1500, "10": 1480},
                "admixtures": [{"material": "plasticiser", "dose_kg_m3": 2.4, "density_kg_l": 1.15}],
            }
        },
    ],
)
def test_sheet_survives_writing_and_reading(changes):
    first = sheet.read(sheets.small(**changes))
    assert sheet.read(sheet.to_json(first)) == first


def test_whole_numbers_are_written_whole():
    assert '"thickness_mm": 150,' in sheet.to_json(sheet.read(sheets.small(thickness_mm=150.0)))


def test_sheet_is_frozen():
    read = sheet.read(sheets.small())
    with pytest.raises(dataclasses.FrozenInstanceError):
        read.thickness_mm = 100


def test_sheet_from_another_mapping_is_read():
    from types import MappingProxyType  # noqa: PLC0415 - only this test needs it

    assert sheet.read(MappingProxyType(sheets.small())) == sheet.read(sheets.small())


def test_published_schema_is_up_to_date():
    path = files("estimates").joinpath("static/estimates/design-sheet.schema.json")
    assert path.read_text(encoding="utf-8") == sheet_text.dump(sheet.schema()) + "\n"


def test_schema_describes_every_field_and_allows_no_other():
    schema = sheet.schema()
    groups = [schema, *(group for group in schema["$defs"].values() if group.get("type") == "object")]
    assert len(groups) > 10
    for group in groups:
        assert group["additionalProperties"] is False
        for name, field in group["properties"].items():
            assert field.get("description"), name
            if name.endswith("_mm"):
                assert "[mm]" in field["description"], name


def test_eight_faults_are_found_at_once():
    broken = sheets.small(
        thickness_mm=-150,
        cover_mm=20,
        grade="20",
        openings=[
            {"name": "stair", "outline": [[1000, 1000], [9000, 1000], [9000, 2000], [1000, 2000]]},
            {"name": "void", "outline": [[1000, 1500], [2000, 1500], [2000, 2500], [1000, 2500]]},
        ],
        beams=[sheets.beam(name="B2", start=[0, 9000])],
        bars=[
            sheets.bar(size_mm=11),
            sheets.bar(shape="u", dimensions={"A": 85, "B": 2400}),
            sheets.bar(mark="S3", per_member=None),
            sheets.bar(mark="S4", colour="red"),
        ],
    )
    assert sheets.faults(broken) == [
        ("thickness_mm", "too_small"),
        ("grade", "bad_text"),
        ("bars[3].colour", "unknown_field"),
        ("openings[0].outline", "opening_outside"),
        ("openings[1].outline", "openings_overlap"),
        ("beam_cover_mm", "missing"),
        ("beams[0].start", "beam_off_slab"),
        ("bars[1].mark", "duplicate_mark"),
        ("bars[0].size_mm", "unknown_bar_size"),
        ("bars[1].dimensions.C", "dimension_missing"),
        ("bars[2].per_member", "count_missing"),
    ]


def test_error_text_has_a_line_for_every_fault():
    with pytest.raises(sheet.SheetFaults) as refused:
        sheet.read(sheets.small(thickness_mm=-5, cover_mm="20"))
    assert str(refused.value) == (
        "thickness_mm: thickness_mm -5 must be at least 1 mm; correct the number\n"
        "cover_mm: cover_mm '20' must be a number; write it without quotation marks"
    )


@pytest.mark.parametrize(
    "value", [math.nan, math.inf, -math.inf, True, "125", None, 0, -1, 1e300, 10**400, []]
)
def test_no_such_thickness(value):
    paths = {path for path, _ in sheets.faults(sheets.small(thickness_mm=value))}
    assert paths == {"thickness_mm"}


def test_profile_that_is_not_known_hides_no_other_fault():
    broken = sheets.small(profile="xx", bars=[sheets.bar(per_member=None)], spacing_rules=[sheets.rule()])
    assert sheets.faults(broken) == [("profile", "not_a_choice"), ("bars[0].per_member", "count_missing")]


@pytest.mark.parametrize(
    ("field", "make", "most"),
    [
        ("outline", lambda n: [[i * 10, (i % 2) * 3000 + i] for i in range(n)], 500),
        ("beams", lambda n: [sheets.beam(name=f"B{i}") for i in range(n)], 200),
        ("bars", lambda n: [sheets.bar(mark=f"S{i}") for i in range(n)], 2000),
    ],
)
def test_lists_have_a_limit(field, make, most):
    assert (field, "too_long") in sheets.faults(sheets.small(**{field: make(most + 1)}))
    assert (field, "too_long") not in sheets.faults(sheets.small(**{field: make(most)}))


def test_every_accepted_example_can_be_taken_off():
    roof = sheet.read(sheets.roof())
    lines = bill.compute(roof, profile=load.profile("is")).lines
    assert {f"steel.mark.{bar.mark}" for bar in roof.bars} <= {line.key for line in lines}


@pytest.mark.parametrize(
    ("profile", "field", "wrong", "right"),
    [
        ("is", "grade", "C25/30", "M20"),
        ("en", "grade", "M20", "C25/30"),
        ("aci", "grade", "C25/30", "4000 psi"),
        ("is", "steel_grade", "Grade 60", "Fe500"),
        ("en", "steel_grade", "Fe500", "B500B"),
        ("aci", "steel_grade", "B500B", "Grade 60"),
        ("is", "exposure", "XC1", "mild, moderate"),
        ("en", "exposure", "mild", "X0, XC1"),
        ("aci", "exposure", "XC1", "F0, F1"),
        ("en", "grade", "20", "C25/30"),
        ("aci", "exposure", "sever", "F0, F1"),
    ],
)
def test_words_of_another_profile_are_refused_with_the_right_ones(profile, field, wrong, right):
    said = sheets.messages(sheets.small(profile=profile, **{field: wrong}))[field]
    assert f"{wrong!r} is not" in said
    assert f"of profile {profile}" in said
    assert right in said


def test_profile_unknown():
    assert sheets.faults(sheets.small(profile="din")) == [("profile", "not_a_choice")]


def test_further_exposures_and_values_of_another_profile():
    wrong = {"further": ["XF1"], "structural_class": "S4", "deviation_mm": 5}
    assert sheets.faults(sheets.small(durability=wrong)) == [
        ("durability.further[0]", "not_a_choice"),
        ("durability.structural_class", "of_other_profile"),
        ("durability.deviation_mm", "of_other_profile"),
    ]
