"""Chairs, cover blocks and couplers by hand and from study pages; without the sheet's word there are none."""

import pytest

from estimates.calc import bill, derivation
from estimates.calc.reading import reader
from estimates.calc.steel import chairs, schedule
from estimates.calc.steel.chairs import Layers
from estimates.standards import load
from tests.factories import sheets

IS = load.profile("is")
RULES = [
    sheets.rule(mark="B1", size_mm=12, spacing_mm=150),
    sheets.rule(mark="B2", size_mm=10, direction="y", spacing_mm=200),
    sheets.rule(mark="T1", size_mm=16, layer="top", spacing_mm=150),
    sheets.rule(mark="T2", size_mm=12, direction="y", layer="top", spacing_mm=150),
]
CHAIRS = {"mark": "CH1", "size_mm": 12}


def lines(**changes):
    sheet = reader.read(sheets.small(**changes))
    return {line.key: line for line in bill.compute(sheet, profile=IS).lines}


def mark(chair, **changes):
    sheet = reader.read(sheets.small(**({"spacing_rules": RULES} | changes), supports={"chairs": [chair]}))
    return {one.mark: one for one in schedule.compute(sheet, profile=IS).marks}["CH1"]


@pytest.mark.parametrize(
    # Source: study pages on chairs: a footing of 550, cover 25, bottom 12, top 16 and 12: 460 mm; one of
    # 1200, cover 50, all bars 16: 1052 mm. Exact.
    ("thickness", "cover", "bottom", "top", "height"),
    [(550, 25, 12, (16, 12), 460), (1_200, 50, 16, (16, 16), 1_052)],
)
def test_height_of_published_chairs(thickness, cover, bottom, top, height):
    found = chairs.height(Layers((bottom,), top, 150, 150), thickness_mm=thickness, cover_mm=cover)
    assert found.value == height


def test_head_and_foot_of_published_chairs():
    # Source: the same pages: head 2 x 150 + 50 = 350; foot 2 x 150 + 50 = 350 (bottom bars at 150).
    rules = [rule | {"spacing_mm": 150} for rule in RULES]
    sheet = reader.read(sheets.small(thickness_mm=550, spacing_rules=rules, supports={"chairs": [CHAIRS]}))
    found = chairs.dimensions(sheet.supports.chairs[0], sheet=sheet, profile=IS)
    assert {letter: item.value for letter, item in found.items()} == {"A": 350, "B": 470, "C": 350}


def test_chairs_by_the_square_metre():
    # Slab of 6 x 4 m = 24 m² at 1.5: 36 chairs. Height 550 - 40 - 12 - (16 + 12) = 470, head 350, foot
    # 2 x 200 + 50 = 450; 350 + 940 + 900 - 4 x 2 x 12 (bends at R = 2d) = 2094 mm.
    found = mark(CHAIRS | {"per_m2": 1.5}, thickness_mm=550)
    assert (found.count, found.cutting_length_mm) == (36, 2_094)
    assert found.mass_kg == pytest.approx(36 * 2.094 * 0.888)
    values = {name: item.value for name, item in found.inputs.items()}
    assert derivation.evaluate(found.formula, values=values) == found.mass_kg
    assert found.inputs["B"].source.startswith("550 - 2 × 20 - 12 - (16 + 12)")
    assert "count by area and rate" in found.method


def test_chairs_by_the_practice_of_the_profile_and_round_an_opening():
    # One to the square metre: 24 - 1 = 23.
    hole = {"name": "hatch", "outline": [[1_000, 1_000], [2_000, 1_000], [2_000, 2_000], [1_000, 2_000]]}
    found = mark(CHAIRS, thickness_mm=300, openings=[hole])
    assert found.count == 23
    assert "chair-pages" in found.inputs["per_m2"].source


def test_chairs_in_a_region_and_by_a_printed_number():
    # The region's part on the slab: 2 x 4 m = 8 m².
    region = [[4_000, 0], [9_000, 0], [9_000, 4_000], [4_000, 4_000]]
    stated = {"height_mm": 80, "head_mm": 300, "foot_mm": 200}
    assert mark(CHAIRS | {"region": region, "per_m2": 2}, thickness_mm=300).count == 16
    printed = mark(CHAIRS | {"number": 7} | stated, spacing_rules=[])
    # 7 x (300 + 160 + 400 - 96) = 7 x 764 mm.
    assert (printed.count, printed.total_length_mm) == (7, 7 * 764)
    assert "as the drawing prints it" in printed.method


def test_steel_of_chairs_is_in_the_totals_and_the_wire():
    plain = lines(thickness_mm=300, spacing_rules=RULES)
    more = lines(thickness_mm=300, spacing_rules=RULES, supports={"chairs": [CHAIRS]})
    chair = more["steel.mark.CH1"].net
    assert more["steel.total"].net == pytest.approx(plain["steel.total"].net + chair)
    assert more["steel.size.12"].net == pytest.approx(plain["steel.size.12"].net + chair)
    assert more["steel.binding_wire"].net > plain["steel.binding_wire"].net


