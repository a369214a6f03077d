import pytest

from inventory.calc import reconcile
from inventory.calc.reconcile import Facts, Status
from inventory.calc.variances import PermittedVariation

TWO_PERCENT = PermittedVariation(
    over_bp=200, under_bp=200, source="CPWD Schedule F, clause 42: steel, per diameter"
)


def test_compare_keeps_every_figure_apart():
    row = reconcile.compare(
        Facts(
            material="cement",
            net=970,
            allowance=30,
            ordered=1_050,
            received=1_000,
            rejected=50,
            open_order=50,
            issued=700,
            returned=40,
            wasted_from_store=5,
            wasted_from_slab=15,
            on_hand=200,
        ),
        variation=TWO_PERCENT,
    )
    # By hand: used 700 - 40 + 5; waste 5 + 15; shortage 1000 - (665 + 200 + 50).
    assert (row.designed, row.used, row.wasted, row.cast) == (1_000, 665, 20, 645)
    assert (row.left, row.overuse, row.shortage, row.status) == (335, -335, 85, Status.SHORT)


@pytest.mark.parametrize(
    ("used", "on_hand", "open_order", "finished", "shortage", "status"),
    [
        (0, 1_000, 0, False, 0, Status.ENOUGH),
        (0, 400, 600, False, 0, Status.ENOUGH),
        (400, 599, 0, False, 1, Status.SHORT),
        (400, 599, 0, True, 0, Status.UNDER),
        (980, 0, 0, True, 0, Status.ENOUGH),
        (979, 0, 0, True, 0, Status.UNDER),
        (1_020, 0, 0, False, 0, Status.ENOUGH),
        (1_021, 0, 0, False, 0, Status.OVER),
        (1_021, 0, 0, True, 0, Status.OVER),
    ],
)
def test_status_and_shortage(used, on_hand, open_order, finished, shortage, status):
    facts = Facts(
        material="steel-16",
        net=1_000,
        issued=used,
        on_hand=on_hand,
        open_order=open_order,
        finished=finished,
    )
    row = reconcile.compare(facts, variation=TWO_PERCENT)
    assert (row.shortage, row.status) == (shortage, status)


def test_left_is_negative_when_other_stock_was_used():
    row = reconcile.compare(Facts(material="cement", net=10, received=4, issued=10), variation=TWO_PERCENT)
    assert row.left == -6


def test_bars_are_judged_size_by_size():
    # One size over and one under do not cancel out (CPWD clause 42: compared diameter by diameter).
    facts = (
        Facts(material="steel-12", net=100_000, issued=110_000, finished=True),
        Facts(material="steel-16", net=100_000, issued=90_000, finished=True),
    )
    rows = [reconcile.compare(fact, variation=TWO_PERCENT) for fact in facts]
    assert [(row.facts.material, row.status) for row in rows] == [
        ("steel-12", Status.OVER),
        ("steel-16", Status.UNDER),
    ]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"net": -1}, "cement: net -1 must be 0 or more"),
        ({"on_hand": -1}, "cement: on_hand -1 must be 0 or more"),
        (
            {"issued": 5, "returned": 4, "wasted_from_slab": 2},
            "returned 4 and wasted 2 are more than the 5 issued",
        ),
    ],
)
def test_facts_refuse(change, message):
    with pytest.raises(ValueError, match=message):
        Facts(**({"material": "cement", "net": 1} | change))
