"""What is on record for each slab and material: the figures that comparison and spend both judge.

Read in a fixed number of queries, whatever the number of slabs.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from django.db.models import OuterRef, Prefetch, Subquery

from estimates.models import Bill, Material, Rate
from inventory.calc import costing, money
from inventory.calc.costing import Pool
from inventory.models import Place
from inventory.queries import slab_sources
from inventory.queries.slab_sources import NOTHING, Key
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour, Slab

WHOLE_PPM = 1_000_000


@dataclass(frozen=True)
class SlabRow:
    """A slab with the bill that is its budget, None before one is issued.

    `place_id` is the slab as a place of the ledger, None before anything was issued to it.
    """

    slab: Slab
    bill: Bill | None
    finished: bool
    next_pour: date | None
    place_id: int | None


@dataclass(frozen=True)
class Figures:
    """One material of one slab: stock units and minor units.

    `used` is what was issued less what came back; the part of it that was lost is `wasted` again.
    """

    material: Material
    net: int = 0
    allowance: int = 0
    budget: int = 0
    rate: int | None = None
    rate_per: str = ""
    used: int = 0
    used_value: int = 0
    wasted: int = 0
    wasted_value: int = 0
    ordered: int = 0
    received: int = 0
    received_value: int = 0
    open_order: Pool = NOTHING
    on_hand: Pool = NOTHING

    @property
    def allowed(self) -> int:
        """Net and allowance, in stock units."""
        return self.net + self.allowance

    @property
    def per(self) -> int | Fraction:
        """Stock units in the unit that the rate prices."""
        if self.rate_per == Rate.Per.KILOGRAM:
            mass = self.material.nominal_mg_per_mm
            return money.stock_per("kg", stock_unit=self.material.stock_unit, grams_per_metre=mass)
        return self.material.show_factor


@dataclass(frozen=True)
class Facts:
    """Slabs in order of site and name, and the figures of each by material code."""

    slabs: tuple[SlabRow, ...]
    by_slab: dict[int, tuple[Figures, ...]] = field(default_factory=dict)


def gather(actor: Actor, *, site_id: int | None = None) -> Facts:
    """Read the facts of every slab that the actor sees, or of those of one site."""
    slabs = _slabs(actor, site_id=site_id)
    figures = _figures(actor, slabs=slabs)
    stores = slab_sources.stores(actor, site_ids={row.slab.site_id for row in slabs})
    _share_stores(figures, slabs=slabs, stores=stores)
    found: defaultdict[int, list[Figures]] = defaultdict(list)
    for key in sorted(figures, key=lambda key: (key[0], figures[key].material.code)):
        found[key[0]].append(figures[key])
    return Facts(slabs=slabs, by_slab={slab_id: tuple(rows) for slab_id, rows in found.items()})


def _figures(actor: Actor, *, slabs: Iterable[SlabRow]) -> dict[Key, Figures]:
    slab_of_bill = {row.bill.pk: row.slab.pk for row in slabs if row.bill is not None}
    ids = [row.slab.pk for row in slabs]
    materials = {row.pk: row for row in scope.visible(Material.objects.all(), actor)}
    bills = slab_sources.bills(actor, slab_of_bill=slab_of_bill)
    held = slab_sources.held(actor, slab_ids=ids)
    wasted = slab_sources.wasted(actor, slab_ids=ids)
    received = slab_sources.received(actor, slab_ids=ids)
    orders = slab_sources.orders(actor, slab_ids=ids)
    found = {}
    for key in {*bills, *held, *wasted, *received, *orders}:
        lost, lost_value = wasted.get(key, (0, 0))
        there, there_value = held.get(key, (0, 0))
        good, good_value = received.get(key, (0, 0))
        ordered, to_come = orders.get(key, (0, NOTHING))
        found[key] = Figures(
            material=materials[key[1]],
            **bills.get(key, {}),
            used=there + lost,
            used_value=there_value + lost_value,
            wasted=lost,
            wasted_value=lost_value,
            ordered=ordered,
            received=good,
            received_value=good_value,
            open_order=to_come,
        )
    return found


def _slabs(actor: Actor, *, site_id: int | None) -> tuple[SlabRow, ...]:
    issued = Bill.objects.filter(design__slab=OuterRef("pk"), state=Bill.State.ISSUED)
    rows = scope.visible(Slab.objects.all(), actor)
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    place = Place.objects.filter(slab=OuterRef("pk"), kind=Place.Kind.SLAB).order_by("id")
    rows = rows.annotate(
        bill_id=Subquery(issued.order_by("-issued_at", "-id").values("pk")[:1]),
        place_id=Subquery(place.values("pk")[:1]),
    )
    rows = rows.select_related("site").prefetch_related(
        Prefetch("pours", queryset=Pour.objects.order_by("pour_date", "id"))
    )
    listed = list(rows.order_by("site__name", "name", "id"))
    bills = Bill.objects.in_bulk([row.bill_id for row in listed if row.bill_id])
    return tuple(_slab_row(row, bill=bills.get(row.bill_id), place_id=row.place_id) for row in listed)


def _slab_row(slab: Slab, *, bill: Bill | None, place_id: int | None) -> SlabRow:
    pours = list(slab.pours.all())
    whole = sum(pour.share_ppm for pour in pours) >= WHOLE_PPM
    closed = bool(pours) and all(pour.state == Pour.State.CLOSED for pour in pours)
    to_come = [pour.pour_date for pour in pours if pour.state == Pour.State.PLANNED]
    return SlabRow(
        slab=slab,
        bill=bill,
        finished=slab.closed_at is not None or (whole and closed),
        next_pour=min(to_come, default=None),
        place_id=place_id,
    )


def _share_stores(
    figures: dict[Key, Figures], *, slabs: tuple[SlabRow, ...], stores: dict[Key, Pool]
) -> None:
    """Give each slab that is not finished its part of what its site's store holds, the next pour first."""
    of_slab: defaultdict[int, list[Key]] = defaultdict(list)
    for key in figures:
        of_slab[key[0]].append(key)
    for row in sorted(slabs, key=_turn):
        for key in [] if row.finished else of_slab[row.slab.pk]:
            place = (row.slab.site_id, key[1])
            wanted = figures[key].allowed - figures[key].used
            part, stores[place] = _part(stores.get(place, NOTHING), wanted=wanted)
            figures[key] = replace(figures[key], on_hand=part)


def _turn(row: SlabRow) -> tuple[date, int]:
    return (row.next_pour or date.max, row.slab.pk)


def _part(store: Pool, *, wanted: int) -> tuple[Pool, Pool]:
    quantity = min(wanted, store.quantity)
    if quantity <= 0:
        return NOTHING, store
    rest, value = costing.issue(store, quantity=quantity)
    return Pool(quantity, value), rest
