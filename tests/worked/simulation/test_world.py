"""The world of the simulation is what it says: drawn once, the same for everybody, and its books balance."""

from __future__ import annotations

import pytest

from tests.worked.simulation import rivals
from tests.worked.simulation import world as drawn
from tests.worked.simulation.running import Year

RIVALS = {
    "all at start": rivals.all_at_start,
    "at a fixed level": rivals.at_fixed_level,
    "exactly when due": rivals.exactly_when_due,
}


def test_the_world_is_drawn_the_same_every_time():
    first, second = (drawn.world(sites=3, days=150) for _ in range(2))
    assert first == second
    assert {pour.key for pour in first.pours} != set()
    assert drawn.world(sites=3, days=150, seed=1) != first


@pytest.mark.parametrize("rival", RIVALS)
def test_what_is_bought_is_used_spoilt_or_left(rival):
    small = drawn.world(sites=3, days=150)
    books = Year(small, policy=RIVALS[rival]()).run()
    assert books.placed == len(small.pours)
    for kind, bought in books.bought.items():
        spent = books.used[kind] + books.gone_stale.get(kind, 0) + books.remains.get(kind, 0)
        assert bought == spent, kind
