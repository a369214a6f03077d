"""What every slab has cost and will cost, adding up to the ledger to the last minor unit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db.models import Sum

from inventory.calc import spend
from inventory.calc.costing import Pool
from inventory.calc.spend import Amounts, Papers
from inventory.models import Place, Stock
from inventory.queries import slab_bills, slab_facts, slab_sources
from inventory.queries.slab_bills import Standing
from inventory.queries.slab_rows import Figures, SlabRow
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Site, Slab

MM2_IN_M2 = 1_000_000
CM3_IN_M3 = 1_000_000
PAGE = 50
SOURCES = (Place.Kind.SUPPLIER, Place.Kind.OPENING)


@dataclass(frozen=True)
class MaterialSpend:
    """One material of a slab."""

    figures: Figures
    amounts: Amounts


@dataclass(frozen=True)
class SlabSpend:
    """One slab: its sums, its materials, and its forecast per m² of slab and m³ of concrete."""

    row: SlabRow
    amounts: Amounts
    materials: tuple[MaterialSpend, ...]

    @property
    def per_m2(self) -> Fraction | None:
        """Forecast per square metre of the bill's area, None without one."""
        area = self.row.bill.area_mm2 if self.row.bill else 0
        return spend.per_measure(self.amounts.forecast, measured=area, per=MM2_IN_M2) if area else None

    @property
    def per_m3(self) -> Fraction | None:
        """Forecast per cubic metre of the bill's concrete, None without one."""
        volume = self.row.bill.volume_cm3 if self.row.bill else 0
        return spend.per_measure(self.amounts.forecast, measured=volume, per=CM3_IN_M3) if volume else None


@dataclass(frozen=True)
class Whereabouts:
    """Where the value of everything bought and brought in lies now, in minor units.

    bought = on slabs + wasted for slabs + in other works + in stores + lost otherwise, always.
    """

    bought: int
    on_slabs: int
    wasted_for_slabs: int
    other_works: int
    in_stores: int
    lost_otherwise: int


@dataclass(frozen=True)
class SiteSpend:
    """The sums of the slabs of one site, and what other works of it have used."""

    site: Site
    slabs: int
    amounts: Amounts
    other_works: int


@dataclass(frozen=True)
class Spend:
    """A page of slabs, those furthest over their budget first, and the sums of all.

    The open orders and the hire still planned are worth the total's `committed` and `committed_for_stock`,
    which is for no pour. The total's `used` is on the slabs, wasted for them, or `hired_for_slabs`. For who
    sees every site, the total's `billed`, `for_no_slab` and what is held add up to the suppliers' bills, and
    the total's `paid`, `for_no_slab` and what is in advance to the payments (`standing`).
    """

    slabs: tuple[SlabSpend, ...]
    of_all: int
    total: Amounts
    committed_for_stock: int
    whereabouts: Whereabouts
    hired_for_slabs: int
    hired_for_no_slab: int
    by_site: tuple[SiteSpend, ...]
    for_no_slab: Papers
    standing: Standing | None


def of_firm(actor: Actor, *, today: date, start: int = 0, count: int = PAGE) -> Spend:
    """What have the slabs cost up to today, against what budget; refused to those who may not see money."""
    actor.require(Permission.SEE_MONEY)
    facts = slab_facts.gather(actor, money_on=today)
    slabs = [_slab(row, figures=facts.by_slab.get(row.slab.pk, ())) for row in facts.slabs]
    slabs.sort(key=lambda one: (-one.amounts.over_budget, one.row.slab.site.name, one.row.slab.name))
    total = spend.total(one.amounts for one in slabs)
    wasted = sum(part.figures.wasted_value for one in slabs for part in one.materials)
    return Spend(
        slabs=tuple(slabs[start : start + count]),
        of_all=len(slabs),
        total=total,
        committed_for_stock=sum(pool.value for pool in slab_sources.loose_orders(actor).values()),
        whereabouts=_whereabouts(actor, wasted_for_slabs=wasted),
        hired_for_slabs=sum(part.figures.hired.cost for one in slabs for part in one.materials),
        hired_for_no_slab=facts.hired.for_no_slab_minor,
        by_site=_by_site(slabs, other_works=_other_works(actor)),
        for_no_slab=facts.for_no_slab if actor.site_ids is None else Papers(),
        standing=slab_bills.standing(actor) if actor.site_ids is None else None,
    )


