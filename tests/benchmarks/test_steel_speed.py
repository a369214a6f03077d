"""Speed of the bar schedule, in processor time, beside bare arithmetic in the same run.

The best of five rounds of each, taken by turns, counts, so that other work on the machine does not decide.
The arithmetic takes 24 ms where a machine is at rest: 2,000 cutting lengths may take eight times that and 500
marks twice, which is 10,000 lengths a second and 50 ms. With --full both are asserted in seconds as well.
"""

import time

from estimates.calc.reading import reader as sheet
from estimates.calc.sheet.steel import SteelMethods
from estimates.calc.steel import rules, schedule, shapes
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")
ROUNDS = 5


def many_marks(number):
    """The example's rows repeated under new marks, with dimensions that differ."""
    roof = sheets.roof()
    rows = [roof["bars"][index % len(roof["bars"])] for index in range(number)]
    roof["bars"] = [
        {**row, "mark": f"M{index}", "dimensions": {k: v + index / 8 for k, v in row["dimensions"].items()}}
        for index, row in enumerate(rows)
    ]
    return sheet.read({**roof, "beams": []})


def arithmetic():
    """What the schedule is measured by: half a million products, remainders and sums."""
    return sum(number * number % 7 for number in range(500_000))


def best(work):
    """The shortest processor times of several rounds of some work, and of the arithmetic [s]."""
    times = [(_seconds(work), _seconds(arithmetic)) for _ in range(ROUNDS)]
    return min(ours for ours, _ in times), min(bare for _, bare in times)


def _seconds(work):
    start = time.process_time()
    work()
    return time.process_time() - start


def test_ten_thousand_cutting_lengths_a_second(full_size):
    bars = many_marks(2_000).bars
    chosen = rules.choose(SteelMethods(), profile=PROFILE)
    seconds, bare = best(lambda: [shapes.cutting_length(bar, rules=chosen) for bar in bars])
    assert seconds < 8 * bare
    if full_size:
        assert len(bars) / seconds >= 10_000


def test_schedule_of_500_marks_takes_under_50_ms(full_size):
    slab = many_marks(500)
    seconds, bare = best(lambda: schedule.compute(slab, profile=PROFILE))
    assert seconds < 2 * bare
    if full_size:
        assert seconds < 0.050
