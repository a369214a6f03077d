"""The sources of a slab's figures, each added up in one query and keyed by slab and material.

What lies on a slab is read from the balance table; of the ledger only the entries of waste are added up.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import TypedDict

from django.db.models import Max, Sum

from estimates.models import BillLine
from inventory.calc import costing, shelf
from inventory.calc.costing import Pool
from inventory.calc.reorder.yard import Heap, Origin, Yard
from inventory.models import LotStock, OrderLine, Place, PurchaseOrder, ReceiptLine, Stock, ledger
from inventory.queries.order_rest import GOOD, GOOD_G, Asked
from projects.access import scope
from projects.access.actor import Actor

Key = tuple[int, int]
"""A slab, or a site, and a material, by their ids."""

Amount = tuple[int, int]
"""Stock units and minor units."""

NOTHING = Pool()

_ASKED = ("quantity", "mass_g", "good", "good_g")
"""What `Asked` is made from."""


class BillPart(TypedDict, total=False):
    """What a slab's bill says of a material."""

    net: int
    allowance: int
    budget: int
    rate: int
    rate_per: str


def bills(actor: Actor, *, slab_of_bill: dict[int, int]) -> dict[Key, BillPart]:
    """What do these bills allow of each material, and for how much."""
    rows = (
        scope.visible(BillLine.objects.filter(bill_id__in=slab_of_bill, material__isnull=False), actor)
        .values_list("bill_id", "material_id")
        .annotate(Sum("net"), Sum("allowance"), Sum("amount_minor"), Max("rate"), Max("rate_per"))
        .order_by("bill_id", "material_id")
    )
    return {
        (slab_of_bill[bill_id], material_id): BillPart(
            net=net, allowance=allowance, budget=budget, rate=rate, rate_per=rate_per
        )
        for bill_id, material_id, net, allowance, budget, rate, rate_per in rows
    }


def held(actor: Actor, *, slab_ids: list[int]) -> dict[Key, Amount]:
    """What was issued to each slab and has neither come back nor been lost."""
    rows = Stock.objects.filter(place__slab_id__in=slab_ids, place__kind=Place.Kind.SLAB)
    columns = ("place__slab_id", "material_id", "quantity", "value_minor")
    return {
        (slab_id, material_id): (quantity, value)
        for slab_id, material_id, quantity, value in scope.visible(rows, actor).values_list(*columns)
    }


def wasted(actor: Actor, *, slab_ids: list[int]) -> dict[Key, Amount]:
    """What was lost out of each slab; an entry that was taken back counts the other way.

    The places of waste are looked up first and each direction is asked for by itself, so that the ledger is
    read by its indexes of places and not as a whole.
    """
    places = list(
        scope.visible(Place.objects.filter(kind=Place.Kind.WASTE), actor).values_list("pk", flat=True)
    )
    moves = scope.visible(ledger.Movement.objects.all(), actor)
    lost = moves.filter(target_id__in=places, source__slab_id__in=slab_ids)
    back = moves.filter(source_id__in=places, target__slab_id__in=slab_ids)
    found: defaultdict[Key, Amount] = defaultdict(lambda: (0, 0))
    for sign, rows, slab in ((1, lost, "source__slab_id"), (-1, back, "target__slab_id")):
        sums = rows.values_list(slab, "material_id").annotate(Sum("quantity"), Sum("value_minor"))
        for slab_id, material_id, quantity, value in sums.order_by(slab, "material_id"):
            before = found[slab_id, material_id]
            found[slab_id, material_id] = (before[0] + sign * quantity, before[1] + sign * value)
    return dict(found)


def received(actor: Actor, *, slab_ids: list[int]) -> dict[Key, Amount]:
    """What was accepted against the orders of each slab's pours."""
    slab = "order_line__pour__slab_id"
    lines = ReceiptLine.objects.filter(receipt__reversed_at__isnull=True, **{f"{slab}__in": slab_ids})
    rows = (
        scope.visible(lines, actor)
        .values_list(slab, "material_id")
        .annotate(Sum("accepted"), Sum("value_minor"))
        .order_by(slab, "material_id")
    )
    return {(slab_id, material_id): (quantity, value) for slab_id, material_id, quantity, value in rows}


