"""The cement of one site in March 2025: three needs, two lots and an order, for sums worked out by hand."""

from datetime import date

from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar

TODAY = date(2025, 3, 3)
NEEDS = (
    Need(key="roof", quantity=4_058, reserve=100, day=date(2025, 3, 13), pour_id=11, slab_id=5),
    Need(key="porch", quantity=300, day=date(2025, 3, 20), pour_id=12, slab_id=6),
    Need(key="floor", quantity=900, day=date(2025, 3, 27), pour_id=13, slab_id=7),
)
CEMENT = PlanItem(
    site_id=1,
    material="cement",
    needs=NEEDS,
    supply=Supply(
        stock=(
            Lot(quantity=800, usable_until=date(2025, 3, 25)),
            Lot(quantity=450, usable_until=date(2025, 3, 10)),
        ),
        receipts=(Receipt(key="order 7", quantity=500, expected=date(2025, 3, 12)),),
    ),
    safety_days=1,
    calendar=Calendar(days_off=frozenset({6})),
)
