from datetime import date

from inventory.calc.reorder import netting, notices
from inventory.calc.reorder.facts import Need, Notice, Receipt
from inventory.calc.reorder.netting import Supply

FIRST = date(2025, 3, 3)
PUMP_DAY = date(2025, 3, 10)


def test_order_that_comes_after_its_need_is_named():
    needs = (Need(key="a", quantity=10, day=PUMP_DAY), Need(key="b", quantity=5, day=date(2025, 3, 11)))
    receipts = (
        Receipt(key="in time", quantity=3, expected=PUMP_DAY),
        Receipt(key="late", quantity=40, expected=date(2025, 3, 12)),
        Receipt(key="small", quantity=2, expected=date(2025, 3, 13)),
    )
    plan = netting.net(needs, supply=Supply(receipts=receipts), first_day=FIRST)
    assert plan.notices == (
        Notice(code="receipt_after_need", key="late", day=date(2025, 3, 12), quantity=12, days=2),
        Notice(code="receipt_after_need", key="small", day=date(2025, 3, 13), quantity=2, days=3),
    )


def test_order_that_nobody_waits_for_is_not():
    plan = netting.net(
        [], supply=Supply(receipts=(Receipt(key="r", quantity=3, expected=PUMP_DAY),)), first_day=FIRST
    )
    assert plan.notices == ()


def test_past_due_in_order_of_days():
    needs = [Need(key=key, quantity=1, day=date(2025, 2, day)) for key, day in (("x", 20), ("y", 18))]
    found = notices.past_due(needs, receipts=(), first_day=FIRST)
    assert [(notice.key, notice.days) for notice in found] == [("y", 13), ("x", 11)]


def test_today_is_not_past_due():
    today = Need(key="a", quantity=1, day=FIRST)
    assert (
        notices.past_due([today], receipts=[Receipt(key="r", quantity=1, expected=FIRST)], first_day=FIRST)
        == ()
    )
