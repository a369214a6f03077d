"""Impossible shapes and joints are refused at their place in the sheet, each with a code; sound ones pass."""

import pytest

from tests.factories import sheets

ROOM = [[1000, 1000], [3000, 1000], [3000, 2000], [1000, 2000]]


def panel(**changes):
    return {"name": "wet room", "outline": ROOM, "thickness_mm": 125} | changes


def sunk(**changes):
    return panel(top_level_mm=-300, sides_mm=125, **changes)


def circle(x, y, diameter):
    return {"name": "neck", "circle": {"centre": [x, y], "diameter_mm": diameter}}


def upstand(**changes):
    row = {"name": "kerb", "line": [[500, 500], [2000, 500]], "width_mm": 100, "height_mm": 150}
    return row | changes


def shade(start, end, **changes):
    row = {"name": "south", "start": start, "end": end, "projection_mm": 450, "thickness_mm": 100}
    return row | changes


def joint(line, **changes):
    return {"name": "J1", "line": line} | changes


def old(line, **changes):
    return {"name": "north", "line": line, "thickness_mm": 150} | changes


def beams(*rows):
    return {"beams": [sheets.beam(**row) for row in rows], "beam_cover_mm": 25}


ACROSS = [[3000, 0], [3000, 4000]]
FAULTS = [
    ({"openings": [circle(5900, 2000, 400)]}, "openings[0].circle", "opening_outside"),
    ({"openings": [{"name": "hatch"}]}, "openings[0]", "one_shape"),
    ({"openings": [circle(2000, 2000, 400) | {"outline": ROOM}]}, "openings[0]", "one_shape"),
    (
        {"further_outlines": [{"name": "east", "outline": [[5000, 0], [7000, 0], [7000, 1000]]}]},
        "further_outlines[0].outline",
        "outlines_overlap",
    ),
    ({"panels": [panel(outline=[[0, 0], [9000, 0], [0, 3000]])]}, "panels[0].outline", "panel_outside"),
    (
        {"panels": [panel(outline=[[0, 0], [1000, 1000], [1000, 0], [0, 1000]])]},
        "panels[0].outline",
        "crosses_itself",
    ),
    ({"panels": [panel(), panel(name="other")]}, "panels[1].outline", "panels_overlap"),
    ({"panels": [panel(thickness_mm=40)]}, "panels[0].thickness_mm", "cover_too_large"),
    ({"panels": [panel(sides_mm=125)]}, "panels[0].sides_mm", "sides_without_step"),
    (
        {"panels": [sunk(outline=[[0, 1000], [2000, 1000], [2000, 2000], [0, 2000]])]},
        "panels[0].sides_mm",
        "sides_outside",
    ),
    ({"panels": [panel(top_level_mm=-300)]}, "panels[0]", "hangs_free"),
    (beams({"top_level_mm": 600}), "beams[0]", "hangs_free"),
    (beams({"via": [[6000, 2000]], "end": [0, 2010]}), "beams[0].via", "turns_back"),
    (beams({"via": [[7000, 3000]]}), "beams[0].via", "beam_off_slab"),
    ({"upstands": [upstand(line=[[0, 0], [2000, 0]])]}, "upstands[0].line", "upstand_off_slab"),
    ({"upstands": [upstand(foot_level_mm=50)]}, "upstands[0].foot_level_mm", "no_foot"),
    (
        {"panels": [sunk()], "upstands": [upstand(line=[[1500, 1500], [2500, 1500]])]},
        "upstands[0].foot_level_mm",
        "no_foot",
    ),
    ({"overhangs": [{"name": "s", "outline": [[0, 0], [0, -600], [600, 0]]}]}, "overhangs[0].outline", None),
    ({"sunshades": [shade([6000, 0], [0, 0])]}, "sunshades[0]", "sunshade_in_concrete"),
    ({"sunshades": [shade([0, -500], [6000, -500])]}, "sunshades[0]", "sunshade_off"),
    ({"outlets": [{"name": "R1", "at": [9000, 0], "fall_one_in": 100}]}, "outlets[0].at", "outlet_off_slab"),
    ({"construction_joints": [joint([[0, 9000], [6000, 9000]])]}, "construction_joints[0].line", None),
    (
        {"construction_joints": [joint(ACROSS, beams_left=["B9"])]},
        "construction_joints[0].beams_left",
        "unknown_beam",
    ),
    ({"existing_joints": [old([[0, 2000], [6000, 2000]])]}, "existing_joints[0].line", "not_on_edge"),
    (
        {"existing_joints": [old([[0, 4000], [6000, 4000]], thickness_mm=600)]},
        "existing_joints[0].thickness_mm",
        "too_large",
    ),
    ({"measurement": "by_eye"}, "measurement", "unknown_method"),
]


@pytest.mark.parametrize(("changes", "path", "code"), FAULTS, ids=[row[1] + (row[2] or "") for row in FAULTS])
def test_impossible_shape_is_refused_at_its_place(changes, path, code):
    found = sheets.faults(sheets.small(**changes))

    assert [where for where, _ in found] == [path]
    assert code is None or found[0][1] == code


@pytest.mark.parametrize(
    "changes",
    [
        {"openings": [circle(2000, 2000, 400)]},
        {"panels": [sunk()], "upstands": [upstand(line=[[1500, 1500], [2500, 1500]], foot_level_mm=-300)]},
        {"panels": [panel(top_level_mm=50)]},
        beams({"via": [[3000, 2000], [3000, 3000]], "end": [5000, 3000]}),
        beams({"top_level_mm": 200}),
        {"sunshades": [shade([0, 0], [6000, 0])]},
        {"construction_joints": [joint(ACROSS)]},
        {"existing_joints": [old([[0, 4000], [6000, 4000]])]},
        {"measurement": "cpwd"},
    ],
)
def test_sound_shape_is_read(changes):
    assert sheets.faults(sheets.small(**changes)) == []


def test_message_names_place_and_remedy():
    found = sheets.messages(sheets.small(panels=[panel(top_level_mm=-300)]))

    assert found["panels[0]"] == (
        "panel wet room, levels -425 to -300 mm, touches no other concrete; correct its level, "
        "or give a panel its sides"
    )
