"""Bars longer than stock: nothing is joined without the engineer's answer, and with it to the millimetre."""

import math

import pytest

from estimates.calc import bill
from estimates.calc.reading import reader
from estimates.calc.steel import joins, schedule
from estimates.standards import load
from tests.factories import sheets

IS = load.profile("is")
SAID = {"decision": "as agreed on site", "engineer": "N. Orveld", "dated": "2026-05-11"}
LONG = sheets.bar(mark="L1", size_mm=16, shape="straight", dimensions={"A": 13_000}, per_member=4)


def lap(**more):
    return {"question": "lap", "marks": ["L1"], "lap_mm": 800, **SAID, **more}


def worked(*answers, bars=(LONG,), **more):
    sheet = reader.read(sheets.small(bars=list(bars), answers=list(answers), **more))
    return schedule.compute(sheet, profile=IS)


def test_long_bars_without_an_answer_are_not_lapped():
    (mark,) = worked().marks
    # 4 bars of 13 m of 16 mm at 1.58 kg/m (IS 1786 table): 82.16 kg.
    assert mark.mass_kg == pytest.approx(82.16)
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(13_000, 4)]
    assert [(one.code, one.answer) for one in mark.findings] == [("steel.longer_than_stock", "")]


def test_laps_of_the_answer_enter_length_mass_and_line():
    (mark,) = worked(lap()).marks
    # By hand: 4 x (13.0 + 0.8) m = 55.2 m x 1.58 kg/m = 87.216 kg; cut as 12 m and 1.8 m.
    assert mark.mass_kg == pytest.approx(87.216)
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(12_000, 4), (1_800, 4)]
    assert mark.total_length_mm == 55_200
    assert (mark.laps, mark.couplers) == (4, 0)
    assert "4 laps by the answer of N. Orveld, 2026-05-11" in mark.method
    assert mark.inputs["lap"].source == "answer of N. Orveld, 2026-05-11"
    assert "N. Orveld, 2026-05-11, answered: as agreed on site" in mark.findings[0].text


def test_sum_of_the_size_holds_the_laps():
    found = worked(lap())
    assert found.mass_kg == pytest.approx(found.marks[0].mass_kg)
    sheet = reader.read(sheets.small(bars=[LONG], answers=[lap()]))
    lines = {line.key: line.net for line in bill.compute(sheet, profile=IS).lines}
    assert lines["steel.mark.L1"] == pytest.approx(87.216)
    assert lines["steel.total"] == pytest.approx(87.216)


def test_couplers_add_no_steel_but_are_counted():
    (mark,) = worked({"question": "coupler", "marks": ["L1"], **SAID}).marks
    assert mark.mass_kg == pytest.approx(82.16)
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(12_000, 4), (1_000, 4)]
    assert (mark.laps, mark.couplers) == (0, 4)


def test_more_joints_than_needed_make_equal_pieces():
    (mark,) = worked(lap(joints=3)).marks
    # 13 000 + 3 x 800 = 15 400 in four pieces: three full bars would be too much, so each is 3 850.
    assert [(piece.length_mm, piece.count) for piece in mark.pieces] == [(3_850, 16)]
    assert mark.laps == 12


def test_joints_too_few_are_a_finding():
    bar = LONG | {"dimensions": {"A": 25_000}}
    (mark,) = worked(lap(joints=1), bars=[bar]).marks
    assert [one.code for one in mark.findings] == ["steel.joints_do_not_fit"]
    # 2 x 12 000 - 800.
    assert "at most 23200 mm" in mark.findings[0].text


def test_laps_of_a_spacing_rule_join_its_long_bars_only():
    outline = [[0, 0], [14_000, 0], [14_000, 2_000], [6_000, 2_000], [6_000, 4_000], [0, 4_000]]
    rule = sheets.rule(mark="R1", size_mm=10, spacing_mm=200)
    found = worked(lap(marks=["R1"], lap_mm=500), bars=(), outline=outline, spacing_rules=[rule])
    (mark,) = found.marks
    long = sum(piece.count for piece in mark.pieces if piece.length_mm == 12_000)
    # Bars of 14 000 - 40 = 13 960 become 12 000 and 2 460; those of 5 960 stay.
    assert mark.laps == long
    assert {piece.length_mm for piece in mark.pieces} == {12_000, 5_960, 2_460}
    metres = sum(piece.length_mm * piece.count for piece in mark.pieces) / 1000
    assert mark.mass_kg == pytest.approx(metres * 0.617)


@pytest.mark.parametrize("length", [12_001, 13_000, 23_399, 23_401, 34_000, 100_000])
@pytest.mark.parametrize("lap_mm", [0, 600, 1_999])
def test_fewest_joints_is_enough_and_one_less_is_not(length, lap_mm):
    # Independent check by counting up: the first number of joints whose bars reach.
    number = next(n for n in range(1, 100) if (n + 1) * 12_000 - n * lap_mm >= length)
    assert joins.fewest(length, lap_mm=lap_mm, stock_mm=12_000) == number
    pieces = joins.parts(length + number * lap_mm, number=number + 1, stock_mm=12_000)
    assert math.isclose(sum(pieces), length + number * lap_mm)
    assert len(pieces) == number + 1
    assert 0 < min(pieces) <= max(pieces) <= 12_000


