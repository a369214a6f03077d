import pytest

from inventory.calc import costing
from inventory.calc.costing import Pool


def test_issue_of_all_takes_the_remainder():
    # 100 for 3: issued one by one the value is 33, 34 (33.5 to even) and 33: all of it, nothing left.
    pool, values = Pool(3, 100), []
    for _ in range(3):
        pool, value = costing.issue(pool, quantity=1)
        values.append(value)
    assert values == [33, 34, 33]
    assert pool == costing.EMPTY


def test_issue_of_the_clients_own_material_carries_nothing():
    assert costing.issue(Pool(10, 0), quantity=4) == (Pool(6, 0), 0)


def test_issue_names_what_is_there():
    with pytest.raises(ValueError, match="quantity 11 is more than the 10 there is"):
        costing.issue(Pool(10, 100), quantity=11)


@pytest.mark.parametrize("quantity", [0, -1])
def test_quantities_must_be_above_nothing(quantity):
    for act in (
        lambda: costing.receive(Pool(10, 100), quantity=quantity, value=1),
        lambda: costing.issue(Pool(10, 100), quantity=quantity),
        lambda: costing.average_value(Pool(10, 100), quantity=quantity),
        lambda: costing.withdraw(Pool(10, 100), quantity=quantity, value=1),
    ):
        with pytest.raises(ValueError, match=f"quantity {quantity} must be above 0"):
            act()


def test_values_must_not_be_negative():
    with pytest.raises(ValueError, match="value -1 must be 0 or more"):
        costing.receive(Pool(10, 100), quantity=1, value=-1)
    with pytest.raises(ValueError, match="value -1 must be 0 or more"):
        costing.withdraw(Pool(10, 100), quantity=1, value=-1)


def test_average_value_of_more_than_there_is():
    assert costing.average_value(Pool(10, 85), quantity=30) == 255


def test_average_value_of_nothing_is_refused():
    with pytest.raises(ValueError, match="an empty pool has no average"):
        costing.average_value(costing.EMPTY, quantity=1)


@pytest.mark.parametrize(
    ("pool", "quantity", "value", "after", "stranded"),
    [
        (Pool(20, 300), 10, 100, Pool(10, 200), 0),
        (Pool(10, 150), 10, 150, Pool(0, 0), 0),
        (Pool(10, 150), 10, 100, Pool(0, 0), 50),
        (Pool(60, 600), 10, 1_000, Pool(50, 0), -400),
    ],
)
def test_withdraw_hands_back_what_is_stranded(pool, quantity, value, after, stranded):
    assert costing.withdraw(pool, quantity=quantity, value=value) == (after, stranded)


def test_withdraw_names_what_is_there():
    with pytest.raises(ValueError, match="quantity 5 is more than the 4 there is"):
        costing.withdraw(Pool(4, 10), quantity=5, value=0)


@pytest.mark.parametrize(
    ("quantity", "value", "message"),
    [
        (-1, 0, "quantity -1 of a pool must be 0 or more"),
        (1, -1, "value -1 of a pool must be 0 or more"),
        (0, 1, "value 1 has no quantity to carry it"),
    ],
)
def test_pool_refuses(quantity, value, message):
    with pytest.raises(ValueError, match=message):
        Pool(quantity, value)
