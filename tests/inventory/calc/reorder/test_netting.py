from datetime import date

import pytest

from inventory.calc.reorder import netting
from inventory.calc.reorder.facts import Day, Lot, Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.netting import Supply

FIRST = date(2025, 3, 3)


def march(day):
    return date(2025, 3, day)


def need(key, quantity, day, reserve=0):
    return Need(key=key, quantity=quantity, day=march(day), reserve=reserve)


def test_day_by_day_table_with_packs():
    # Worked by hand: 30 there; 50 needed on the 5th (20 short, a bag of 50: 30 over); 40 come on the 6th;
    # 60 of the 70 are used on the 7th.
    plan = netting.net(
        [need("b", 60, 7), need("a", 50, 5)],
        supply=Supply(
            stock=(Lot(quantity=30),),
            receipts=(Receipt(key="r", quantity=40, expected=march(6)),),
            pack=Pack(content=50),
        ),
        first_day=FIRST,
    )
    assert plan.days == (
        Day(
            day=march(3), opening=30, received=0, expired=0, gross=0, reserve=0, net=0, planned=0, closing=30
        ),
        Day(
            day=march(5),
            opening=30,
            received=0,
            expired=0,
            gross=50,
            reserve=0,
            net=20,
            planned=50,
            closing=30,
        ),
        Day(
            day=march(6), opening=30, received=40, expired=0, gross=0, reserve=0, net=0, planned=0, closing=70
        ),
        Day(
            day=march(7), opening=70, received=0, expired=0, gross=60, reserve=0, net=0, planned=0, closing=10
        ),
    )
    served = [
        (line.need.key, line.from_stock, line.from_orders, line.from_plan, line.net) for line in plan.lines
    ]
    assert served == [("a", 30, 0, 0, 20), ("b", 0, 40, 30, 0)]


def test_stock_that_spoils_before_the_need_does_not_cover_it():
    supply = Supply(stock=(Lot(quantity=100, usable_until=march(6)),))
    last_good_day = netting.net([need("a", 80, 6)], supply=supply, first_day=FIRST)
    too_late = netting.net([need("a", 80, 7)], supply=supply, first_day=FIRST)
    assert last_good_day.lines[0].net == 0
    assert too_late.lines[0].net == 80
    assert [(row.day, row.expired) for row in too_late.days] == [(march(3), 0), (march(7), 100)]


def test_spoiling_gets_a_row_of_its_own_inside_the_plan():
    plan = netting.net(
        [need("a", 1, 9)],
        supply=Supply(
            stock=(Lot(quantity=5, usable_until=march(4)), Lot(quantity=5)),
            receipts=(Receipt(key="r", quantity=7, expected=march(4), usable_until=march(20)),),
        ),
        first_day=FIRST,
    )
    assert [(row.day, row.expired) for row in plan.days] == [
        (march(3), 0),
        (march(4), 0),
        (march(5), 5),
        (march(9), 0),
    ]


def test_planned_surplus_spoils_too():
    plan = netting.net(
        [need("a", 10, 5), need("b", 10, 9)],
        supply=Supply(pack=Pack(content=50), life_days=3),
        first_day=FIRST,
    )
    assert [(line.packs, line.net) for line in plan.lines] == [(1, 10), (1, 10)]
    assert [row.expired for row in plan.days] == [0, 0, 40]


def test_reserve_is_kept_for_its_pour_and_then_serves_the_next():
    plan = netting.net([need("a", 10, 5, reserve=4), need("b", 10, 9)], supply=Supply(), first_day=FIRST)
    assert [(line.net, line.from_plan, line.reserve) for line in plan.lines] == [(14, 0, 4), (6, 4, 0)]


def test_two_pours_of_one_day_share_packs_and_keep_both_reserves():
    plan = netting.net(
        [need("a", 30, 5, reserve=2), need("b", 30, 5, reserve=3), need("c", 1, 5)],
        supply=Supply(pack=Pack(content=50)),
        first_day=FIRST,
    )
    # a: 32 of the first bag, 18 left; b: 33 more, the second bag, 35 left; c: 1 more of it.
    rows = [(line.net, line.from_opened, line.packs, line.planned, line.surplus) for line in plan.lines]
    assert rows == [(32, 0, 1, 50, 18), (33, 18, 1, 50, 35), (1, 35, 0, 0, 34)]
    assert (plan.days[-1].net, plan.days[-1].planned, plan.days[-1].closing) == (66, 100, 39)


def test_minimum_is_met_once_for_the_day():
    plan = netting.net(
        [need("a", 9, 5), need("b", 4, 5)],
        supply=Supply(pack=Pack(content=1, minimum=10)),
        first_day=FIRST,
    )
    assert [line.planned for line in plan.lines] == [9, 4]


def test_past_due_counts_on_the_first_day_and_is_said():
    plan = netting.net(
        [Need(key="a", quantity=10, day=date(2025, 2, 27))],
        supply=Supply(receipts=(Receipt(key="r", quantity=4, expected=date(2025, 3, 1)),)),
        first_day=FIRST,
    )
    assert (plan.lines[0].day, plan.lines[0].need.day, plan.lines[0].net) == (FIRST, date(2025, 2, 27), 6)
    assert [(notice.code, notice.key, notice.days) for notice in plan.notices] == [
        ("need_past_due", "a", 4),
        ("receipt_overdue", "r", 2),
    ]


def test_nothing_needed_gives_a_quiet_plan():
    plan = netting.net([], supply=netting.NO_SUPPLY, first_day=FIRST)
    assert (plan.lines, plan.notices, [row.closing for row in plan.days]) == ((), (), [0])


def test_doubles_are_refused():
    with pytest.raises(ValueError, match="two needs have the key a"):
        netting.net([need("a", 1, 5), need("a", 2, 6)], supply=netting.NO_SUPPLY, first_day=FIRST)
    receipt = Receipt(key="r", quantity=1, expected=FIRST)
    with pytest.raises(ValueError, match="two receipts have the key r"):
        netting.net([], supply=Supply(receipts=(receipt, receipt)), first_day=FIRST)


def test_supply_refuses_negative_life():
    with pytest.raises(ValueError, match="life -1 of a purchase must be 0 days or more"):
        Supply(life_days=-1)