def test_laps_as_long_as_stock_are_refused():
    (mark,) = worked().marks
    answer = reader.read(sheets.small(bars=[LONG], answers=[lap()])).answers[0]
    with pytest.raises(ValueError, match="lap of 800 mm is as long as a stock bar of 700 mm"):
        joins.by_answer(mark, answer=answer, stock_mm=700)


# --- Trimmers and other questions

HATCH = {"name": "hatch", "outline": [[1_000, 1_050], [2_000, 1_050], [2_000, 2_050], [1_000, 2_050]]}


def trimmers(**more):
    return {"question": "trimmers", "opening": "hatch", **SAID, **more}


def codes(found):
    return [(one.code, bool(one.answer)) for one in found.findings]


def test_trimmers_enter_only_by_an_answer():
    rule = sheets.rule(mark="R1", size_mm=10, spacing_mm=200)
    plain = {"bars": (), "openings": [HATCH], "spacing_rules": [rule]}
    assert codes(worked(**plain)) == [("steel.cut_by_opening", False)]
    new = trimmers(marks=["T1"], size_mm=12, length_mm=2_100, number=8)
    found = worked(new, **plain)
    assert codes(found) == [("steel.cut_by_opening", True)]
    bars = {mark.mark: mark for mark in found.marks}
    # 8 x 2.1 m x 0.888 kg/m.
    assert bars["T1"].mass_kg == pytest.approx(14.9184)
    assert bars["T1"].member == "trimmers of hatch"
    assert "N. Orveld, 2026-05-11" in bars["T1"].remark


def test_trimmers_of_the_schedule_or_none_at_all_answer_the_question_too():
    rule = sheets.rule(mark="R1", size_mm=10, spacing_mm=200)
    for answer in (trimmers(marks=["L1"]), trimmers()):
        found = worked(answer, bars=[LONG], openings=[HATCH], spacing_rules=[rule])
        assert ("steel.cut_by_opening", True) in codes(found)
        assert [mark.mark for mark in found.marks] == ["L1", "R1"]


def test_answer_about_a_count_speaks_of_its_own_marks_only():
    counted = {"per_member": 9, "count_rule": {"length_mm": 2_000, "spacing_mm": 200}}
    bars = [
        sheets.bar(mark=mark, shape="straight", dimensions={"A": 900}, **counted) for mark in ("A1", "A2")
    ]
    found = worked({"question": "count", "marks": ["A2"], **SAID}, bars=bars)
    assert [(one.mark, bool(one.answer)) for one in found.findings] == [("A1", False), ("A2", True)]
    assert [mark.count for mark in found.marks] == [9, 9]


# --- Faults


NEW = {"marks": ["T1"], "size_mm": 12, "length_mm": 900, "number": 2}


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        (lap(marks=["ZZ"]), ("answers[0].marks", "unknown_mark")),
        (lap(marks=[]), ("answers[0].marks", "missing")),
        (lap(lap_mm=None), ("answers[0].lap_mm", "missing")),
        (lap(lap_mm=6_000), ("answers[0].lap_mm", "too_large")),
        (lap(opening="hatch"), ("answers[0].opening", "field_superfluous")),
        (lap(engineer=" "), ("answers[0].engineer", "bad_text")),
        (lap(share_percent=0), ("answers[0].share_percent", "too_small")),
        (lap(question="other"), ("answers[0].lap_mm", "field_superfluous")),
        (trimmers(opening=None, marks=[]), ("answers[0].opening", "missing")),
        (trimmers(opening="door"), ("answers[0].opening", "unknown_opening")),
        (trimmers(**NEW | {"number": None}), ("answers[0].number", "missing")),
        (trimmers(**NEW | {"size_mm": 11}), ("answers[0].size_mm", "unknown_bar_size")),
        (trimmers(marks=["L1"], number=2), ("answers[0].number", "field_superfluous")),
        (trimmers(number=2), ("answers[0].number", "field_superfluous")),
        (trimmers(**NEW | {"marks": ["L1", "T1"]}), ("answers[0].marks", "unknown_mark")),
    ],
)  # fmt: skip
def test_answer_that_cannot_be_meant_is_refused(answer, expected):
    data = sheets.small(bars=[LONG], openings=[HATCH])
    answer = {name: value for name, value in answer.items() if value is not None}
    assert sheets.faults(data | {"answers": [answer]}) == [expected]


def test_a_mark_is_joined_by_one_answer():
    twice = [lap(), {"question": "coupler", "marks": ["L1"], **SAID}]
    assert sheets.faults(sheets.small(bars=[LONG], answers=twice)) == [("answers[1].marks", "duplicate_mark")]
    new = trimmers(**NEW)
    data = sheets.small(bars=[LONG], openings=[HATCH], answers=[new, new])
    assert sheets.faults(data) == [("answers[1].marks", "duplicate_mark")]
