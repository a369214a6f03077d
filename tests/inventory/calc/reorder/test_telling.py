"""What is bought for which pour and why, in sums worked out by hand; days of March 2025."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations

from inventory.calc.reorder import at_site, telling
from inventory.calc.reorder.facts import Lot, Need
from inventory.calc.reorder.market import Item, Market
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import Reason
from tests.factories.planned_cement import CEMENT, NEEDS, TODAY

BAGS = Quote(
    key=1,
    seller=1,
    content=50,
    minimum_packs=10,
    lead_days=5,
    breaks=(Break(packs=1, pack_price=400),),
)


def tell(plan=CEMENT, *, today=TODAY, quote=BAGS):
    [bought] = at_site.plan([Item(plan=plan, quotes=(quote,))], market=Market(), today=today)
    return [one.suggestion for one in telling.tell(bought, today=today)]


def test_a_suggestion_carries_its_reason_in_numbers():
    first = tell()[0]
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
    # The roof's 100 of reserve serve the porch, which lacks 200: 42 are left in its bags, so 4 bags more in
    # the same order. They leave 42 again, and the floor lacks 858: 18 bags.
    found = [(one.need_key, one.reason.planned_earlier, one.reason.opened_packs, one.packs) for one in tell()]
    assert found == [("roof", 0, 0, 58), ("porch", 100, 42, 4), ("floor", 42, 0, 18)]
    assert [one.reason.net for one in tell()] == [2_858, 200, 858]


def test_late_by_days_and_never_moved():
    first = tell(today=date(2025, 3, 9))[0]
    assert (first.order_by, first.late_days, first.need_date) == (date(2025, 3, 6), 3, date(2025, 3, 13))


def test_enough_gives_no_suggestion():
    covered = replace(CEMENT, supply=replace(CEMENT.supply, stock=(Lot(quantity=10_000),)))
    assert tell(covered) == []


def test_need_served_by_an_opened_pack_gets_no_suggestion_of_its_own():
    needs = tuple(Need(key=key, quantity=20, day=date(2025, 3, 13)) for key in ("a", "b"))
    found = tell(replace(CEMENT, needs=needs, supply=Supply()), quote=replace(BAGS, minimum_packs=1))
    assert [(one.need_key, one.packs) for one in found] == [("a", 1)]


def test_the_same_facts_in_any_order_tell_the_same():
    expected = tell()
    stock = tuple(reversed(CEMENT.supply.stock))
    for needs in permutations(NEEDS):
        assert tell(replace(CEMENT, needs=needs, supply=replace(CEMENT.supply, stock=stock))) == expected


def test_the_fingerprint_lasts_until_something_about_it_changes():
    first, tomorrow = tell()[0], tell(today=date(2025, 3, 4))[0]
    slower = tell(quote=replace(BAGS, lead_days=6))[0]
    assert first.fingerprint == tomorrow.fingerprint
    assert first.fingerprint != slower.fingerprint
