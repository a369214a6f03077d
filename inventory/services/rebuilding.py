"""Compares the balance table with the ledger, and writes it anew from the ledger."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from inventory.models import LotStock, Stock
from inventory.queries import movements
from projects.models import Firm

Balances = dict[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True)
class Difference:
    """A balance that the ledger does not bear out: quantity and value as kept, and as the ledger has them."""

    table: str
    place_id: int
    item_id: int
    kept: tuple[int, int]
    ledger: tuple[int, int]


def firm_ids() -> list[int]:
    """List every firm: for upkeep of the whole service, never for a person."""
    return list(Firm.objects.order_by("pk").values_list("pk", flat=True))


def compare(firm_id: int) -> list[Difference]:
    """Find every balance of a firm that is not the sum of its movements; nothing is changed."""
    with transaction.atomic():
        return _differences(firm_id)


def rebuild(firm_id: int) -> list[Difference]:
    """Write the balances of a firm anew from the ledger and return what was wrong."""
    with transaction.atomic():
        list(
            Stock.objects.select_for_update()
            .filter(place__firm_id=firm_id)
            .order_by("place_id", "material_id")
        )
        found = _differences(firm_id)
        for difference in found:
            _mend(difference)
    return found


def _differences(firm_id: int) -> list[Difference]:
    stock = Stock.objects.filter(place__firm_id=firm_id)
    kept = {(row.place_id, row.material_id): (row.quantity, row.value_minor) for row in stock}
    found = _unlike("stock", kept=kept, ledger=movements.sums(firm_id))
    lots = LotStock.objects.filter(place__firm_id=firm_id)
    kept_lots = {(row.place_id, row.lot_id): (row.quantity, 0) for row in lots}
    in_ledger = {pair: (quantity, 0) for pair, quantity in movements.lot_sums(firm_id).items()}
    return found + _unlike("lot", kept=kept_lots, ledger=in_ledger)


def _unlike(table: str, *, kept: Balances, ledger: Balances) -> list[Difference]:
    nothing = (0, 0)
    return [
        Difference(table, *pair, kept.get(pair, nothing), ledger.get(pair, nothing))
        for pair in sorted(kept.keys() | ledger.keys())
        if kept.get(pair, nothing) != ledger.get(pair, nothing)
    ]


def _mend(difference: Difference) -> None:
    quantity, value = difference.ledger
    if difference.table == "stock":
        Stock.objects.update_or_create(
            place_id=difference.place_id,
            material_id=difference.item_id,
            defaults={"quantity": quantity, "value_minor": value},
        )
    else:
        LotStock.objects.update_or_create(
            place_id=difference.place_id, lot_id=difference.item_id, defaults={"quantity": quantity}
        )
