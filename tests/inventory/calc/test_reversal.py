from dataclasses import replace

import pytest

from inventory.calc import balance, reversal
from inventory.calc.balance import Movement
from inventory.calc.places import Place, PlaceKind
from inventory.calc.reversal import Fault

YARD = Place(PlaceKind.STORE, 1)
ROOF = Place(PlaceKind.SLAB, 7)
ISSUE = Movement(key="a", source=YARD, target=ROOF, material="cement", lot="9", quantity=90, value=721)


def test_reversal_leaves_nothing_behind():
    back = reversal.reverse(ISSUE, key="b")
    assert balance.quantities((ISSUE, back)) == {}
    assert balance.pools((ISSUE, back)) == {}
    assert reversal.faults((ISSUE, back)) == ()


def test_reversal_of_a_reversal_is_refused():
    back = reversal.reverse(ISSUE, key="b")
    with pytest.raises(ValueError, match="movement b is itself a reversal"):
        reversal.reverse(back, key="c")


@pytest.mark.parametrize(
    "change",
    [
        {"quantity": 89},
        {"value": 720},
        {"lot": "10"},
        {"material": "sand"},
        {"target": Place(PlaceKind.WASTE)},
    ],
)
def test_faults_names_what_is_not_the_whole_movement(change):
    bad = replace(reversal.reverse(ISSUE, key="b"), **change)
    assert reversal.faults((ISSUE, bad)) == (Fault(key="b", code="differs"),)


def test_faults_names_unknown_twice_and_chained():
    back = reversal.reverse(ISSUE, key="b")
    again = reversal.reverse(ISSUE, key="c")
    chained = replace(ISSUE, key="d", reverses="b")
    assert reversal.faults((back, ISSUE)) == (Fault(key="b", code="unknown"),)
    assert reversal.faults((ISSUE, back, again, chained)) == (
        Fault(key="c", code="twice"),
        Fault(key="d", code="chained"),
    )
