"""The slab in plan: lengths are those of the sheet, lines are of the right kind, names keep clear.

Expected places are worked out by hand from the invented slabs; areas and cuts are checked with shapely.
"""

from __future__ import annotations

import re
import time
from typing import Any

import pytest
import shapely

from estimates.calc.drawing import plan as drawing_plan
from estimates.calc.drawing import slab as drawing
from estimates.calc.drawing.dimensions import Row, Span
from estimates.calc.drawing.dimensions import draw as draw_chain
from estimates.calc.drawing.parts import WIDTH, Box, Drawing, Line, Stroke, path, room
from estimates.calc.sheet.shape import Beam
from estimates.calc.sheet.types import Point
from tests.estimates.calc import drawn_slabs


def roof(**changes: Any) -> Drawing:
    return drawing.draw(drawn_slabs.read(drawn_slabs.ROOF, **changes))


def words(drawn: Drawing, role: str, *, fine: bool) -> list[str]:
    return [w.words for w in drawn.lettering if w.role == role and w.fine == fine]


def lines(drawn: Drawing, stroke: Stroke) -> list[Line]:
    return [line for line in drawn.lines if line.stroke == stroke]


def beam(name: str, *, start: tuple[float, float], end: tuple[float, float], width: float = 200) -> Beam:
    return Beam(name=name, width_mm=width, depth_mm=400, start=Point(*start), end=Point(*end))


def test_chains_carry_the_lengths_of_the_sheet() -> None:
    # Below: edge, centre of B5, edge; over all. Left: edge, centres of B1 and B2, edge; over all.
    assert words(roof(), "dimension", fine=False) == [
        *("4600", "4600", "9200"),
        *("3700", "3585", "715", "8000"),
    ]


def test_each_opening_is_set_out_from_its_nearer_edge() -> None:
    # Stair: 500 from the right edge, 600 from the upper edge; duct: 300 from the left, 250 from the upper.
    assert words(roof(), "dimension", fine=True) == [
        *("2400", "500", "600", "1100"),
        *("300", "300", "250", "250"),
    ]


def test_chain_of_a_plain_slab_has_no_second_row() -> None:
    plain = roof(beams=[], openings=[], beam_cover_mm=None)

    assert words(plain, "dimension", fine=False) == ["9200", "8000"]


def test_length_that_is_not_whole_keeps_its_tenth() -> None:
    outline = [[0, 0], [3048.5, 0], [3048.5, 2000], [0, 2000]]
    plain = roof(outline=outline, beams=[], openings=[], beam_cover_mm=None)

    assert words(plain, "dimension", fine=False) == ["3048.5", "2000"]


def test_many_openings_are_left_to_the_table_beside_the_drawing() -> None:
    openings = [
        {"name": f"o{n}", "outline": [[x, 1000], [x + 200, 1000], [x + 200, 1200], [x, 1200]]}
        for n, x in enumerate(range(500, 7500, 1000))
    ]

    assert words(roof(openings=openings), "dimension", fine=True) == []


def test_beams_are_named_with_their_section_where_there_is_room() -> None:
    drawn = roof()

    assert words(drawn, "beam", fine=True) == [
        "B1 230×450",
        "B2 230×500",
        "B3 230×450",
        "B4 230×450",
        "B5 230×450",
        "B6 230×450",
    ]
    assert words(drawn, "beam", fine=False) == ["B1", "B2", "B3", "B4", "B5", "B6"]


@pytest.mark.parametrize("data", [drawn_slabs.ROOF, drawn_slabs.ELL], ids=["roof", "ell"])
@pytest.mark.parametrize("fine", [True, False])
def test_names_keep_clear_of_each_other(data: dict[str, Any], fine: bool) -> None:
    drawn = drawing.draw(drawn_slabs.read(data))
    boxes = [
        room(w.words, x=w.x, y=w.y, angle=w.angle, letter=24 if fine else 42)
        for w in drawn.lettering
        if w.fine == fine and w.role != "dimension"
    ]

    assert [(a, b) for i, a in enumerate(boxes) for b in boxes[:i] if a.meets(b)] == []


@pytest.mark.parametrize("data", [drawn_slabs.ROOF, drawn_slabs.ELL], ids=["roof", "ell"])
def test_everything_lies_on_the_paper(data: dict[str, Any]) -> None:
    drawn = drawing.draw(drawn_slabs.read(data))
    places = [place for line in drawn.lines for place in line.places]
    for word in drawn.lettering:
        box = room(word.words, x=word.x, y=word.y, angle=word.angle, letter=24 if word.fine else 42)
        places += [(box.left, box.top), (box.right, box.bottom)]

    outside = [(x, y) for x, y in places if not (0 <= x <= WIDTH and 0 <= y <= drawn.height)]
    assert outside == []


