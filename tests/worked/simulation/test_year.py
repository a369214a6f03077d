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
IMPROVED = {"improved plan": planned.improved_plan}
"""Each evening solved exactly: in full size alone, since it takes its time."""
MORE_STOPS_THAN_ALL_AT_START = 0.005
"""Share of the pours."""


@pytest.mark.long
def test_the_plan_beside_plain_ways_to_order(full_size, capsys, record_property):
    world = drawn.world(sites=20, days=365) if full_size else drawn.world(sites=5, days=110)
    ways = WAYS | IMPROVED if full_size else WAYS
    books = {name: Year(world, policy=way()).run() for name, way in ways.items()}
    for name, one in books.items():
        title = f"A year's orders, {len(world.sites)} sites, {name}" if full_size else f"Orders, {name}"
        report.show(capsys, record_property, title=title, figures=one.row())
    others = {name: one for name, one in books.items() if "plan" not in name}
    stops = {name: len(one.stopped) for name, one in books.items()}
    assert all(one.placed == len(world.pours) for one in books.values())
    for name in books.keys() - others.keys():
        assert all(books[name].total < one.total for one in others.values())
        assert stops[name] <= min(stops["at a fixed level"], stops["exactly when due"])
        assert stops[name] <= stops["all at start"] + MORE_STOPS_THAN_ALL_AT_START * books[name].placed
        if full_size:
            assert stops[name] < min(stops["at a fixed level"], stops["exactly when due"])


@pytest.mark.long
def test_the_improved_plan_stops_no_more_pours_and_costs_no_more():
    world = drawn.world(sites=2, days=110)
    first, better = (Year(world, policy=way()).run() for way in (planned.first_plan, planned.improved_plan))
    assert first.placed == better.placed == len(world.pours)
    assert len(better.stopped) <= len(first.stopped)
    assert better.total <= first.total
