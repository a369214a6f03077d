"""Choosing among offers; days of March 2025 with Sunday off, worked out by hand."""

from datetime import date

import pytest

from inventory.calc.reorder import offers
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.offers import Offer
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar

MONDAY = date(2025, 3, 3)
SUNDAYS_OFF = Calendar(days_off=frozenset({6}))
BAGS = Pack(content=50)


def need(key, *, quantity, day):
    return Need(key=key, quantity=quantity, day=date(2025, 3, day), pour_id=1, slab_id=1)


def item(*needs, stock=(), receipts=()):
    supply = Supply(stock=stock, receipts=receipts)
    return PlanItem(
        site_id=1, material="cement", needs=needs, supply=supply, safety_days=1, calendar=SUNDAYS_OFF
    )


def offer(key, *, price, lead, content=50, minimum=1):
    return Offer(key=key, content=content, pack_price=price, lead_days=lead, minimum_packs=minimum)


def found(*needs, bids, **supply):
    chosen = offers.suggest(item(*needs, **supply), offers=bids, default=BAGS, today=MONDAY)
    return [(c.suggestion.need_key, c.choice and c.choice.offer.key, c.suggestion.packs) for c in chosen]


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ({"content": 0}, "must be above 0"),
        ({"minimum": 0}, "must be above 0"),
        ({"price": -1}, "must be 0 or more"),
        ({"lead": -1}, "must be 0 or more"),
    ],
)
def test_an_offer_out_of_bounds_is_refused(figures, words):
    with pytest.raises(ValueError, match=words):
        offer(1, **({"price": 1, "lead": 1} | figures))


def test_price_is_compared_per_stock_unit_and_not_per_pack():
    # 50 kg for 400 is 8.00 a kg; 40 kg for 340 is 8.50.
    assert found(
        need("a", quantity=100, day=20),
        bids=[offer(1, price=340, lead=1, content=40), offer(2, price=400, lead=1)],
    ) == [("a", 2, 2)]


def test_of_equal_prices_the_shorter_lead_is_chosen():
    bids = [offer(1, price=400, lead=3), offer(2, price=400, lead=1)]
    assert found(need("a", quantity=50, day=20), bids=bids) == [("a", 2, 1)]


def test_what_the_dear_offer_leaves_over_serves_the_later_need():
    # By Wednesday 5 March only the near one comes: 120 lack, 3 bags of 50, 30 left. For the 20th the far one
    # is cheaper: 100 less those 30 are 70, in big bags of 60 two. Without the 30 it would be the same two, so
    # the third need of 20 tells: 20 less the 50 that are left is nothing.
    bids = [offer(1, price=420, lead=1), offer(2, price=400, lead=6, content=60)]
    needs = (
        need("a", quantity=120, day=5),
        need("b", quantity=100, day=20),
        need("c", quantity=20, day=21),
    )
    assert found(*needs, bids=bids) == [("a", 1, 3), ("b", 2, 2)]


def test_stock_and_open_orders_are_netted_once_over_both_offers():
    # 30 in store go to the first need, 100 arriving on the 18th to the second: 90 and 0 lack.
    bids = [offer(1, price=420, lead=1), offer(2, price=400, lead=6)]
    needs = (need("a", quantity=120, day=5), need("b", quantity=100, day=20))
    receipts = (Receipt(key="r", quantity=100, expected=date(2025, 3, 18)),)
    assert found(*needs, bids=bids, stock=(Lot(quantity=30),), receipts=receipts) == [("a", 1, 2)]


def test_when_nobody_comes_in_time_the_cheapest_is_named_and_marked():
    bids = [offer(1, price=420, lead=4), offer(2, price=400, lead=6)]
    [chosen] = offers.suggest(item(need("a", quantity=50, day=5)), offers=bids, default=BAGS, today=MONDAY)
    assert (chosen.choice.offer.key, chosen.choice.in_time) == (2, False)


def test_without_offers_the_default_pack_counts():
    assert found(need("a", quantity=51, day=20), bids=[]) == [("a", None, 2)]


@pytest.mark.parametrize(
    ("lead", "arrives"),
    # From Saturday 1 March with Sunday off: the next working day is Monday 3 March.
    [(0, date(2025, 3, 1)), (1, date(2025, 3, 3)), (6, date(2025, 3, 8)), (7, date(2025, 3, 10))],
)
def test_arrival_counts_working_days(lead, arrives):
    assert offers.arrival(date(2025, 3, 1), lead_days=lead, calendar=SUNDAYS_OFF) == arrives


def test_an_order_of_a_day_off_counts_from_the_next_working_day():
    # Ordered on Sunday 2 March, one working day: Monday counts as the first day back, so Monday 3 March.
    assert offers.arrival(date(2025, 3, 2), lead_days=0, calendar=SUNDAYS_OFF) == date(2025, 3, 3)
