"""What is impossible in the concrete of a sheet; each with the sentence that the office reads."""

import pytest

from tests.factories import sheets


def hole(*corners, name="stair"):
    return {"name": name, "outline": [list(corner) for corner in corners]}


STAIR = hole((1000, 1000), (2000, 1000), (2000, 2000), (1000, 2000))


def with_beams(*beams, **changes):
    return sheets.small(beams=list(beams), beam_cover_mm=25, **changes)


@pytest.mark.parametrize(
    ("data", "path", "message"),
    [
        (
            sheets.small(cover_mm=75),
            "cover_mm",
            "cover_mm 75 mm must be less than half the thickness 150 mm; correct one of them",
        ),
        (
            sheets.small(outline=[[0, 0], [6000, 4000], [6000, 0], [0, 4000]]),
            "outline",
            (
                "the outline crosses or touches itself: edge (0, 0) to (6000, 4000) meets edge (6000, 0) to "
                "(0, 4000); put the corners in order around it"
            ),
        ),
        (
            sheets.small(outline=[[0, 0], [60, 0], [60, 40], [0, 40]]),
            "outline",
            (
                "the outline less its openings leaves 0.0024 m² of slab, and a slab has at least 0.01 m²; "
                "coordinates are in mm"
            ),
        ),
        (
            sheets.small(openings=[hole((0, 0), (6000, 0), (6000, 4000), (0, 4000))]),
            "outline",
            (
                "the outline less its openings leaves 0 m² of slab, and a slab has at least 0.01 m²; "
                "coordinates are in mm"
            ),
        ),
        (
            sheets.small(openings=[hole((5000, 1000), (7000, 1000), (7000, 2000), (5000, 2000))]),
            "openings[0].outline",
            (
                "opening stair lies 1 m² outside the slab's outline, as at its corner (7000, 1000); "
                "move its corners inside, or draw the recess into the outline"
            ),
        ),
        (
            sheets.small(
                outline=[[0, 0], [6000, 0], [6000, 4000], [3000, 1000], [0, 4000]],
                openings=[hole((1000, 900), (5000, 900), (5000, 1200), (1000, 1200))],
            ),
            "openings[0].outline",
            # The notch from (3000, 1000) upwards: at y = 1200 it is 400 wide, 0.5 × 400 × 200 mm².
            (
                "opening stair lies 0.04 m² outside the slab's outline; "
                "move its corners inside, or draw the recess into the outline"
            ),
        ),
        (
            sheets.small(openings=[hole((1000, 1000), (2000, 2000), (2000, 1000), (1000, 2000))]),
            "openings[0].outline",
            (
                "opening stair crosses or touches itself: edge (1000, 1000) to (2000, 2000) meets edge "
                "(2000, 1000) to (1000, 2000); put the corners in order around it"
            ),
        ),
        (
            sheets.small(
                openings=[STAIR, hole((1500, 1500), (2500, 1500), (2500, 2500), (1500, 2500), name="duct")]
            ),
            "openings[1].outline",
            (
                "opening duct overlaps opening stair (openings[0]) by 0.25 m²; "
                "draw them as one, or correct their corners"
            ),
        ),
        (
            sheets.small(openings=[STAIR, hole((3000, 1000), (4000, 1000), (4000, 2000))]),
            "openings[1].name",
            "name 'stair' already stands at openings[0]; give each its own",
        ),
        (
            sheets.small(beams=[sheets.beam()]),
            "beam_cover_mm",
            "beam_cover_mm is missing; a sheet with beams needs it",
        ),
        (
            with_beams(sheets.beam(), sheets.beam(start=[0, 1000], end=[6000, 1000])),
            "beams[1].name",
            "name 'B1' already stands at beams[0]; give each its own",
        ),
        (
            with_beams(sheets.beam(depth_mm=120)),
            "beams[0].depth_mm",
            (
                "beams[0] B1: its overall depth_mm 120 mm must be at least the slab's thickness 150 mm; "
                "the overall depth includes the slab"
            ),
        ),
        (
            with_beams(sheets.beam(width_mm=50)),
            "beams[0].width_mm",
            "beams[0] B1: beam_cover_mm 25 mm must be less than half its width_mm 50 mm; correct one of them",
        ),
        (
            with_beams(sheets.beam(end=[0, 2000])),
            "beams[0].end",
            "beams[0] B1: it starts and ends at (0, 2000); correct one end",
        ),
        (
            with_beams(sheets.beam(start=[-500, 3700])),
            "beams[0].start",
            "beams[0] B1: its start (-500, 3700) lies outside the slab's outline; move it inside",
        ),
        (
            # Half of 230 mm over 6 m stands out: 0.69 m².
            with_beams(sheets.beam(start=[0, 0], end=[6000, 0])),
            "beams[0]",
            (
                "beams[0] B1: 0.69 m² of its 230 mm width lie outside the slab's outline; "
                "the outline is the concrete's outer edge, the centre line lies half a width inside"
            ),
        ),
    ],
)
def test_impossible_concrete_is_named(data, path, message):
    assert sheets.messages(data) == {path: message}


@pytest.mark.parametrize(
    "data",
    [
        with_beams(sheets.beam(start=[0, 115], end=[6000, 115])),
        with_beams(sheets.beam(depth_mm=150)),
        # A slanting beam whose square ends stay on the slab.
        with_beams(sheets.beam(start=[500, 500], end=[5500, 3500])),
        # An opening on the slab's edge, and two openings with a common edge.
        sheets.small(openings=[hole((0, 1000), (1000, 1000), (1000, 2000), (0, 2000))]),
        sheets.small(
            openings=[STAIR, hole((2000, 1000), (3000, 1000), (3000, 2000), (2000, 2000), name="duct")]
        ),
    ],
)
def test_possible_concrete_is_accepted(data):
    assert sheets.faults(data) == []


def test_broken_outline_leaves_what_depends_on_it_unsaid():
    data = with_beams(
        sheets.beam(start=[-500, 0]), outline=[[0, 0], [6000, 4000], [6000, 0], [0, 4000]], openings=[STAIR]
    )
    assert sheets.faults(data) == [("outline", "crosses_itself")]
