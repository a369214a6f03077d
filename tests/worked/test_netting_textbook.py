"""Netting against the two tables of a textbook chapter on requirements planning."""

from datetime import date, timedelta

import pytest

from inventory.calc.reorder import netting
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.netting import Supply

# Nahmias, "Production and Operations Analysis", chapter on MRP, Example 8.1: an end item and its component,
# three to each, four weeks earlier (figures as remembered; each net checked by hand). In order: first week,
# gross by week, on hand before it, receipts by week, net by week.
TABLES = {
    "end item": (
        8,
        (77, 42, 38, 21, 26, 112, 45, 14, 76, 38),
        23,
        {8: 12, 10: 6, 11: 9},
        (42, 42, 32, 12, 26, 112, 45, 14, 76, 38),
    ),
    "component": (
        4,
        (126, 126, 96, 36, 78, 336, 135, 42, 228, 114),
        186,
        {5: 96},
        (0, 0, 66, 36, 78, 336, 135, 42, 228, 114),
    ),
}


def monday(week):
    return date(2024, 12, 30) + timedelta(weeks=week - 1)


@pytest.mark.parametrize("table", TABLES)
def test_net_requirements_by_week(table):
    first, gross, on_hand, receipts, net = TABLES[table]
    needs = [
        Need(key=f"week {week}", quantity=quantity, day=monday(week))
        for week, quantity in enumerate(gross, start=first)
    ]
    supply = Supply(
        stock=(Lot(quantity=on_hand),),
        receipts=tuple(
            Receipt(key=f"week {week}", quantity=quantity, expected=monday(week))
            for week, quantity in receipts.items()
        ),
    )
    plan = netting.net(needs, supply=supply, first_day=monday(first))
    assert tuple(line.net for line in plan.lines) == net
    assert tuple(row.net for row in plan.days) == net
