from estimates.calc.cutting import first_fit, problem
from tests.estimates.calc.cutting import tasks


def test_first_fit_published_cutting_stock():
    ready = problem.ready(tasks.task(tasks.PAPER_MILL, stock=5600))
    found = first_fit.cuts(ready, remaining=ready.everything())
    assert sum(found.values()) == 82
