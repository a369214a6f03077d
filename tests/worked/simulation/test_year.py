"""The plan beside three plain ways to order, on the same sites, loads and moved pours."""

from __future__ import annotations

import pytest

from tests.benchmarks import report
from tests.worked.simulation import planned, rivals
from tests.worked.simulation import world as drawn
from tests.worked.simulation.running import Year

WAYS = {
    "plan": planned.first_plan,
    "all at start": rivals.all_at_start,
    "at a fixed level": rivals.at_fixed_level,
    "exactly when due": rivals.exactly_when_due,
}
MORE_STOPS_THAN_ALL_AT_START = 0.005
"""Share of the pours."""


@pytest.mark.long
def test_the_plan_beside_plain_ways_to_order(full_size, capsys, record_property):
    world = drawn.world(sites=20, days=365) if full_size else drawn.world(sites=5, days=110)
    books = {name: Year(world, policy=way()).run() for name, way in WAYS.items()}
    for name, one in books.items():
        title = f"A year's orders, {len(world.sites)} sites, {name}" if full_size else f"Orders, {name}"
        report.show(capsys, record_property, title=title, figures=one.row())
    plan, others = books["plan"], {name: one for name, one in books.items() if name != "plan"}
    assert all(one.placed == len(world.pours) for one in books.values())
    assert all(plan.total < one.total for one in others.values())
    stops = {name: len(one.stopped) for name, one in books.items()}
    assert stops["plan"] <= min(stops["at a fixed level"], stops["exactly when due"])
    assert stops["plan"] <= stops["all at start"] + MORE_STOPS_THAN_ALL_AT_START * plan.placed
    if full_size:
        assert stops["plan"] < min(stops["at a fixed level"], stops["exactly when due"])
