"""The balance table beside the ledger: locked, changed and written back in the transaction of a posting."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from inventory.calc.costing import Pool
from inventory.models import Lot, LotStock, Place, Stock
from inventory.services.lots import Heap

Pair = tuple[int, int]
"""A place and a material, by their numbers."""


@dataclass
class Books:
    """Locked balances of some places and materials, and what has changed in them."""

    stock: dict[Pair, Stock]
    lots: dict[Pair, LotStock] = field(default_factory=dict)
    """Balances of lots, by place and lot."""
    changed: set[Pair] = field(default_factory=set)
    """Which balances of lots are to be written: a store has had many lots, and an act touches a few."""

    def quantity(self, place: Place, *, material_id: int) -> int:
        """Return the stock units of a material at a place."""
        return self.stock[place.pk, material_id].quantity

    def pool(self, place: Place, *, material_id: int) -> Pool:
        """Return quantity and value of a material at a place that holds them."""
        row = self.stock[place.pk, material_id]
        return Pool(row.quantity, row.value_minor)

    def heaps(self, place: Place, *, material_id: int) -> list[Heap]:
        """Return what lies at a place by lot; what came without one is the heap whose lot is None."""
        heaps = [
            Heap(row.lot, row.quantity)
            for (place_id, _lot_id), row in self.lots.items()
            if place_id == place.pk and row.lot.material_id == material_id and row.quantity
        ]
        rest = self.quantity(place, material_id=material_id) - sum(heap.quantity for heap in heaps)
        return [*heaps, Heap(None, rest)] if rest else heaps

    def add(self, place: Place, *, material_id: int, lot: Lot | None, quantity: int, value: int) -> None:
        """Change a balance by a quantity and a value of any sign."""
        row = self.stock[place.pk, material_id]
        row.quantity += quantity
        row.value_minor += value
        if lot is None:
            return
        pair = (place.pk, lot.pk)
        if pair not in self.lots:
            self.lots[pair] = LotStock(place=place, lot=lot, quantity=0)
        self.lots[pair].quantity += quantity
        self.changed.add(pair)

    def save(self) -> None:
        """Write back what has changed."""
        Stock.objects.bulk_update(self.stock.values(), ["quantity", "value_minor"])
        lots = [self.lots[pair] for pair in sorted(self.changed)]
        LotStock.objects.bulk_update([row for row in lots if row.pk is not None], ["quantity"])
        LotStock.objects.bulk_create([row for row in lots if row.pk is None])


def lock(pairs: Iterable[Pair]) -> Books:
    """Lock the balances of these places and materials, making the rows that are missing.

    Always in the order of their numbers, so that two acts never wait for each other. The lots of a place and
    material are guarded by the lock of their balance.
    """
    wanted = sorted(set(pairs))
    rows = _locked(wanted)
    missing = [pair for pair in wanted if pair not in rows]
    if missing:
        fresh = [Stock(place_id=place_id, material_id=material_id) for place_id, material_id in missing]
        Stock.objects.bulk_create(fresh, ignore_conflicts=True)
        rows = _locked(wanted)
    lots = LotStock.objects.filter(
        place_id__in={place_id for place_id, _material in wanted},
        lot__material_id__in={material_id for _place, material_id in wanted},
    ).select_related("lot")
    return Books(stock=rows, lots={(row.place_id, row.lot_id): row for row in lots})


def _locked(wanted: list[Pair]) -> dict[Pair, Stock]:
    rows = (
        Stock.objects.filter(
            place_id__in={place_id for place_id, _material in wanted},
            material_id__in={material_id for _place, material_id in wanted},
        )
        .order_by("place_id", "material_id")
        .select_for_update()
    )
    asked = set(wanted)
    return {(row.place_id, row.material_id): row for row in rows if (row.place_id, row.material_id) in asked}
