"""The bar bending schedule against the drawing's own schedule and sums by hand."""

import pytest

from estimates.calc.reading import reader as sheets_reader
from estimates.calc.steel import bending, schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")


def worked(roof):
    return bending.table(schedule.compute(sheets_reader.read(roof), profile=PROFILE), profile=PROFILE)


@pytest.fixture(scope="module")
def ridge_house():
    return worked(sheets.roof())


def test_rows_stand_in_the_order_of_the_drawing(ridge_house):
    # RH-S-04 rev B, bar schedule, column "Mark".
    assert [row.mark for row in ridge_house.rows][:7] == ["S1", "S2", "S3", "S4", "S5", "B1-1", "B1-2"]


def test_row_holds_what_the_drawing_prints(ridge_house):
    row = next(row for row in ridge_house.rows if row.mark == "ST1")
    # ST1, stirrups B1 B3, T8, 180 by 400, 62 a member, 2 members; 2 (180 + 400) + 16 × 8 = 1288.
    assert (row.member, row.size, row.shape) == ("stirrups B1 B3", "8 mm", "stirrup")
    assert (dict(row.dimensions), row.per_member, row.members, row.total) == (
        {"A": 180, "B": 400},
        62,
        2,
        124,
    )
    assert row.cutting_length_mm == 1288
    assert row.lengths == ((1288, 124),)
    assert row.total_length_m == pytest.approx(124 * 1.288)
    assert row.mass_kg == pytest.approx(124 * 1.288 * 0.395)


def test_sums_by_size_are_those_of_the_rows(ridge_house):
    for size in ridge_house.sizes:
        rows = [row for row in ridge_house.rows if row.size_mm == size.size_mm]
        assert size.bars == sum(row.total for row in rows)
        assert size.length_m == pytest.approx(sum(row.total_length_m for row in rows))
        assert size.mass_kg == pytest.approx(sum(row.mass_kg for row in rows))
    assert ridge_house.bars == sum(row.total for row in ridge_house.rows)
    assert ridge_house.mass_kg == pytest.approx(sum(row.mass_kg for row in ridge_house.rows))


def test_mark_of_several_lengths_names_each():
    roof = sheets.roof()
    rule = {"mark": "X1", "size_mm": 10, "direction": "x", "spacing_mm": 150, "layer": "bottom"}
    row = worked({**roof, "bars": [], "spacing_rules": [rule]}).rows[0]
    assert row.cutting_length_mm is None
    assert row.total == sum(number for _length, number in row.lengths)
    assert [length for length, _number in row.lengths] == sorted(
        (length for length, _number in row.lengths), reverse=True
    )
