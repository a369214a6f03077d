from datetime import date

import pytest

from inventory.calc.reorder import yard
from inventory.calc.reorder.yard import Heap, Origin

EARLY = Heap(origin=Origin.PLAN, quantity=3, usable_until=date(2025, 3, 10))
LATE = Heap(origin=Origin.ORDER, quantity=4, usable_until=date(2025, 3, 20))
KEEPS = Heap(origin=Origin.STOCK, quantity=5)


def test_take_uses_first_what_spoils_first():
    left = yard.take((KEEPS, LATE, EARLY), quantity=5)
    assert [(heap.origin, heap.quantity) for heap in left] == [(Origin.ORDER, 2), (Origin.STOCK, 5)]


def test_take_of_equals_uses_stock_before_orders_before_plan():
    equals = tuple(Heap(origin=origin, quantity=1) for origin in (Origin.PLAN, Origin.ORDER, Origin.STOCK))
    assert [heap.origin for heap in yard.take(equals, quantity=1)] == [Origin.ORDER, Origin.PLAN]


def test_take_names_what_is_there():
    with pytest.raises(ValueError, match="quantity 6 is more than the 5 there is"):
        yard.take((KEEPS,), quantity=6)


def test_expire_keeps_the_last_day():
    assert yard.expire((EARLY, KEEPS), day=date(2025, 3, 10)) == (EARLY, KEEPS)
    assert yard.expire((EARLY, KEEPS), day=date(2025, 3, 11)) == (KEEPS,)


def test_on_hand_by_origin():
    assert yard.on_hand((EARLY, LATE, KEEPS)) == 12
    assert yard.on_hand((EARLY, LATE, KEEPS), origin=Origin.PLAN) == 3
