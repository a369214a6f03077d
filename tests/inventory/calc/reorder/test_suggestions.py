from dataclasses import replace
from itertools import permutations

import pytest

from inventory.calc.reorder import suggestions
from inventory.calc.reorder.facts import Lot
from inventory.calc.reorder.workdays import Calendar
from tests.factories.planned_cement import CEMENT, NEEDS


def test_fingerprint_of_the_item_changes_with_any_input():
    changed = [
        replace(CEMENT, site_id=2),
        replace(CEMENT, safety_days=2),
        replace(CEMENT, needs=NEEDS[:2]),
        replace(CEMENT, calendar=Calendar()),
        replace(CEMENT, supply=replace(CEMENT.supply, stock=(Lot(quantity=800),))),
    ]
    names = {suggestions.item_fingerprint(item) for item in [CEMENT, *changed]}
    assert len(names) == 6


def test_the_same_inputs_in_any_order_have_the_same_name():
    stock = tuple(reversed(CEMENT.supply.stock))
    name = suggestions.item_fingerprint(CEMENT)
    for needs in permutations(NEEDS):
        item = replace(CEMENT, needs=needs, supply=replace(CEMENT.supply, stock=stock))
        assert suggestions.item_fingerprint(item) == name


def test_plan_item_refuses_negative_days():
    with pytest.raises(ValueError, match="cement: safety_days -1 must be 0 or more"):
        replace(CEMENT, safety_days=-1)
