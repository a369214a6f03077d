"""What is read of the drawings and schedules as received, against the notes that came with them."""

import io
import json
import math
from itertools import pairwise

import ezdxf
import ifcopenshell.api.context
import ifcopenshell.api.project
import ifcopenshell.api.root
import ifcopenshell.api.unit
import ifcopenshell.geom
import ifcopenshell.guid
import ifcopenshell.util.shape
import openpyxl
import pytest
from shapely.geometry import Polygon

from estimates.calc.intake import cells, draft, files, plan, plan_draft
from estimates.documents import bar_template
from estimates.standards import load
from tests.estimates import drawings

LAYERS = {
    "plan.layer.S-SLAB-EDGE": "outline",
    "plan.layer.S-OPNG": "openings",
    "plan.layer.S-BEAM-CL": "beams",
    "plan.layer.S-PANEL": "panels",
    "plan.layer.S-TEXT": "words",
    "plan.layer.A-GRID": "nothing",
}


def drawn(name, **answers):
    found = files.read(drawings.content(name), name=name).plan
    return plan_draft.of_plan(found, answers=LAYERS | answers)


def test_dairy_store_has_the_openings_and_beams_of_its_note():
    sheet = drawn(drawings.DAIRY[0], **{"plan.gap.r1": "first"}).sheet

    tank, duct = sheet["openings"]
    assert tank["circle"] == {"centre": [3200, 7900], "diameter_mm": 1200}
    assert Polygon(duct["outline"]).area == 800 * 700
    depths = {beam["name"]: (beam["width_mm"], beam["depth_mm"]) for beam in sheet["beams"]}
    assert depths == dict.fromkeys(["1A", "1C", "2A", "2C"], (200, 400)) | {
        "1B": (200, 450),
        "2B": (200, 450),
    }


def test_panels_are_asked_with_what_the_drawing_says_of_them():
    said = {
        "plan.gap.r1": "first",
        "plan.panel.r4": "125/-300",
        "plan.panel.r5": "150",
        "plan.sides.r4": "125",
    }
    asked = {question.id: question.suggested for question in drawn(drawings.DAIRY[0], **said).questions}
    panels = drawn(drawings.DAIRY[0], **said).sheet["panels"]

    assert asked["plan.panel.r4"] == "125/-300"
    assert asked["plan.panel.r5"] == "150"
    assert [(p["thickness_mm"], p["top_level_mm"], p.get("sides_mm")) for p in panels] == [
        (125, -300, 125),
        (150, 0, None),
    ]
    assert "panels" not in drawn(drawings.DAIRY[0], **{"plan.gap.r1": "first"}).sheet


@pytest.mark.parametrize(
    ("answer", "first"),
    [("first", [0, 0]), ("last", [12400, 0]), ("line", [0, 0])],
)
def test_open_outline_is_closed_only_as_said(answer, first):
    open_one = drawn(drawings.DAIRY[0])
    assert "outline" not in open_one.sheet
    assert "open by 3 mm" in next(q.text for q in open_one.questions if q.id == "plan.gap.r1")

    assert drawn(drawings.DAIRY[0], **{"plan.gap.r1": answer}).sheet["outline"][0] == first


def test_labels_that_stand_on_two_lines_are_asked_and_the_others_not():
    found = drawn(drawings.RIDGE[0])

    assert [q.id for q in found.questions if q.id.startswith("plan.beam")] == ["plan.beam.s2", "plan.beam.s5"]
    assert [beam["name"] for beam in found.sheet["beams"]] == ["B1", "B3", "B4", "B6"]


def test_drawing_without_a_unit_asks_for_it():
    document = ezdxf.new(units=0)
    document.modelspace().add_lwpolyline(
        [(0, 0), (9.2, 0), (9.2, 8), (0, 8)], close=True, dxfattribs={"layer": "EDGE"}
    )
    content = "".join(_lines(document)).encode()
    found = files.read(content, name="a.dxf").plan

    asked = plan_draft.of_plan(found, answers={})
    metres = plan_draft.of_plan(found, answers={"plan.unit": "m", "plan.layer.EDGE": "outline"})

    assert asked.questions[0].id == "plan.unit"
    assert metres.sheet["outline"] == [[0, 0], [9200, 0], [9200, 8000], [0, 8000]]


