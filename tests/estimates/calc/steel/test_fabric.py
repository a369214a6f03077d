"""Welded fabric: masses against the wires, laps and sheets against pages and sums by hand."""

import pytest

from estimates.calc.reading import reader
from estimates.calc.sheet.fabric import Fabric
from estimates.calc.steel import fabric
from estimates.standards import load
from tests.factories import sheets

EN, ACI = load.profile("en"), load.profile("aci")
SQUARE = {"mark": "F1", "fabric": "A393", "along": "x", "layer": "bottom"}


# Independent: area of main wires by the designation, five cross wires a metre; 7,850 kg/m³.
WIRES = {"A142": (142, 141), "A193": (193, 192), "A252": (252, 251), "A393": (393, 393), "B283": (283, 192)}


@pytest.mark.parametrize(("name", "wires"), WIRES.items())
def test_mass_is_that_of_the_wires(name, wires):
    assert EN.number(f"fabric.{name}.mass") == pytest.approx(sum(wires) * 0.00785, rel=0.006)


@pytest.mark.parametrize("name", fabric.known(EN))
def test_designation_is_the_area_of_the_main_wires(name):
    # The designation's number is mm² of main wire in a metre: with equal wires twice that makes the mass.
    area = float(name[1:])
    assert EN.number(f"fabric.{name}.mass") >= area * 0.00785 * (1.98 if name[0] == "A" else 1)


@pytest.mark.parametrize(
    ("rule", "side_mm"),
    # key2concrete.com, BS 8110 3.12.8.5: an A mesh laps 3 × 200 + 100 = 700 mm; building.govt.nz, NZS 3101
    # 8.7.6: one mesh space and 50 mm; a supplier: 350 mm.
    [("four_wires", 700), ("one_mesh_50", 250), ("site_350", 350)],
)
def test_laps_are_those_of_the_pages(rule, side_mm):
    assert fabric.lap(Fabric(**SQUARE, lap=rule), side=True, profile=EN).value == side_mm


def test_lap_of_the_drawing_wins():
    assert fabric.lap(Fabric(**SQUARE, lap_mm=400), side=False, profile=EN).value == 400


def floor(**changes):
    layer = SQUARE | changes
    plain = sheets.roof() | {"openings": [], "beams": [], "bars": [], "beam_cover_mm": None}
    plain |= {"outline": [[0, 0], [9200, 0], [9200, 8000], [0, 8000]], "cover_mm": 25}
    english = {"profile": "en", "grade": "C25/30", "steel_grade": "B500B", "exposure": "XC1"}
    return plain | english | {"fabrics": [layer]}


@pytest.mark.parametrize(
    ("changes", "by_hand"),
    [
        # (9150 - 350) / (4800 - 350) = 1.98 → 2 along; (7950 - 350) / (2400 - 350) = 3.7 → 4 across.
        ({"lap": "site_350"}, 8),
        # 700: (9150 - 700) / 4100 = 2.06 → 3; (7950 - 700) / 1700 = 4.26 → 5.
        ({}, 15),
        # The long side the other way: (7950 - 350) / 4450 = 1.7 → 2; (9150 - 350) / 2050 = 4.3 → 5.
        ({"lap": "site_350", "along": "y"}, 10),
        # Area 73.6 m² over 4.45 × 2.05 = 9.1225 m²: 8.07 → 9.
        ({"lap": "site_350", "count": "area"}, 9),
        ({"sheets": 11}, 11),
        # A region of one sheet takes one.
        ({"region": [[0, 0], [3000, 0], [3000, 2000], [0, 2000]]}, 1),
    ],
)
def test_sheets_are_counted_as_by_hand(changes, by_hand):
    sheet = reader.read(floor(**changes))
    assert fabric.count(sheet.fabrics[0], sheet=sheet, profile=EN).number == by_hand


def test_lines_give_sheets_and_their_mass():
    found = {line.key: line for line in fabric.quantities(reader.read(floor(lap="site_350")), profile=EN)}
    assert found["steel.fabric.F1"].net == 8
    # 8 × 4.8 × 2.4 × 6.16.
    assert found["steel.fabric.F1.mass"].net == pytest.approx(567.71, abs=0.01)
    assert found["steel.fabric.F1"].material == "fabric-a393"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"fabric": "A999"}, "unknown_fabric"),
        ({"lap_mm": 2400}, "lap_too_long"),
    ],
)
def test_fabric_that_cannot_be_is_a_fault(changes, code):
    with pytest.raises(reader.SheetFaults) as refused:
        reader.read(floor(**changes))
    assert [fault.code for fault in refused.value.faults] == [code]


def test_two_layers_of_one_mark_are_refused():
    sheet = floor()
    with pytest.raises(reader.SheetFaults, match="'F1' already stands in the sheet"):
        reader.read(sheet | {"fabrics": [*sheet["fabrics"], SQUARE]})


@pytest.mark.parametrize(
    ("name", "pounds"), [("6x6-W1.4xW1.4", 21), ("6x6-W2.1xW2.1", 30), ("6x6-W2.9xW2.9", 42)]
)
def test_american_fabric_has_the_pounds_of_its_wires(name, pounds):
    # Independent: W1.4 is a wire of 0.014 in², two a foot each way, 490 lb/ft³; the trade's pounds are near.
    area = float(name.rsplit("W", maxsplit=1)[1]) / 100
    by_wires = 2 * 2 * area / 144 * 490 * 100
    assert by_wires == pytest.approx(pounds, rel=0.1)
    assert ACI.number(f"fabric.{name}.mass") == pytest.approx(pounds * 0.45359237 / 9.290304, rel=0.002)
