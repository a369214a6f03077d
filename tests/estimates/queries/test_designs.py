"""Sheets as read back, and the drawing of an unfinished one."""

import pytest

from estimates.calc.reading import reader as sheets
from estimates.queries import designs, findings
from estimates.standards import load
from tests.factories import estimates as make
from tests.factories.cast import cast

CORNERS = make.SHEET["outline"]


def test_half_typed_sheet_can_be_drawn():
    drawn = designs.drawable({"slab": "Porch roof", "outline": CORNERS, "thickness_mm": 125})

    assert (drawn.slab, drawn.thickness_mm, drawn.beams) == ("Porch roof", 125, ())


def test_beams_and_openings_are_drawn_as_far_as_they_can_be_read():
    hatch = {"name": "hatch", "outline": [[1000, 1000], [2000, 1000], [2000, 2000]]}
    whole = {"outline": CORNERS, "thickness_mm": 125, "openings": [hatch]}

    assert len(designs.drawable(whole | {"beams": make.SHEET["beams"]}).beams) == 1
    without_beams = designs.drawable(whole | {"beams": [{"name": "B1"}]})
    assert (len(without_beams.openings), without_beams.beams) == (1, ())
    assert designs.drawable(whole | {"openings": [{"name": "hatch"}]}).openings == ()


@pytest.mark.parametrize(
    "sheet",
    [
        {},
        {"outline": CORNERS},
        {"outline": [[0, 0], [1, 1]], "thickness_mm": 125},
        {"outline": "x", "thickness_mm": 1},
    ],
)
def test_without_outline_and_thickness_nothing_is_drawn(sheet):
    assert designs.drawable(sheet) is None


def test_good_sheet_has_no_faults():
    assert designs.faults_of(make.sheet()) == ()


def test_frozen_findings_read_back_as_they_were():
    found = findings.of_sheet(sheets.read(make.sheet(exposure="severe")), profile=load.profile("is"))

    assert found[0].stops
    assert findings.frozen([row.as_dict() for row in found]) == found


@pytest.mark.django_db
def test_saved_sheet_reads_back():
    team = cast()
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    assert designs.sheet_of(designs.one(team.bob, design_id=design.pk)) == sheets.read(make.sheet())