def test_lines_and_arcs_that_meet_are_one_outline():
    document = ezdxf.new(units=4)
    space = document.modelspace()
    for start, end in (((0, 0), (4000, 0)), ((4000, 3000), (0, 3000)), ((0, 3000), (0, 0))):
        space.add_line(start, end, dxfattribs={"layer": "EDGE"})
    space.add_arc((4000, 1500), 1500, 270, 90, dxfattribs={"layer": "EDGE"})
    found = files.read("".join(_lines(document)).encode(), name="a.dxf").plan

    sheet = plan_draft.of_plan(found, answers={"plan.layer.EDGE": "outline"}).sheet

    exact = 4000 * 3000 + math.pi * 1500**2 / 2
    assert 0 < exact - Polygon(sheet["outline"]).area < math.pi * 1500
    bow = [corner for corner in sheet["outline"] if corner[0] > 4000]
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for (x1, y1), (x2, y2) in pairwise(bow)]
    # no chord lies further from its arc than is said
    assert max(1500 - math.dist(middle, (4000, 1500)) for middle in middles) <= plan.CHORD_ERROR_MM + 0.002


def _lines(document):
    text = io.StringIO()
    document.write(text)
    return text.getvalue()


@pytest.mark.parametrize(
    ("written", "value", "unit", "either"),
    [
        ("4.35 m", 4.35, "m", False),
        ("11.9m", 11.9, "m", False),
        ("12000", 12000, "", False),
        ("12 000 mm", 12000, "mm", False),
        ("1,150", 1150, "", True),
        ("4,35", 4.35, "", False),
        ("1.234,5", 1234.5, "", False),
        ("12,400.5", 12400.5, "", False),
    ],
)
def test_figures_are_read_as_people_write_them(written, value, unit, either):
    assert cells.figure_of(written) == cells.Figure(value, unit, either)


def test_comma_that_can_be_read_both_ways_is_asked():
    content = b"Mark;Member;Size;Shape;A;No.\nS1;slab;T10;straight;1,150;12\n"
    found = files.read(content, name="bars.csv").schedule
    said = {"bars.unit": "m", "bars.shape.straight": "straight"}

    def length(**answers):
        begun = draft.begin(plan=None, schedule=found, answers=said | answers, profile=load.profile("is"))
        return begun.sheet["bars"][0]["dimensions"]["A"] if "bars" in begun.sheet else None

    assert length(**{"bars.decimal": ","}) == 1150
    assert "bars.decimal" in {
        q.id for q in draft.begin(plan=None, schedule=found, answers=said, profile=load.profile("is")).open
    }


def test_good_rows_alone_are_taken_only_when_a_person_says_so():
    rows = ("Mark,Member,Size,Shape,A,No.", "S1,slab,T10,straight,3 m,12", "S2,slab,T11,straight,3 m,12")
    content = "\n".join([*rows, "S3,slab,x,straight,1,1"]).encode()
    found = files.read(content, name="bars.csv").schedule
    said = {"bars.shape.straight": "straight", "bars.unit": "mm"}

    def begin(**answers):
        return draft.begin(plan=None, schedule=found, answers=said | answers, profile=load.profile("is"))

    assert "bars" not in begin().sheet
    assert {fault.line for fault in begin().bar_faults} == {3, 4}
    only = begin(**{"bars.faulty": "good ones only"})
    assert [bar["mark"] for bar in only.sheet["bars"]] == ["S1"]
    assert only.left_out == (3, 4)


def test_template_filled_in_reads_back():
    book = openpyxl.load_workbook(io.BytesIO(bar_template.content()))
    sheet = book.active
    rows = [["S1", "slab", 10, "straight", 3920], ["S2", "slab", 8, "u down", 85, 2400, 85]]
    for line, row in enumerate(rows, start=bar_template.FIRST_ROW):
        for column, value in enumerate(row, start=1):
            sheet.cell(row=line, column=column, value=value)
        sheet.cell(row=line, column=12, value=62)
        sheet.cell(row=line, column=13, value=2)
    made = io.BytesIO()
    book.save(made)

    found = files.read(made.getvalue(), name=bar_template.NAME).schedule
    answers = {"bars.shape.straight": "straight", "bars.shape.u down": "u down"}
    begun = draft.begin(plan=None, schedule=found, answers=answers, profile=load.profile("is"))

    assert begun.ready
    both = {"member": "slab", "per_member": 62, "members": 2}
    bent = {"size_mm": 8, "shape": "u", "dimensions": {"A": 85, "B": 2400, "C": 85}, "ends": "down"}
    assert begun.sheet["bars"] == [
        both | {"mark": "S1", "size_mm": 10, "shape": "straight", "dimensions": {"A": 3920}},
        both | {"mark": "S2"} | bent,
    ]
    assert bar_template.content() == bar_template.content()


