from dataclasses import replace
from datetime import date
from itertools import permutations

import pytest

from inventory.calc.reorder import suggestions
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.suggestions import PlanItem, Reason
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


def test_suggestion_carries_its_reason_in_numbers():
    first = suggestions.suggest(CEMENT, today=TODAY)[0]
    # By hand: 4,058 + 100 less 800 (the 450 spoil on the 10th) and 500 on order = 2,858; 58 bags; 42 kg over.
    assert first.reason == Reason(
        need=4_058,
        reserve=100,
        usable_stock=800,
        open_orders=500,
        planned_earlier=0,
        net=2_858,
        opened_packs=0,
        packs=58,
        pack_content=50,
        minimum=500,
        surplus=42,
    )
    assert (first.packs, first.quantity, first.pour_id, first.slab_id) == (58, 2_900, 11, 5)
    # Wall calendar: one working day before Thursday the 13th, then five, Sunday the 9th off.
    assert (first.deliver_by, first.order_by, first.late_days) == (date(2025, 3, 12), date(2025, 3, 6), 0)


def test_surplus_of_earlier_packs_serves_the_next_pour():
    found = suggestions.suggest(CEMENT, today=TODAY)
    # 142 left of the first (reserve and surplus), so 158 for the porch: the minimum of 500 is 10 bags, 342
    # over; the floor then lacks 558.
    assert [(one.need_key, one.reason.planned_earlier, one.reason.net, one.packs) for one in found] == [
        ("roof", 0, 2_858, 58),
        ("porch", 142, 158, 10),
        ("floor", 342, 558, 12),
    ]


def test_late_by_days_and_never_moved():
    first = suggestions.suggest(CEMENT, today=date(2025, 3, 9))[0]
    assert (first.order_by, first.late_days, first.need_date) == (date(2025, 3, 6), 3, date(2025, 3, 13))


def test_enough_gives_no_suggestion():
    covered = replace(CEMENT, supply=replace(CEMENT.supply, stock=(Lot(quantity=10_000),)))
    assert suggestions.suggest(covered, today=TODAY) == ()


def test_need_served_by_an_opened_pack_gets_no_suggestion_of_its_own():
    needs = tuple(Need(key=key, quantity=20, day=date(2025, 3, 13)) for key in ("a", "b"))
    item = replace(CEMENT, needs=needs, supply=Supply(pack=Pack(content=50)))
    assert [(one.need_key, one.packs) for one in suggestions.suggest(item, today=TODAY)] == [("a", 1)]


def test_same_input_in_any_order_gives_the_same_plan():
    expected = suggestions.suggest(CEMENT, today=TODAY)
    name = suggestions.item_fingerprint(CEMENT)
    stock = tuple(reversed(CEMENT.supply.stock))
    for needs in permutations(NEEDS):
        item = replace(CEMENT, needs=needs, supply=replace(CEMENT.supply, stock=stock))
        assert suggestions.suggest(item, today=TODAY) == expected
        assert suggestions.item_fingerprint(item) == name


def test_fingerprint_of_a_suggestion_lasts_until_something_about_it_changes():
    first = suggestions.suggest(CEMENT, today=TODAY)[0]
    tomorrow = suggestions.suggest(CEMENT, today=date(2025, 3, 4))[0]
    slower = suggestions.suggest(replace(CEMENT, lead_days=6), today=TODAY)[0]
    assert first.fingerprint == tomorrow.fingerprint
    assert first.fingerprint != slower.fingerprint


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


def test_net_gives_the_table_beside_the_suggestions():
    plan = suggestions.net(CEMENT, today=TODAY)
    assert sum(row.planned for row in plan.days) == sum(
        one.quantity for one in suggestions.suggest(CEMENT, today=TODAY)
    )


@pytest.mark.parametrize("name", ["lead_days", "safety_days"])
def test_plan_item_refuses_negative_days(name):
    with pytest.raises(ValueError, match=f"cement: {name} -1 must be 0 or more"):
        replace(CEMENT, **{name: -1})