def orders(actor: Actor, *, slab_ids: list[int]) -> dict[Key, tuple[int, Pool]]:
    """What is ordered for each slab, in stock units, and what of it is to come; drafts are left out."""
    states = (*PurchaseOrder.OPEN, PurchaseOrder.State.CLOSED)
    lines = OrderLine.objects.filter(pour__slab_id__in=slab_ids, order__state__in=states)
    rows = (
        scope.visible(lines, actor)
        .annotate(good=GOOD, good_g=GOOD_G)
        .order_by("id")
        .values_list("pour__slab_id", "material_id", "order__state", "amount_minor", *_ASKED)
    )
    ordered: defaultdict[Key, int] = defaultdict(int)
    to_come: defaultdict[Key, list[Pool]] = defaultdict(list)
    for slab_id, material_id, state, amount, *asked in rows:
        line = Asked(*asked)
        ordered[slab_id, material_id] += line.quantity
        if state in PurchaseOrder.OPEN:
            to_come[slab_id, material_id].append(_rest(Pool(line.quantity, amount), come=line.filled))
    return {key: (quantity, _together(to_come[key])) for key, quantity in ordered.items()}


def loose_orders(actor: Actor, *, site_ids: set[int] | None = None) -> dict[Key, Pool]:
    """What is to come to these sites, or all, that was ordered for no pour; by site and material."""
    lines = OrderLine.objects.filter(pour=None, order__state__in=PurchaseOrder.OPEN)
    if site_ids is not None:
        lines = lines.filter(order__site_id__in=site_ids)
    rows = (
        scope.visible(lines, actor)
        .annotate(good=GOOD, good_g=GOOD_G)
        .order_by("id")
        .values_list("order__site_id", "material_id", "amount_minor", *_ASKED)
    )
    found: defaultdict[Key, list[Pool]] = defaultdict(list)
    for site_id, material_id, amount, *asked in rows:
        line = Asked(*asked)
        found[site_id, material_id].append(_rest(Pool(line.quantity, amount), come=line.filled))
    return {key: _together(pools) for key, pools in found.items()}


def stores(actor: Actor, *, site_ids: set[int]) -> dict[Key, Pool]:
    """What do the store and the bench of each site hold, by site and material."""
    rows = Stock.objects.filter(place__kind__in=Place.YARD, place__site_id__in=site_ids, quantity__gt=0)
    columns = ("place__site_id", "material_id")
    sums = scope.visible(rows, actor).values_list(*columns).annotate(Sum("quantity"), Sum("value_minor"))
    return {
        (site_id, material_id): Pool(quantity, value)
        for site_id, material_id, quantity, value in sums.order_by(*columns)
        if site_id is not None
    }


def heaps(actor: Actor, *, site_ids: set[int], pools: dict[Key, Pool]) -> dict[Key, Yard]:
    """Split what each store holds by the last day of its use; what has no lot, or no last day, keeps."""
    rows = LotStock.objects.filter(
        place__kind__in=Place.YARD,
        place__site_id__in=site_ids,
        quantity__gt=0,
    )
    columns = (
        "place__site_id",
        "lot__material_id",
        "quantity",
        "lot__made_date",
        "lot__material__shelf_days",
        "lot__tested_until",
        "lot__failed_date",
    )
    found: defaultdict[Key, list[Heap]] = defaultdict(list)
    for site_id, material_id, quantity, *facts in scope.visible(rows, actor).values_list(*columns):
        made, days, tested_until, failed_on = facts
        last = shelf.last_day(made=made, shelf_days=days, tested_until=tested_until, failed_on=failed_on)
        if last is not None:
            found[site_id or 0, material_id].append(_heap(quantity, until=last))
    for key, pool in pools.items():
        undated = pool.quantity - sum(heap.quantity for heap in found[key])
        if undated > 0:
            found[key].append(_heap(undated))
    return {key: tuple(listed) for key, listed in found.items()}


def _heap(quantity: int, *, until: date | None = None) -> Heap:
    return Heap(origin=Origin.STOCK, quantity=quantity, usable_until=until)


def _rest(line: Pool, *, come: int) -> Pool:
    if come <= 0:
        return line
    return NOTHING if come >= line.quantity else costing.issue(line, quantity=come)[0]


def _together(pools: list[Pool]) -> Pool:
    return Pool(sum(pool.quantity for pool in pools), sum(pool.value for pool in pools))
