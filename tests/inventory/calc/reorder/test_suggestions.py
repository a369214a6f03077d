from dataclasses import replace
from datetime import date
from itertools import permutations

import pytest

from inventory.calc.reorder import suggestions
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar

TODAY = date(2025, 3, 3)
NEEDS = (
    Need(key="roof", quantity=4_058, reserve=100, day=date(2025, 3, 13), pour_id=11, slab_id=5),
    Need(key="porch", quantity=300, day=date(2025, 3, 20), pour_id=12, slab_id=6),
    Need(key="floor", quantity=900, day=date(2025, 3, 27), pour_id=13, slab_id=7),
)
CEMENT = PlanItem(
    site_id=1,
    material="cement",
    needs=NEEDS,
    supply=Supply(
        stock=(
            Lot(quantity=800, usable_until=date(2025, 3, 25)),
            Lot(quantity=450, usable_until=date(2025, 3, 10)),
        ),
        receipts=(Receipt(key="order 7", quantity=500, expected=date(2025, 3, 12)),),
        pack=Pack(content=50, minimum=500, name="bag of 50 kg"),
    ),
    lead_days=5,
    safety_days=1,
    calendar=Calendar(days_off=frozenset({6})),
)


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


@pytest.mark.parametrize("name", ["lead_days", "safety_days"])
def test_plan_item_refuses_negative_days(name):
    with pytest.raises(ValueError, match=f"cement: {name} -1 must be 0 or more"):
        replace(CEMENT, **{name: -1})
