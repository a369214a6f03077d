from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from inventory.calc.reorder import netting
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.lots import Pack
from inventory.calc.reorder.netting import Supply

FIRST = date(2025, 3, 3)
DAYS = st.integers(0, 40).map(lambda days: FIRST + timedelta(days=days))
QUANTITIES = st.integers(1, 500)
PACKS = st.builds(Pack, content=st.integers(1, 60), minimum=st.integers(0, 200))


def listed(build, max_size=10):
    return st.lists(st.tuples(QUANTITIES, DAYS), max_size=max_size).map(
        lambda rows: tuple(build(str(index), *row) for index, row in enumerate(rows))
    )


NEEDS = listed(lambda key, quantity, day: Need(key=key, quantity=quantity, day=day))
RESERVED = listed(lambda key, quantity, day: Need(key=key, quantity=quantity, day=day, reserve=quantity // 7))
RECEIPTS = listed(lambda key, quantity, day: Receipt(key=key, quantity=quantity, expected=day))
PERISHABLE = listed(
    lambda key, quantity, day: Receipt(
        key=key, quantity=quantity, expected=day, usable_until=day + timedelta(days=quantity % 9)
    )
)
STOCK = st.lists(st.builds(Lot, quantity=QUANTITIES), max_size=4).map(tuple)
OLD_STOCK = st.lists(st.builds(Lot, quantity=QUANTITIES, usable_until=DAYS), max_size=4).map(tuple)


def total_net(needs, supply):
    return sum(row.net for row in netting.net(needs, supply=supply, first_day=FIRST).days)


@given(NEEDS, STOCK, RECEIPTS)
def test_net_is_the_deepest_lack(needs, stock, receipts):
    # Oracle without a running balance: the most by which needs so far exceed supply so far, on any day.
    there = sum(lot.quantity for lot in stock)
    lacks = [
        sum(need.quantity for need in needs if need.day <= day)
        - there
        - sum(receipt.quantity for receipt in receipts if receipt.expected <= day)
        for day in {need.day for need in needs}
    ]
    assert total_net(needs, Supply(stock=stock, receipts=receipts)) == max([0, *lacks])


@given(RESERVED, OLD_STOCK, PERISHABLE)
def test_what_is_planned_loose_is_exactly_the_net(needs, stock, receipts):
    plan = netting.net(needs, supply=Supply(stock=stock, receipts=receipts), first_day=FIRST)
    assert sum(row.planned for row in plan.days) == sum(row.net for row in plan.days)


@given(RESERVED, OLD_STOCK, PERISHABLE, PACKS)
def test_every_day_balances_and_keeps_its_reserve(needs, stock, receipts, pack):
    supply = Supply(stock=stock, receipts=receipts, pack=pack, life_days=9)
    plan = netting.net(needs, supply=supply, first_day=FIRST)
    closing = sum(lot.quantity for lot in stock)
    for row in plan.days:
        assert row.opening == closing
        closing = row.closing
        assert closing == row.opening + row.received - row.expired + row.planned - row.gross
        assert closing >= row.reserve
        assert row.planned % pack.content == 0
        assert row.planned == 0 or row.planned >= max(row.net, pack.minimum)
        assert (row.planned == 0) == (row.net == 0)


@given(RESERVED, OLD_STOCK, PERISHABLE, PACKS)
def test_every_line_adds_up(needs, stock, receipts, pack):
    supply = Supply(stock=stock, receipts=receipts, pack=pack)
    plan = netting.net(needs, supply=supply, first_day=FIRST)
    for line in plan.lines:
        available = line.from_stock + line.from_orders + line.from_plan
        assert line.net == max(0, line.need.quantity + line.reserve - available)
        assert line.net == line.from_opened + line.planned - line.surplus
    for row in plan.days:
        lines = [line for line in plan.lines if line.day == row.day]
        assert (sum(line.net for line in lines), sum(line.planned for line in lines)) == (
            row.net,
            row.planned,
        )


@given(RESERVED, OLD_STOCK, PERISHABLE, PACKS, st.integers(1, 499))
def test_splitting_a_need_within_its_day_changes_no_day(needs, stock, receipts, pack, cut):
    supply = Supply(stock=stock, receipts=receipts, pack=pack)
    parts = []
    for need in needs:
        first = cut % need.quantity
        if first:
            parts.append(replace(need, key=f"{need.key} first", quantity=first, reserve=need.reserve // 2))
        parts.append(
            replace(
                need,
                quantity=need.quantity - first,
                reserve=need.reserve - (need.reserve // 2 if first else 0),
            )
        )
    whole = netting.net(needs, supply=supply, first_day=FIRST)
    assert netting.net(parts, supply=supply, first_day=FIRST).days == whole.days


@given(RESERVED, STOCK, RECEIPTS.filter(bool))
def test_a_receipt_that_comes_later_never_lowers_the_net(needs, stock, receipts):
    before = total_net(needs, Supply(stock=stock, receipts=receipts))
    later = replace(receipts[0], expected=receipts[0].expected + timedelta(days=1))
    assert total_net(needs, Supply(stock=stock, receipts=(later, *receipts[1:]))) >= before


@given(RESERVED, OLD_STOCK, PERISHABLE, PACKS, st.randoms(use_true_random=False))
def test_the_order_of_the_input_does_not_matter(needs, stock, receipts, pack, random):
    lists = [list(needs), list(stock), list(receipts)]
    for each in lists:
        random.shuffle(each)
    shuffled = Supply(stock=tuple(lists[1]), receipts=tuple(lists[2]), pack=pack)
    supply = Supply(stock=stock, receipts=receipts, pack=pack)
    assert netting.net(lists[0], supply=shuffled, first_day=FIRST) == netting.net(
        needs, supply=supply, first_day=FIRST
    )