def of_slab(actor: Actor, slab_id: int, *, today: date) -> SlabSpend:
    """What has this slab cost, by material; refused with NotFound when it is not the actor's to see."""
    actor.require(Permission.SEE_MONEY)
    slab = scope.get(Slab.objects.all(), actor, pk=slab_id)
    facts = slab_facts.gather(actor, site_id=slab.site_id, money_on=today)
    row = next(row for row in facts.slabs if row.slab.pk == slab.pk)
    return _slab(row, figures=facts.by_slab.get(slab.pk, ()))


def _other_works(actor: Actor) -> dict[int, int]:
    """Add up what works beside slabs have used, by site, in minor units."""
    rows = scope.visible(Stock.objects.filter(place__kind=Place.Kind.OTHER_WORK), actor)
    by_site = rows.values_list("place__site_id").annotate(value=Sum("value_minor")).order_by("place__site_id")
    return {site_id or 0: value for site_id, value in by_site}


def _by_site(slabs: list[SlabSpend], *, other_works: dict[int, int]) -> tuple[SiteSpend, ...]:
    """Add up the slabs of each site, in the order of the sites' names."""
    sites = {one.row.slab.site_id: one.row.slab.site for one in slabs}
    amounts: dict[int, list[Amounts]] = {site_id: [] for site_id in sites}
    for one in slabs:
        amounts[one.row.slab.site_id].append(one.amounts)
    return tuple(
        SiteSpend(
            site=site,
            slabs=len(amounts[site.pk]),
            amounts=spend.total(amounts[site.pk]),
            other_works=other_works.get(site.pk, 0),
        )
        for site in sorted(sites.values(), key=lambda site: (site.name, site.pk))
    )


def _slab(row: SlabRow, *, figures: tuple[Figures, ...]) -> SlabSpend:
    materials = tuple(_material(one, finished=row.finished) for one in figures)
    return SlabSpend(row=row, amounts=spend.total(part.amounts for part in materials), materials=materials)


def _material(figures: Figures, *, finished: bool) -> MaterialSpend:
    hired, order = figures.hired, figures.open_order
    facts = spend.Facts(
        material=figures.material.code,
        budget=figures.budget,
        allowed=figures.allowed,
        rate=figures.rate,
        per=figures.per,
        used=figures.used + hired.used,
        to_use=max(figures.to_use - hired.used, hired.to_come),
        issued_value=figures.used_value + hired.cost,
        received_value=figures.received_value + hired.cost,
        open_order=Pool(order.quantity + hired.to_come, order.value + hired.cost_to_come),
        spare_order=figures.spare_order,
        on_hand=figures.on_hand,
        billed=figures.billed,
        paid=figures.paid,
        finished=finished and not hired.to_come,
    )
    return MaterialSpend(figures=figures, amounts=spend.amounts(facts))


def _whereabouts(actor: Actor, *, wasted_for_slabs: int) -> Whereabouts:
    """Add up the balance table by kind of place; what came in stands there as less than nothing."""
    rows = scope.visible(Stock.objects.all(), actor).values_list("place__kind")
    by_kind = dict(rows.annotate(value=Sum("value_minor")).order_by("place__kind"))
    bought = -sum(by_kind.pop(kind, 0) for kind in SOURCES)
    on_slabs = by_kind.pop(Place.Kind.SLAB, 0)
    other_works = by_kind.pop(Place.Kind.OTHER_WORK, 0)
    in_stores = sum(by_kind.pop(kind, 0) for kind in Place.GUARDED)
    return Whereabouts(
        bought=bought,
        on_slabs=on_slabs,
        wasted_for_slabs=wasted_for_slabs,
        other_works=other_works,
        in_stores=in_stores,
        lost_otherwise=sum(by_kind.values()) - wasted_for_slabs,
    )
