"""Alternate bars bent up, on a slab of 6 by 4 m with cover 20: of 21 bars along x every second is cranked.

A crank of D at 45° adds 0.42 D less two bends of 1d, as a published example does (civilplanets.com:
2500 + 480 - 50 + 0.42 × 90 - 2 × 10 = 2947.8 mm for one crank of a 10 mm bar).
"""

import pytest

from estimates.calc import derivation
from estimates.calc.drawing import slab as drawing
from estimates.calc.reading import reader as sheet
from estimates.calc.steel import schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")
CRANK_MM = 0.42 * 90 - 2 * 10
UP = {"mark": "R1c", "rise_mm": 90}
STAIR = {"name": "stair", "outline": [[2000, 1000], [3000, 1000], [3000, 2000], [2000, 2000]]}


def read(*, up=UP, **changes):
    rule = sheets.rule(every_second=up)
    return sheet.read(sheets.small(spacing_rules=[rule], **changes))


def marks(**changes):
    return schedule.compute(read(**changes), profile=PROFILE).marks


def test_every_second_bar_is_cranked_under_its_own_mark():
    straight, cranked = marks()
    assert [(one.mark, one.shape, one.bars) for one in (straight, cranked)] == [
        ("R1", "straight", 11),
        ("R1c", "cranked", 10),
    ]
    assert straight.cutting_length_mm == 5960
    assert cranked.cutting_length_mm == pytest.approx(5960 + 2 * CRANK_MM)
    assert cranked.mass_kg == pytest.approx(10 * 5.9956 * 0.617)
    assert cranked.dimensions == {"B": 5960, "D": 90}
    assert derivation.work_out(cranked.formula, inputs=cranked.inputs) == cranked.mass_kg


def test_crank_at_one_end():
    [_, cranked] = marks(up=UP | {"cranks": 1, "angle_deg": 45})
    assert cranked.cutting_length_mm == pytest.approx(5960 + CRANK_MM)


def test_opening_cuts_both_kinds():
    # Lines 198 apart from 20: those at 1010 to 1802 meet the stair, the 1st, 3rd and 5th cranked.
    straight, cranked = marks(openings=[STAIR])
    assert [(one.length_mm, one.count) for one in straight.pieces] == [(5960, 9), (2960, 2), (1960, 2)]
    more = 2 * CRANK_MM
    expected = [(5960 + more, 7), (2960 + more, 3), (1960 + more, 3)]
    assert [(one.length_mm, one.count) for one in cranked.pieces] == [
        (pytest.approx(length), count) for length, count in expected
    ]


def test_bars_of_both_marks_are_those_of_the_rule_without_cranks():
    whole = schedule.compute(sheet.read(sheets.small(spacing_rules=[sheets.rule()])), profile=PROFILE)
    assert sum(one.bars for one in marks()) == whole.marks[0].bars == 21
    assert sum(one.own_count for one in marks()) == whole.marks[0].own_count


def test_bars_too_short_for_their_cranks_are_asked_about():
    # A triangle: its last lines are shorter than two cranks of 140 at 30°, 2 × 140 / tan 30° = 485 mm.
    shape = {"outline": [[0, 0], [6000, 0], [0, 4000]]}
    [_, cranked] = marks(up=UP | {"rise_mm": 140, "angle_deg": 30}, **shape)
    [asked] = [one for one in cranked.findings if one.code == "steel.no_room_for_cranks"]
    assert asked.params["room_mm"] == pytest.approx(484.97, abs=0.01)
    assert asked.params["bars"] == 1


def test_each_mark_has_its_own_lines_in_the_drawing():
    groups = drawing.draw(read(), profile=PROFILE).bars
    assert [group.mark for group in groups] == ["R1", "R1c"]
    assert not {line.places for line in groups[0].lines} & {line.places for line in groups[1].lines}


@pytest.mark.parametrize(
    ("up", "fault"),
    [
        (UP | {"mark": "R1"}, ("spacing_rules[0].every_second.mark", "duplicate_mark")),
        (UP | {"rise_mm": 150}, ("spacing_rules[0].every_second.rise_mm", "too_large")),
        (UP | {"cranks": 3}, ("spacing_rules[0].every_second.cranks", "not_a_choice")),
        ({"mark": "R1c"}, ("spacing_rules[0].every_second.rise_mm", "missing")),
    ],
)
def test_cranks_that_cannot_be_are_refused(up, fault):
    assert sheets.faults(sheets.small(spacing_rules=[sheets.rule(every_second=up)])) == [fault]


def test_engineer_answers_for_the_cranked_mark():
    lap = {"question": "lap", "marks": ["R1c"], "lap_mm": 500, "decision": "one lap", "engineer": "N. Orveld"}
    long = {"outline": [[0, 0], [13000, 0], [13000, 4000], [0, 4000]]}
    [straight, cranked] = marks(answers=[lap | {"dated": "2026-05-11"}], **long)
    assert [one.laps for one in (straight, cranked)] == [0, 10]