def model():
    """A slab of 9.2 × 8 m in metres with one opening, four bars and a wall, as a program would export it."""
    made = ifcopenshell.api.project.create_file(version="IFC4")
    ifcopenshell.api.root.create_entity(made, ifc_class="IfcProject", name="x")
    ifcopenshell.api.unit.assign_unit(made, length={"is_metric": True, "raw": "METERS"})
    context = ifcopenshell.api.context.add_context(made, context_type="Model")

    def put(product, place, profile, depth):
        spot = made.create_entity("IfcAxis2Placement3D", made.create_entity("IfcCartesianPoint", place))
        product.ObjectPlacement = made.create_entity("IfcLocalPlacement", None, spot)
        up = made.create_entity("IfcDirection", (0.0, 0.0, 1.0))
        at = made.create_entity(
            "IfcAxis2Placement3D", made.create_entity("IfcCartesianPoint", (0.0, 0.0, 0.0))
        )
        solid = made.create_entity("IfcExtrudedAreaSolid", profile, at, up, depth)
        body = made.create_entity("IfcShapeRepresentation", context, "Body", "SweptSolid", [solid])
        product.Representation = made.create_entity("IfcProductDefinitionShape", None, None, [body])

    corners = [(0.0, -0.6), (9.2, -0.6), (9.2, 7.4), (0.0, 7.4), (0.0, -0.6)]
    line = made.create_entity("IfcPolyline", [made.create_entity("IfcCartesianPoint", p) for p in corners])
    slab = ifcopenshell.api.root.create_entity(made, ifc_class="IfcSlab", name="Roof")
    put(slab, (1.0, 2.0, 3.3), made.create_entity("IfcArbitraryClosedProfileDef", "AREA", None, line), 0.125)
    hole = ifcopenshell.api.root.create_entity(made, ifc_class="IfcOpeningElement", name="stair")
    middle = made.create_entity("IfcAxis2Placement2D", made.create_entity("IfcCartesianPoint", (0.0, 0.0)))
    put(
        hole,
        (8.5, 8.25, 3.2),
        made.create_entity("IfcRectangleProfileDef", "AREA", None, middle, 2.4, 1.1),
        0.4,
    )
    made.create_entity("IfcRelVoidsElement", ifcopenshell.guid.new(), None, None, None, slab, hole)
    for _bar in range(3):
        bar = ifcopenshell.api.root.create_entity(made, ifc_class="IfcReinforcingBar", name="S1")
        bar.NominalDiameter, bar.BarLength = 0.010, 3.92
    ifcopenshell.api.root.create_entity(
        made, ifc_class="IfcReinforcingBar", name="S9"
    ).NominalDiameter = 0.010
    ifcopenshell.api.root.create_entity(made, ifc_class="IfcWall", name="w")
    return made, slab


def test_ifc_slab_has_the_volume_that_a_geometry_kernel_gives_it():
    made, slab = model()
    found = files.read(made.to_string().encode(), name="a.ifc")
    answers = {"plan.layer.slab Roof": "outline", "plan.layer.openings in Roof": "openings"}

    begun = draft.begin(plan=found.plan, schedule=None, answers=answers, profile=load.profile("is"))

    shape = ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), slab)
    kernel = ifcopenshell.util.shape.get_volume(shape.geometry)  # OpenCASCADE
    area = Polygon(begun.sheet["outline"], [opening["outline"] for opening in begun.sheet["openings"]]).area
    assert area * begun.sheet["thickness_mm"] / 1e9 == pytest.approx(kernel, rel=1e-9)
    assert {fact.name: fact.value for fact in found.plan.not_read} == {"IfcWall": "1"}


def test_ifc_bars_are_counted_by_mark_and_one_without_length_is_a_fault():
    made, _slab = model()
    found = files.read(made.to_string().encode(), name="a.ifc").schedule

    row = found.rows[0]
    assert (row.mark, row.size_mm, row.dimensions["A"].value, row.per_member) == ("S1", 10, 3920, 3)
    assert [(fault.line, fault.code) for fault in found.faults] == [(4, "missing")]


def test_what_was_found_can_be_kept_as_json():
    for name in (*drawings.RIDGE, *drawings.DAIRY):
        found = files.read(drawings.content(name), name=name)

        assert files.of_data(json.loads(files.to_json(found))) == found


def test_size_by_number_is_read_by_the_profile_and_never_as_millimetres():
    # ASTM A615/A615M: #5 is the metric number 16; "#10" is 32, not a bar of 10 mm.
    content = b"Mark,Member,Size,Shape,A,No.\nS1,slab,#5,straight,3 m,12\nS2,slab,#10,straight,3 m,4"
    found = files.read(content, name="bars.csv").schedule
    said = {"bars.shape.straight": "straight", "bars.unit": "mm"}
    american = draft.begin(plan=None, schedule=found, answers=said, profile=load.profile("aci"))
    assert [bar["size_mm"] for bar in american.sheet["bars"]] == [16, 32]
    indian = draft.begin(plan=None, schedule=found, answers=said, profile=load.profile("is"))
    assert [(fault.line, fault.code) for fault in indian.bar_faults] == [
        (2, "unknown_bar_size"),
        (3, "unknown_bar_size"),
    ]
