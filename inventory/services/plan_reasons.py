"""The supplier's terms behind a suggestion, as figures and texts that keep: only those that had a say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inventory.calc.reorder.deciding import Decided
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.telling import Told
from inventory.models import Offer, RateAgreement
from inventory.queries.plan_inputs import Item
from inventory.queries.plan_market import RATE


def terms(
    told: Told, *, decided: Decided, item: Item, market: Market, names: Mapping[str, str]
) -> dict[str, Any]:
    """Name the truck, the break, the least order, the days, the validity and the agreed rate of a lot.

    `names` are those of the materials by their codes.
    """
    seller = market.seller(told.quote.seller)
    found: dict[str, Any] = {}
    if decided.trip_cost:
        riders = [names[code] for code in decided.riders]
        found["trucks"] = {"count": decided.trucks, "cost_minor": decided.trip_cost // RATE, "with": riders}
    if decided.break_packs:
        found["break"] = {"from_packs": decided.break_packs, "first_price": decided.first_price}
    if decided.least_order:
        found["least_order"] = {
            "least_minor": decided.least_order // RATE,
            "value_minor": decided.order_value // RATE,
        }
    if decided.extra_packs and (decided.break_packs or decided.least_order or told.quote.minimum_packs > 1):
        found["extra_packs"] = decided.extra_packs
    if seller.order_days:
        found["order_days"] = sorted(seller.order_days)
    if seller.delivery_days:
        found["delivery_days"] = sorted(seller.delivery_days)
    return found | _price(told, item=item)


def _price(told: Told, *, item: Item) -> dict[str, Any]:
    row = item.sold.row(told.quote.key)
    if isinstance(row, RateAgreement):
        return {
            "agreement": {
                "id": row.pk,
                "number": row.number,
                "left": told.quote.most_packs,
                "valid_until": row.valid_until.isoformat(),
            }
        }
    if isinstance(row, Offer) and row.valid_until is not None:
        return {"valid_until": row.valid_until.isoformat()}
    return {}
