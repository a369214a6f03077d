import dataclasses

import pytest

from estimates.calc.reading import reader as sheet
from estimates.calc.steel import marks, schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")
CONTEXT = schedule.context_of(sheet.read(sheets.small()), profile=PROFILE)


def row(**changes):
    return sheet.read(sheets.small(bars=[sheets.bar(**changes)])).bars[0]


def test_row_without_count_and_rule_is_refused():
    # A sheet with such a row is refused before; the calculation does not rely on it.
    bare = dataclasses.replace(row(), per_member=None)
    with pytest.raises(ValueError, match="bar S1: has neither a number per member nor a counting rule"):
        marks.work_out(bare, context=CONTEXT)


def test_size_outside_the_table_is_refused():
    with pytest.raises(ValueError, match="has no 11 mm bar"):
        marks.work_out(dataclasses.replace(row(), size_mm=11), context=CONTEXT)


def test_mark_with_several_lengths_has_no_one_cutting_length():
    mark = marks.work_out(row(), context=CONTEXT)
    piece = mark.pieces[0]
    several = dataclasses.replace(mark, pieces=(piece, dataclasses.replace(piece, length_mm=1000, count=2)))
    assert (several.cutting_length_mm, several.bars) == (None, 42)
    assert several.total_length_mm == 40 * 3960 + 2 * 1000