def test_slab_keeps_its_proportions_and_its_holes() -> None:
    drawn = roof()
    (outer, *holes) = [line.places for line in lines(drawn, Stroke.OUTLINE)]
    wide = max(x for x, _ in outer) - min(x for x, _ in outer)
    tall = max(y for _, y in outer) - min(y for _, y in outer)
    concrete = shapely.Polygon(outer, holes)

    assert wide / tall == pytest.approx(9200 / 8000)
    # 9.2 × 8.0 less 2.4 × 1.1 and 0.3 × 0.25 m
    assert concrete.area * (9.2 / wide) ** 2 == pytest.approx(73.6 - 2.64 - 0.075)
    assert drawn.concrete.count("M") == 3


def test_plan_is_drawn_with_y_upwards() -> None:
    drawn = roof()
    slab, stair, _duct = lines(drawn, Stroke.OUTLINE)

    middle = (max(y for _, y in slab.places) + min(y for _, y in slab.places)) / 2
    assert max(y for _, y in stair.places) < middle


def test_opening_is_crossed_from_corner_to_corner() -> None:
    drawn = roof()
    stair = lines(drawn, Stroke.OUTLINE)[1].places
    crossed = [set(line.places) for line in lines(drawn, Stroke.THIN)[:2]]

    assert crossed == [{stair[0], stair[2]}, {stair[1], stair[3]}]


def test_three_cornered_opening_is_crossed_to_its_middle() -> None:
    drawn = drawing.draw(drawn_slabs.read(drawn_slabs.ELL))

    assert len(lines(drawn, Stroke.THIN)) == 3


def test_centre_line_runs_past_both_ends_of_its_beam() -> None:
    drawn = roof()
    slab = lines(drawn, Stroke.OUTLINE)[0].places
    (x1, _), (x2, _) = lines(drawn, Stroke.CENTRE)[0].places

    assert x1 < min(x for x, _ in slab)
    assert x2 > max(x for x, _ in slab)


def test_hidden_edges_are_those_of_the_beams_less_the_slab_edge() -> None:
    design = drawn_slabs.read(drawn_slabs.ROOF)
    seen = shapely.MultiLineString(drawn_seen(design.beams, outline=design.outline))
    ribs = [shapely.Polygon(drawing_plan.beam_corners(b)) for b in design.beams]
    expected = shapely.union_all(ribs).boundary.difference(shapely.Polygon(design.outline).boundary.buffer(1))

    assert seen.length == pytest.approx(expected.length, abs=30)
    assert seen.difference(expected.buffer(2)).length == pytest.approx(0, abs=1)


def drawn_seen(beams: tuple[Beam, ...], *, outline: Any) -> list[Any]:
    return drawing_plan.seen_edges(beams, outline=outline)


def test_edges_of_crossing_beams_stop_at_each_other() -> None:
    cross = (beam("X", start=(0, 500), end=(1000, 500)), beam("Y", start=(500, 0), end=(500, 1000)))
    seen = shapely.MultiLineString(
        drawn_seen(cross, outline=((-9, -9), (1009, -9), (1009, 1009), (-9, 1009)))
    )
    union = shapely.union_all([shapely.Polygon(drawing_plan.beam_corners(b)) for b in cross])

    assert seen.length == pytest.approx(union.boundary.length)


def test_slanting_beam_has_its_width() -> None:
    corners = drawing_plan.beam_corners(beam("D", start=(0, 0), end=(3000, 4000), width=300))

    assert shapely.Polygon(corners).area == pytest.approx(5000 * 300)


def test_beam_without_a_length_is_refused() -> None:
    with pytest.raises(ValueError, match="beam Z has a centre line of 0 mm; give it two different ends"):
        drawing_plan.beam_corners(beam("Z", start=(5, 5), end=(5, 5)))


@pytest.mark.parametrize(
    ("start", "end", "angle"),
    [
        ((0, 0), (4000, 0), 0),
        ((4000, 0), (0, 0), 0),
        ((0, 0), (0, 3000), -90),
        ((0, 3000), (0, 0), -90),
        ((0, 0), (3000, 3000), -45),
        ((0, 3000), (3000, 0), 45),
    ],
)
def test_lettering_is_never_upside_down(start: Any, end: Any, angle: float) -> None:
    outline = [[-500, -500], [4500, -500], [4500, 3500], [-500, 3500]]
    data = {"name": "B", "width_mm": 200, "depth_mm": 400, "start": list(start), "end": list(end)}
    drawn = roof(outline=outline, beams=[data], openings=[])

    assert [w.angle for w in drawn.lettering if w.role == "beam"] == pytest.approx([angle, angle])


