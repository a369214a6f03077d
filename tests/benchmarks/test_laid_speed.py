"""A schedule of 500 marks, 200 of them laid over the plan at a spacing, beside bare arithmetic."""

from estimates.calc.reading import reader as sheet
from estimates.calc.steel import schedule
from estimates.standards import load
from tests.benchmarks.test_steel_speed import best, many_marks

PROFILE = load.profile("is")
RULES = 200


def laid_marks():
    """The example's roof with 300 rows and 200 rules in both layers and directions, its openings in them."""
    plain = sheet.to_json(many_marks(500 - RULES))
    data = sheet.sheet_text.load(plain) | {
        "spacing_rules": [
            {
                "mark": f"R{index}",
                "size_mm": 10,
                "direction": "xy"[index % 2],
                "spacing_mm": 100 + index,
                "layer": "top" if index % 3 else "bottom",
            }
            for index in range(RULES)
        ]
    }
    return sheet.read(data)


def test_schedule_of_500_marks_with_spacing_rules_takes_under_50_ms(full_size):
    slab = laid_marks()
    assert len(slab.bars) + len(slab.spacing_rules) == 500
    seconds, bare = best(lambda: schedule.compute(slab, profile=PROFILE))
    assert seconds < 2 * bare
    if full_size:
        assert seconds < 0.050
