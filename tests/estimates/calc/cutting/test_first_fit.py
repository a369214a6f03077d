import time
from dataclasses import replace

import pytest

from estimates.calc.cutting import checking, planning
from estimates.calc.cutting.facts import Stock
from tests.estimates.calc.cutting import tasks


def test_first_fit_published_cutting_stock():
    # Published with the instance's best plan of 73.
    given = tasks.task(tasks.PAPER_MILL, stock=5600)
    plan = planning.first_fit(given, clock=time.monotonic)
    assert (plan.new_bars, plan.proven, checking.check(given, plan)) == (82, False, ())


def test_first_fit_without_enough_stock_is_refused():
    short = replace(tasks.task({3000: 4}), stocks=(Stock(label="bar", length_mm=6000, available=1),))
    with pytest.raises(ValueError, match="lacks room for 2 of 3000 mm"):
        planning.first_fit(short, clock=time.monotonic)