@pytest.mark.parametrize(
    ("side", "at", "tick"),
    [("below", 100.0, (50.0, 100.0)), ("left", 100.0, (100.0, 50.0))],
)
def test_chain_has_a_stroke_at_each_end(side: Any, at: float, tick: tuple[float, float]) -> None:
    row = Row(side=side, edge=60, at=at)
    drawn, figures = draw_chain(row, chain=(Span(start=50, end=350, length_mm=3000),))
    strokes = [line.places for line in drawn if line.stroke == Stroke.TICK]

    assert len(strokes) == 2
    assert (sum(x for x, _ in strokes[0]) / 2, sum(y for _, y in strokes[0]) / 2) == tick
    assert [w.words for w in figures] == ["3000"]


def test_figure_without_room_stands_past_the_end_of_its_chain() -> None:
    row = Row(side="below", edge=60, at=100)
    chain = (Span(start=50, end=60, length_mm=100), Span(start=60, end=360, length_mm=3000))
    _drawn, figures = draw_chain(row, chain=chain)

    assert figures[0].x < 50
    assert figures[1].x == 210


def test_figure_without_room_between_others_goes_below_its_line() -> None:
    row = Row(side="below", edge=60, at=100)
    chain = (
        Span(start=0, end=300, length_mm=3000),
        Span(start=300, end=310, length_mm=100),
        Span(start=310, end=610, length_mm=3000),
    )
    _drawn, figures = draw_chain(row, chain=chain)

    assert [figure.y > row.at for figure in figures] == [False, True, False]


def test_long_slab_set_upright_stays_on_one_page() -> None:
    outline = [[0, 0], [1000, 0], [1000, 60_000], [0, 60_000]]
    drawn = roof(outline=outline, beams=[], openings=[], beam_cover_mm=None)

    assert drawn.height < 1.42 * WIDTH  # the sides of A4 are as 1 to 1.414


def test_path_data_is_svg() -> None:
    assert path((((0, 0), (10.04, -0.04)),), closed=False) == "M0 0L10 0"
    assert re.fullmatch(r"(M-?[\d.]+ -?[\d.]+(L-?[\d.]+ -?[\d.]+)+Z)+", roof().concrete)


def test_boxes_that_share_an_edge_do_not_meet() -> None:
    left = Box(left=0, top=0, right=10, bottom=10)

    assert not left.meets(Box(left=10, top=0, right=20, bottom=10))
    assert left.meets(Box(left=9.9, top=9.9, right=20, bottom=20))


def test_same_sheet_gives_the_same_drawing() -> None:
    assert roof() == roof()


def test_opening_near_the_lower_left_is_set_out_there() -> None:
    hatch = {"name": "hatch", "outline": [[700, 900], [1400, 900], [1400, 2400], [700, 2400]]}
    drawn = roof(openings=[hatch], beams=[], beam_cover_mm=None)
    slab = lines(drawn, Stroke.OUTLINE)[0].places
    below = [w.words for w in drawn.lettering if w.fine and w.y > max(y for _, y in slab)]
    left = [w.words for w in drawn.lettering if w.fine and w.x < min(x for x, _ in slab)]

    # 700 from the left edge and 700 wide; from the lower edge at -600 it is 1500, and 1500 high.
    assert (below, left) == (["700", "700"], ["1500", "1500"])


def test_openings_one_above_the_other_are_set_out_in_rows_of_their_own() -> None:
    openings = [
        {"name": name, "outline": [[7000, y], [8000, y], [8000, y + 400], [7000, y + 400]]}
        for name, y in (("upper", 6000), ("lower", 5000))
    ]
    drawn = roof(openings=openings, beams=[], beam_cover_mm=None)
    slab = lines(drawn, Stroke.OUTLINE)[0].places
    rows = {round(w.y) for w in drawn.lettering if w.fine and w.y < min(y for _, y in slab) and not w.angle}

    assert len(rows) == 2


def test_slab_of_two_hundred_beams_is_drawn_in_a_moment() -> None:
    data = {"width_mm": 200, "depth_mm": 400}
    beams = [
        *(data | {"name": f"X{n}", "start": [0, n * 1000], "end": [99_000, n * 1000]} for n in range(100)),
        *(data | {"name": f"Y{n}", "start": [n * 1000, 0], "end": [n * 1000, 99_000]} for n in range(100)),
    ]
    outline = [[-500, -500], [99_500, -500], [99_500, 99_500], [-500, 99_500]]
    design = drawn_slabs.read(drawn_slabs.ROOF, beams=beams, outline=outline, openings=[])
    started = time.process_time()
    drawing.draw(design)

    assert time.process_time() - started < 10
