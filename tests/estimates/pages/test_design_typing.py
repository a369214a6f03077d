"""What is typed in the form is the sheet: the same design by form and by JSON, and every fault at its box."""

import json
from importlib.resources import files

import pytest
from babel import Locale
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc.reading import reader as sheets
from estimates.pages import design_form, design_typing
from estimates.pages.boxes.steel import BARS
from estimates.queries import designs
from projects.errors import Fault
from tests.factories import estimates as make

INDIA, GERMANY = Locale.parse("en_IN"), Locale.parse("de")

DESIGNED = {
    "kind": "designed",
    "cement_kg_m3": 380,
    "water_kg_m3": 180.5,
    "sand_kg_m3": 720,
    "stone_kg_m3": {"20": 690, "10": 460},
    "sand_bulk_kg_m3": 1600,
    "stone_bulk_kg_m3": {"20": 1500, "10": 1540},
    "admixtures": [{"material": "plasticiser", "dose_kg_m3": 3.8, "density_kg_l": 1.2}],
}

# One of every field that a sheet can hold.
FULL = make.sheet(
    openings=[
        {"name": "hatch", "outline": [[1000, 1000], [2000, 1000], [2000.5, 2000]]},
    ],
    falls="1:100 to the north",
    remark="two lines\nof remark",
    mix=make.SHEET["mix"]
    | {
        "method": "analysis_of_rates",
        "mixing": "hand",
        "admixtures": [{"material": "waterproofer", "dose_ml_per_bag": 200, "bag_kg": 42.5}],
    },
    bars=[
        *make.SHEET["bars"],
        {
            "mark": "C1",
            "member": "slab",
            "size_mm": 12,
            "shape": "cranked",
            "dimensions": {"A": 300, "B": 2900.5, "C": 300, "D": 85},
            "members": 2,
            "count_rule": {
                "length_mm": 3900,
                "spacing_mm": 150,
                "method": "spacing_raised",
                "end_cover_mm": 25,
            },
            "cranks": 1,
            "crank_angle_deg": 45,
            "per_member": 27,
            "bundle": 2,
            "ends": "down",
            "remark": "over the beam",
        },
        {
            "mark": "L1",
            "member": "slab",
            "size_mm": 8,
            "shape": "56",
            "dimensions": {"A": 300, "B": 250, "C": 200, "D": 270.5, "E": 130, "F": 130},
            "per_member": 4,
        },
    ],
    spacing_rules=[
        {
            "mark": "S9",
            "size_mm": 8,
            "direction": "x",
            "spacing_mm": 200,
            "layer": "top",
            "region": [[0, 0], [4000, 0], [4000, 1500], [0, 1500]],
            "end_cover_mm": 20,
            "angle_deg": 12.5,
            "first_bar": "half_spacing",
            "shorter_mm": 600,
            "every_second": {"mark": "S9c", "rise_mm": 80, "cranks": 1, "angle_deg": 45},
            "use": "main",
            "remark": "top over the beam",
        },
        {
            "mark": "S10",
            "size_mm": 8,
            "direction": "y",
            "spacing_mm": 200,
            "layer": "top",
            "number": 21,
        },
    ],
    supports={
        "chairs": [
            {
                "mark": "CH1",
                "size_mm": 12,
                "per_m2": 1.5,
                "height_mm": 80,
                "head_mm": 350,
                "foot_mm": 250,
                "region": [[0, 0], [4000, 0], [4000, 1500], [0, 1500]],
            },
            {"mark": "CH2", "size_mm": 12, "number": 7, "height_mm": 80, "head_mm": 350, "foot_mm": 250},
        ],
        "cover_blocks": {"by": "stated", "per_m2": 2.5, "beam_spacing_mm": 800},
    },
    answers=[
        {
            "question": "lap",
            "marks": ["S9", "C1"],
            "decision": "lap 600, staggered",
            "engineer": "N. Orveld",
            "dated": "2026-05-11",
            "lap_mm": 600,
            "joints": 1,
            "share_percent": 50,
        },
        {
            "question": "trimmers",
            "marks": ["T1"],
            "decision": "two beside each edge",
            "engineer": "N. Orveld",
            "dated": "2026-05-11",
            "opening": "hatch",
            "size_mm": 12,
            "length_mm": 2400.5,
            "number": 8,
        },
    ],
    steel_methods={
        "count": "spacing_raised",
        "bend": "site_2d",
        "stirrup": "inside_24d",
        "crank": "exact",
        "length_rounding": "nearest_10_mm",
        "hook": "is2502_k2",
        "wire": "by_size",
        "catalogue": "bs8666-2005",
    },
    allowances={"cement": 2, "binding-wire": 3.5},
    curing={
        "cement": "blended",
        "method": "ponding",
        "hot_dry": True,
        "days": 14,
        "strength_gain": "slow",
        "temperature": "10_15",
        "rule": "days",
    },
    supply={"kind": "ready_mixed", "truck_m3": 6.5},
    consumables=[{"item": "mould_oil", "method": "steel"}, {"item": "nails", "rate": 0.25}],
    waterproofing={
        "system": "cement_slurry",
        "coats": 3,
        "per_coat": 2.5,
        "turn_ups": [{"height_mm": 300, "edges": [1, 2, 4]}, {"height_mm": 150, "length_mm": 1200}],
    },
    plant={
        "norm": "analysis_of_rates",
        "mixers": 2,
        "mixer_days": 1.5,
        "vibrators": 2,
        "spare_vibrators": 0,
        "vibrator_days": 1,
    },
    crew={"norm": "analysis_of_rates", "mason_days": 2, "labourer_days": 12.5, "water_carrier_days": 3},
    durability={"surroundings": "weather", "fire_minutes": 120, "air_percent": 4.5},
    placing={
        "beams_apart": True,
        "beams_joint": "at the soffit, A. Engineer",
        "free_fall_mm": 1100,
        "minutes": 25.5,
        "air_c": -3.5,
        "concrete_c": 12,
        "weather_measures": "straw mats",
        "rain": True,
        "rain_measures": "sheets",
    },
)

