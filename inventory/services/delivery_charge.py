"""What the trucks of an order cost: the supplier's charge for each that its load takes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from inventory.calc.reorder import bought
from inventory.models import OrderLine, Supplier
from inventory.queries import plan_offers


def of(supplier: Supplier, *, lines: Sequence[OrderLine], today: date) -> int:
    """Return the minor units; nothing of a supplier whose prices hold on site."""
    if not supplier.trip_minor:
        return 0
    packs = [(line.material, line.pack, line.packs) for line in lines if line.packs]
    grams = plan_offers.load_g(supplier, packs=packs, on=today)
    return supplier.trip_minor * bought.trucks(grams, plan_offers.truck_g(supplier))