def test_without_the_sheets_word_nothing_is_added():
    found = lines(spacing_rules=RULES)
    assert not {key for key in found if "spacer" in key or "coupler" in key or "CH" in key}


def test_cover_blocks_by_practice():
    # 24 m², a metre apart both ways: 24; a beam of 6 m: 7 sets of three.
    beams = {"beams": [sheets.beam()], "beam_cover_mm": 25}
    found = lines(supports={"cover_blocks": {"by": "practice"}}, **beams)
    assert (found["spacer.slab"].net, found["spacer.beam"].net) == (24, 21)
    assert (found["spacer.slab"].material, found["spacer.slab"].unit) == ("cover-block", "no.")
    # 5 % for broken ones, and whole blocks: 25.2 makes 26.
    assert found["spacer.slab"].order == 26


def test_cover_blocks_as_stated():
    # 24 x 2.6 = 62.4: 63; sets every 900 mm along 6 m: ceil(6.67) + 1 = 8, of three.
    blocks = {"by": "stated", "per_m2": 2.6, "beam_spacing_mm": 900}
    beams = {"beams": [sheets.beam()], "beam_cover_mm": 25}
    found = lines(supports={"cover_blocks": blocks}, **beams)
    assert (found["spacer.slab"].net, found["spacer.beam"].net) == (63, 24)


def test_slab_without_beams_has_no_blocks_for_them():
    assert "spacer.beam" not in lines(supports={"cover_blocks": {"by": "practice"}})


def test_couplers_are_a_line_for_each_size():
    bars = [
        sheets.bar(mark=name, size_mm=size, shape="straight", dimensions={"A": 13_000}, per_member=number)
        for name, size, number in (("L1", 16, 4), ("L2", 16, 3), ("L3", 12, 2))
    ]
    answer = {"question": "coupler", "marks": ["L1", "L2"], "decision": "as said"}
    answer |= {"engineer": "N. Orveld", "dated": "2026-05-11"}
    found = lines(bars=bars, answers=[answer])
    assert found["steel.coupler.16"].net == 7
    assert "steel.coupler.12" not in found


@pytest.mark.parametrize(
    ("supports", "expected"),
    [
        ({"chairs": [CHAIRS]}, [("height_mm", "missing"), ("head_mm", "missing"), ("foot_mm", "missing")]),
        ({"chairs": [CHAIRS | {"per_m2": 30}]}, [("per_m2", "too_large")]),
    ],
)
def test_chairs_without_layers_need_their_measures(supports, expected):
    found = sheets.faults(sheets.small(supports=supports))
    assert found == [(f"supports.chairs[0].{field}", code) for field, code in expected]


STATED = CHAIRS | {"height_mm": 80, "head_mm": 300, "foot_mm": 200}


@pytest.mark.parametrize(
    ("chair", "expected"),
    [
        (STATED | {"mark": "B1"}, ("mark", "duplicate_mark")),
        (STATED | {"size_mm": 13}, ("size_mm", "unknown_bar_size")),
        (STATED | {"per_m2": 1, "number": 4}, ("per_m2", "field_superfluous")),
        (STATED | {"height_mm": 24}, ("height_mm", "too_short_to_bend")),
        (STATED | {"region": [[7_000, 0], [9_000, 0], [9_000, 900]]}, ("region", "region_off_slab")),
        (STATED | {"region": [[0, 0], [0, 0], [900, 900]]}, ("region", "repeated_corner")),
    ],
)
def test_chairs_that_cannot_be_meant_are_refused(chair, expected):
    data = sheets.small(spacing_rules=RULES[:1], supports={"chairs": [chair]})
    assert sheets.faults(data) == [(f"supports.chairs[0].{expected[0]}", expected[1])]


def test_layers_that_leave_no_height_are_refused():
    # 90 - 40 - 12 - 28 = 10 mm.
    data = sheets.small(thickness_mm=90, spacing_rules=RULES, supports={"chairs": [CHAIRS]})
    assert sheets.faults(data) == [("supports.chairs[0].height_mm", "too_short_to_bend")]


@pytest.mark.parametrize(
    ("blocks", "expected"),
    [
        ({"by": "stated"}, ("supports.cover_blocks.per_m2", "missing")),
        ({"by": "practice", "per_m2": 2}, ("supports.cover_blocks.per_m2", "field_superfluous")),
        ({"per_m2": 2}, ("supports.cover_blocks.by", "missing")),
    ],
)
def test_cover_blocks_say_what_they_follow(blocks, expected):
    assert sheets.faults(sheets.small(supports={"cover_blocks": blocks})) == [expected]