BY_MASS = make.sheet(
    mix={
        "kind": "nominal_mass",
        "row": "m20",
        "stone_to_sand": 1.8,
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
        "mixing": "hand",
        "bulk_kg_m3": {"cement": 1440, "sand": 1620, "20": 1480, "10": 1510},
        "particle_kg_m3": {"cement": 3150, "sand": 2600, "20": 2700, "10": 2710},
        "air_percent": 1.5,
        "admixtures": [{"material": "plasticiser", "dose_percent": 0.8, "density_kg_l": 1.1}],
    }
)
BY_PARTS = make.sheet(
    mix={
        "kind": "nominal_mass",
        "parts": [1, 1.6, 3.2],
        "water_cement": 0.55,
        "stone_split": {"20": 60, "10": 40},
    }
)
TRIAL = {"standing": "proportioned_not_trialled", "proportioned_by": "is_10262_2019"}


def through_the_form(plain, *, locale):
    typed = design_typing.written(plain, locale=locale)
    sheet, faults = design_typing.read(design_typing.closed_up(typed), locale=locale)
    assert faults == ()
    return sheet


def as_saved(sheet):
    return json.loads(sheets.to_json(sheets.read(sheet)))


@pytest.mark.parametrize("locale", [INDIA, GERMANY], ids=["en-IN", "de"])
@pytest.mark.parametrize(
    "sheet",
    [make.SHEET, FULL, make.sheet(mix=DESIGNED | TRIAL), BY_MASS, BY_PARTS],
    ids=["small", "full", "designed", "by mass", "parts by mass"],
)
def test_saved_design_goes_through_the_form_unchanged(sheet, locale):
    assert sheets.read(through_the_form(as_saved(sheet), locale=locale)) == sheets.read(sheet)


def test_drawing_of_the_ridge_house_goes_through_the_form_unchanged():
    text = files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")

    assert sheets.read(through_the_form(as_saved(json.loads(text)), locale=INDIA)) == sheets.read(text)


millimetres = st.one_of(
    st.integers(200, 1_000), st.floats(200, 1_000).map(lambda value: round(value, 3)), st.floats(200, 1_000)
)


@given(
    thickness=millimetres,
    depth=millimetres,
    locale=st.sampled_from([INDIA, GERMANY]),
    dose=st.floats(0.1, 5_000),
    remark=st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=40),
    marks=st.lists(st.integers(1, 99), min_size=1, max_size=5, unique=True),
)
def test_any_figure_goes_through_the_form_unchanged(thickness, depth, locale, dose, remark, marks):
    bars = [make.SHEET["bars"][0] | {"mark": f"S{mark}"} for mark in marks]
    admixtures = [{"material": "waterproofer", "dose_ml_per_bag": dose}]
    sheet = make.sheet(
        thickness_mm=thickness,
        beams=[make.SHEET["beams"][0] | {"depth_mm": thickness + depth}],
        mix=make.SHEET["mix"] | {"admixtures": admixtures},
        bars=bars,
        remark=remark,
    )

    assert sheets.read(through_the_form(as_saved(sheet), locale=locale)) == sheets.read(sheet)


def test_empty_rows_are_left_out_and_the_rest_close_up():
    typed = {"beams[0].name": " ", "beams[2].name": "B7", "beams[5].name": "B9", "slab": "Roof"}

    assert design_typing.closed_up(typed) == {"slab": "Roof", "beams[0].name": "B7", "beams[1].name": "B9"}


