import pytest

from inventory.calc import count
from inventory.calc.count import Outcome


@pytest.mark.parametrize(
    ("book", "found", "outcome", "quantity"),
    [
        (500, 450, Outcome.MISSING, 50),
        (500, 560, Outcome.SURPLUS, 60),
        (500, 500, Outcome.AGREES, 0),
        (0, 0, Outcome.AGREES, 0),
    ],
)
def test_difference_is_a_positive_quantity_with_a_direction(book, found, outcome, quantity):
    result = count.difference(book=book, found=found)
    assert (result.outcome, result.quantity) == (outcome, quantity)


@pytest.mark.parametrize(("book", "found", "name"), [(-1, 0, "book"), (0, -1, "found")])
def test_difference_refuses_negative(book, found, name):
    with pytest.raises(ValueError, match=f"{name} quantity -1 must be 0 or more"):
        count.difference(book=book, found=found)


def test_heap_use_in_proportion_to_theoretical_use():
    # By hand: 2.0 + 9.0 - 1.4 = 9.6 m3 of sand for pours of 4.25, 4.25 and 8.5 m3 by design: 2.4, 2.4, 4.8.
    use = count.heap_use(
        opening=2_000_000,
        received=9_000_000,
        closing=1_400_000,
        theoretical={3: 8_500_000, 1: 4_250_000, 2: 4_250_000},
    )
    assert use.used == 9_600_000
    assert dict(use.by_pour) == {1: 2_400_000, 2: 2_400_000, 3: 4_800_000}


def test_heap_use_of_nothing_gives_each_pour_nothing():
    assert dict(count.heap_use(opening=5, received=0, closing=5, theoretical={1: 0}).by_pour) == {1: 0}


def test_heap_use_refuses_a_heap_that_grew():
    with pytest.raises(ValueError, match="closing 11 is more than opening 5 and received 5 together"):
        count.heap_use(opening=5, received=5, closing=11, theoretical={1: 1})


def test_heap_use_refuses_use_without_a_pour():
    with pytest.raises(ValueError, match="no weight is above 0"):
        count.heap_use(opening=5, received=5, closing=0, theoretical={})


@pytest.mark.parametrize(("opening", "closing", "name"), [(-1, 0, "opening"), (0, -1, "closing")])
def test_heap_use_refuses_negative_counts(opening, closing, name):
    with pytest.raises(ValueError, match=f"{name} quantity -1 must be 0 or more"):
        count.heap_use(opening=opening, received=9, closing=closing, theoretical={1: 1})
