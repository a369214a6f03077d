from datetime import date

import pytest

from inventory.calc.reorder.facts import Lot, Need, Receipt

DAY = date(2025, 3, 10)


def test_quantities_must_be_above_nothing():
    with pytest.raises(ValueError, match="lot: quantity 0 must be above 0"):
        Lot(quantity=0)
    with pytest.raises(ValueError, match="receipt r: quantity 0 must be above 0"):
        Receipt(key="r", quantity=0, expected=DAY)
    with pytest.raises(ValueError, match="need n: quantity 0 must be above 0"):
        Need(key="n", quantity=0, day=DAY)


def test_receipt_may_spoil_on_its_day_but_not_before():
    assert Receipt(key="r", quantity=1, expected=DAY, usable_until=DAY).usable_until == DAY
    with pytest.raises(ValueError, match="usable until 2025-03-09 must not be before 2025-03-10"):
        Receipt(key="r", quantity=1, expected=DAY, usable_until=date(2025, 3, 9))


def test_need_refuses_negative_reserve():
    with pytest.raises(ValueError, match="need n: reserve -1 must be 0 or more"):
        Need(key="n", quantity=1, day=DAY, reserve=-1)
