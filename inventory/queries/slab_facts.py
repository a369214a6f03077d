"""What is on record for each slab and material: the figures that comparison and spend both judge.

Read in a fixed number of queries, whatever the number of slabs.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from django.db.models import OuterRef, Prefetch, Subquery

from estimates.models import Bill, Material
from inventory.calc.spend import Papers
from inventory.models import Place
from inventory.queries import hires, slab_bills, slab_needs, slab_sources
from inventory.queries.hires import ForSlabs
from inventory.queries.slab_bills import Billed
from inventory.queries.slab_rows import NOT_HIRED, Figures, SlabRow
from inventory.queries.slab_sources import NOTHING, Key
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour, Slab

WHOLE_PPM = 1_000_000


@dataclass(frozen=True)
class Facts:
    """Slabs in order of site and name, and the figures of each by material code."""

    slabs: tuple[SlabRow, ...]
    by_slab: dict[int, tuple[Figures, ...]] = field(default_factory=dict)
    for_no_slab: Papers = field(default_factory=Papers)
    hired: ForSlabs = field(default_factory=ForSlabs)


def gather(actor: Actor, *, site_id: int | None = None, money_on: date | None = None) -> Facts:
    """Read the facts of every slab that the actor sees, or of those of one site.

    With `money_on` also what was billed and paid, and what is hired and costs until that day.
    """
    slabs = _slabs(actor, site_id=site_id)
    ids = [row.slab.pk for row in slabs]
    billed, hired = Billed(), ForSlabs()
    if money_on is not None:
        billed = slab_bills.of_slabs(actor, slab_ids=ids)
        hired = hires.for_slabs(actor, slab_ids=ids, today=money_on)
    figures = _figures(actor, slabs=slabs, billed=billed, hired=hired)
    slab_needs.settle(figures, slabs=slabs, actor=actor)
    found: defaultdict[int, list[Figures]] = defaultdict(list)
    for key in sorted(figures, key=lambda key: (key[0], figures[key].material.code)):
        found[key[0]].append(figures[key])
    return Facts(
        slabs=slabs,
        for_no_slab=billed.for_no_slab,
        hired=hired,
        by_slab={slab_id: tuple(rows) for slab_id, rows in found.items()},
    )


def _figures(
    actor: Actor, *, slabs: Iterable[SlabRow], billed: Billed, hired: ForSlabs
) -> dict[Key, Figures]:
    slab_of_bill = {row.bill.pk: row.slab.pk for row in slabs if row.bill is not None}
    ids = [row.slab.pk for row in slabs]
    materials = {row.pk: row for row in scope.visible(Material.objects.all(), actor)}
    bills = slab_sources.bills(actor, slab_of_bill=slab_of_bill)
    held = slab_sources.held(actor, slab_ids=ids)
    wasted = slab_sources.wasted(actor, slab_ids=ids)
    received = slab_sources.received(actor, slab_ids=ids)
    orders = slab_sources.orders(actor, slab_ids=ids)
    papers = billed.by_key
    found = {}
    for key in {*bills, *held, *wasted, *received, *orders, *papers, *hired.by_key}:
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
            billed=papers[key].billed if key in papers else 0,
            paid=papers[key].paid if key in papers else 0,
            hired=hired.by_key.get(key, NOT_HIRED),
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
        pours=tuple(pours),
    )
