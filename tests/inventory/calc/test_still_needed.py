"""What a pour still needs; the figures are worked out beside each row."""

import pytest

from inventory.calc import still_needed


@pytest.mark.parametrize(
    ("used", "wasted", "expected"),
    [
        (0, 0, 103),  # nothing issued yet: net 100 and 3 expected to be lost
        (60, 0, 43),
        (60, 3, 43),  # the loss that was allowed for
        (103, 3, 0),
        (103, 20, 17),  # 17 lost beyond it have to come again
        (110, 3, 0),  # more than allowed is used: nothing is owed back
        (-10, 0, 113),  # 10 came back that another pour of the slab was issued
    ],
)
def test_a_pour_of_100_and_3(used, wasted, expected):
    assert still_needed.left(103, allowance=3, used=used, wasted=wasted) == expected