def test_boxes_that_are_not_of_the_form_do_not_count():
    sheet, _faults = design_typing.read({"colour": "grey", "beams[x].name": "B1"}, locale=INDIA)

    assert set(sheet) == {"schema"}


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("thickness_mm", "12x"),
        ("thickness_mm", "NaN"),
        ("thickness_mm", "Infinity"),
        ("thickness_mm", "1e9"),
        ("thickness_mm", "1.2.3"),
        ("thickness_mm", "9" * 31),
        ("thickness_mm", "१२५"),
        ("outline", "0, 0\n4000"),
        ("outline", "0, 0, 0"),
        ("outline", "0, 1e5"),
        ("outline", f"0, {'9' * 10}"),
    ],
)
def test_what_cannot_be_read_is_a_fault_of_its_box(path, text):
    _sheet, faults = design_typing.read({path: text}, locale=INDIA)

    assert [(fault.path, fault.code) for fault in faults if fault.code == "unreadable"] == [
        (path, "unreadable")
    ]


def test_figures_are_read_as_the_firm_writes_them():
    assert design_typing.read({"thickness_mm": "1,250.5"}, locale=INDIA)[0]["thickness_mm"] == 1250.5
    assert design_typing.read({"thickness_mm": "1.250,5"}, locale=GERMANY)[0]["thickness_mm"] == 1250.5
    assert design_typing.read({"thickness_mm": "125.0"}, locale=INDIA)[0]["thickness_mm"] == 125


def test_boxes_of_the_other_mix_do_not_count():
    typed = {"mix.kind": "designed", "mix.water_cement": "0.5", "mix.cement_kg_m3": "380"}

    sheet, faults = design_typing.read(typed, locale=INDIA)

    assert sheet["mix"] == {"kind": "designed", "cement_kg_m3": 380}
    assert "mix.water_cement" not in {fault.path for fault in faults}


def test_empty_box_that_is_needed_is_a_fault():
    _sheet, faults = design_typing.read({"beams[0].name": "B1", "mix.parts[1]": "1.5"}, locale=INDIA)

    missing = {fault.path for fault in faults}
    assert {"drawing.number", "thickness_mm", "beams[0].width_mm", "beams[0].start"} <= missing
    assert "bars[0].mark" not in missing


def test_point_with_two_corners_is_a_fault_of_the_sheet():
    typed = {"beams[0].start": "0, 0\n1, 1"}

    sheet, _faults = design_typing.read(typed, locale=INDIA)

    assert sheet["beams"][0]["start"] == [[0, 0], [1, 1]]
    assert any(fault.path.startswith("beams[0].start") for fault in designs.faults_of(sheet))


def test_fault_stands_at_its_box_or_the_nearest_above():
    form = design_form.view(
        {"outline": "0, 0", "bars[0].mark": "S1"},
        faults=[
            Fault("outline[2].x", "too_large", "x is too large"),
            Fault("bars[0].dimensions.A", "missing", "A is missing"),
            Fault("bars[0].count_rule", "missing", "no count"),
            Fault("", "unworkable", "cannot be worked out"),
        ],
    )

    boxes = {
        view.path: view.faults
        for part in form.parts
        for view in (*part.boxes, *(box for row in part.rows for box in row.boxes))
        if view.faults
    }
    assert boxes == {"outline": ("x is too large",), "bars[0].dimensions.A": ("A is missing",)}
    assert [fault.target for fault in form.faults] == ["box-outline", "box-bars-0-dimensions-A", "", ""]


def test_rare_boxes_open_when_one_is_used():
    form = design_form.view({"bars[0].mark": "S1", "bars[1].mark": "S2", "bars[1].ends": "up"})

    bars = next(part for part in form.parts if part.path == "bars")
    assert [row.is_open for row in bars.rows] == [False, True, False]
    assert {view.box.path for view in bars.rows[0].rare} == {box.path for box in BARS.boxes if box.rare}


def test_more_rows_are_given_where_asked():
    form = design_form.view({"beams[0].name": "B1"}, more="beams")

    rows = {part.path: len(part.rows) for part in form.parts if part.path}
    assert (rows["beams"], rows["openings"]) == (6, 1)


def test_form_says_when_a_browser_could_not_send_it():
    many = {f"bars[{number}].mark": f"S{number}" for number in range(60)}

    assert design_form.view(many).is_too_large
    assert not design_form.view({}).is_too_large


@pytest.mark.parametrize("text", ["\N{SUPERSCRIPT TWO}", "\N{FULLWIDTH DIGIT FOUR}5", "9" * 5_000])
def test_figure_that_is_no_choice_is_a_fault_of_its_box(text):
    typed = design_typing.written(FULL, locale=INDIA) | {"bars[0].crank_angle_deg": text}

    sheet, unread = design_typing.read(typed, locale=INDIA)

    assert unread == ()
    assert "bars[0].crank_angle_deg" in {fault.path for fault in designs.faults_of(sheet)}


def test_row_with_a_number_that_no_form_gives_is_no_row():
    typed = design_typing.closed_up({f"beams[{'1' * 5_000}].name": "B1", "beams[7].name": "B2"})

    assert typed == {"beams[0].name": "B2"}
