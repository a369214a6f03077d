import pytest

from inventory.calc import balance
from inventory.calc.balance import Adjustment, Movement, Shortfall, Slot
from inventory.calc.costing import Pool
from inventory.calc.places import Place, PlaceKind

MILL = Place(PlaceKind.SUPPLIER, 1)
YARD = Place(PlaceKind.STORE, 1)
ROOF = Place(PlaceKind.SLAB, 7)
WASTE = Place(PlaceKind.WASTE, 1)


def move(key, source, target, quantity, value=0, *, lot="", material="cement"):
    return Movement(
        key=key, source=source, target=target, material=material, lot=lot, quantity=quantity, value=value
    )


STORY = (
    move("receipt", MILL, YARD, 100, 800, lot="week 9"),
    move("more", MILL, YARD, 50, 450, lot="week 10"),
    move("issue", YARD, ROOF, 90, 720, lot="week 9"),
    move("return", ROOF, YARD, 20, 160, lot="week 9"),
    move("torn", YARD, WASTE, 30, 250, lot="week 9"),
    move("bars", MILL, YARD, 12_000, 5, material="steel-16"),
)


def test_quantities_are_in_less_out_by_place_material_and_lot():
    assert balance.quantities(STORY) == {
        Slot(MILL, "cement", "week 10"): -50,
        Slot(MILL, "cement", "week 9"): -100,
        Slot(MILL, "steel-16"): -12_000,
        Slot(YARD, "cement", "week 10"): 50,
        Slot(YARD, "steel-16"): 12_000,
        Slot(ROOF, "cement", "week 9"): 70,
        Slot(WASTE, "cement", "week 9"): 30,
    }


def test_pools_put_lots_together_and_carry_value():
    adjustments = (Adjustment(place=YARD, material="cement", value=-40),)
    assert balance.pools(STORY, adjustments=adjustments) == {
        (ROOF, "cement"): Pool(70, 560),
        (YARD, "cement"): Pool(50, 400),
        (YARD, "steel-16"): Pool(12_000, 5),
    }


def test_pools_refuse_value_without_quantity():
    emptied = (move("in", MILL, YARD, 10, 100), move("out", YARD, ROOF, 10, 90))
    with pytest.raises(ValueError, match="value 10 has no quantity"):
        balance.pools(emptied)


def test_shortfall_only_when_more_is_taken_than_there_is():
    issue = move("issue", YARD, ROOF, 90)
    assert balance.shortfall(issue, there=90) is None
    assert balance.shortfall(issue, there=89) == Shortfall(
        key="issue", slot=Slot(YARD, "cement"), wanted=90, there=89
    )


def test_shortfall_never_of_a_place_outside():
    assert balance.shortfall(move("receipt", MILL, YARD, 90), there=-500) is None


def test_shortfalls_follow_the_recorded_order():
    receipt = move("receipt", MILL, YARD, 100)
    issue = move("issue", YARD, ROOF, 90)
    assert balance.shortfalls((receipt, issue)) == ()
    found = balance.shortfalls((issue, receipt))
    assert [(fault.key, fault.wanted, fault.there, fault.missing) for fault in found] == [
        ("issue", 90, 0, 90)
    ]


def test_shortfalls_are_per_lot():
    found = balance.shortfalls((move("a", MILL, YARD, 100, lot="9"), move("b", YARD, ROOF, 40, lot="10")))
    assert [(fault.key, fault.slot.lot, fault.missing) for fault in found] == [("b", "10", 40)]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"quantity": 0}, "quantity 0 must be above 0"),
        ({"value": -1}, "value -1 must be 0 or more"),
        ({"target": MILL}, "source and target are both supplier 1"),
    ],
)
def test_movement_refuses(change, message):
    right = {"key": "a", "source": MILL, "target": YARD, "material": "cement", "quantity": 1, "value": 0}
    with pytest.raises(ValueError, match=message):
        Movement(**(right | change))


def test_adjustment_of_nothing_is_refused():
    with pytest.raises(ValueError, match="value 0 changes nothing"):
        Adjustment(place=YARD, material="cement", value=0)
