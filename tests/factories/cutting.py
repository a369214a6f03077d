"""Bars in store, a slab whose bill asks for pieces, and a plan in any state: for the tests of cutting."""

from __future__ import annotations

import time
from dataclasses import dataclass
from decimal import Decimal
from itertools import count
from typing import Any

from estimates.models import Bill, Material
from inventory.models import Cut, CuttingPattern, CuttingPlan, Lot, LotStock, Supplier
from inventory.services import deliveries, opening
from inventory.services.cutting import asking, bench, reserving, solving
from inventory.services.cutting.asking import AskAct
from inventory.services.cutting.bench import CutAct
from inventory.services.cutting.reserving import PlanAct
from inventory.services.cutting.settings import SettingsAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.opening import OpeningAct, OpeningLineAct
from projects.access import actor as actors
from projects.access.actor import Actor
from projects.models import Pour, Site, Slab
from tests.factories import estimates, inventory_orders
from tests.factories.cast import NOW, TODAY, Cast, cast

_keys = count(1)

FAST = SettingsAct(seconds=2)


def key() -> str:
    """A key that no other act has."""
    return f"cutting-{next(_keys)}"


@dataclass(frozen=True)
class Shop:
    """The cast with a supplier, steel by code, the porch roof with its bill and a pour."""

    cast: Cast
    supplier: Supplier
    steel: dict[str, Material]
    bill: Bill
    pour: Pour

    @property
    def slab(self) -> Slab:
        return self.bill.design.slab


def shop(**changes: Any) -> Shop:
    """A shop: 27 pieces of 2,960 mm in 10 mm, 3 of about 4.5 m in 16 mm unless the sheet is changed."""
    people = cast()
    kept = estimates.with_rates(people.alice)
    slab = estimates.slab(people.alice, site=people.site)
    drawn = estimates.design(people.alice, on=slab, **changes)
    bill = estimates.bill(people.alice, of=drawn, reason="R. Almqvist, by telephone: build as drawn.")
    return Shop(
        cast=people,
        supplier=inventory_orders.supplier(people.firm.pk, name="Tamrin Steel Yard"),
        steel={code: row for code, row in kept.items() if code.startswith("steel-")},
        bill=bill,
        pour=estimates.pour(people.alice, on=slab, day=TODAY),
    )


def receive(
    at: Shop, code: str, *, bars: int, length: int = 12_000, label: str = "", site: Site | None = None
) -> Lot:
    """Bars of one length that came, as one heat."""
    line = ReceiptLineAct(
        material_id=at.steel[code].pk,
        stated=Decimal(bars * length) / 1_000,
        found=Decimal(bars * length) / 1_000,
        unit="m",
        bar_length_mm=length,
        lot_label=label,
    )
    act = ReceiptAct(
        site_id=(site or at.cast.site).pk, supplier_id=at.supplier.pk, happened_at=NOW, lines=(line,)
    )
    found = deliveries.record(actor=at.cast.alice, act=act, key=key(), now=NOW)
    lot = found.lines.get().lot
    assert lot is not None
    return lot


def offcuts(at: Shop, code: str, *, length: int, number: int = 1, site: Site | None = None, now=NOW) -> Lot:
    """Offcuts that lay in the yard when the firm began."""
    label = f"rest {next(_keys)}"
    line = OpeningLineAct(
        material_id=at.steel[code].pk,
        amount=Decimal(number),
        value_minor=number * length,
        supplier_id=at.supplier.pk,
        lot_label=label,
        bar_length_mm=length,
        offcut=True,
    )
    act = OpeningAct(site_id=(site or at.cast.site).pk, happened_at=now, lines=(line,))
    opening.record(actor=at.cast.alice, act=act, key=key(), now=now)
    return Lot.objects.get(label=label)


def ask(at: Shop, *, by: Actor | None = None, **more: Any) -> CuttingPlan:
    """A plan that is asked for: of the shop's slab unless said otherwise."""
    facts = {"site_id": at.cast.site.pk, "slab_ids": (at.slab.pk,), "settings": FAST} | more
    return asking.ask(actor=by or at.cast.alice, act=AskAct(**facts), key=key(), now=NOW)


def proposed(at: Shop, **more: Any) -> CuttingPlan:
    """A plan that is worked out."""
    plan = ask(at, **more)
    return worked_out(plan)


def worked_out(plan: CuttingPlan) -> CuttingPlan:
    """The plan, searched as the worker does."""
    jobs = actors.for_jobs(plan.firm_id)
    return solving.work_out(actor=jobs, plan_id=plan.pk, now=NOW, clock=time.monotonic)


def reserved(at: Shop, **more: Any) -> CuttingPlan:
    """A plan whose bars are reserved."""
    plan = proposed(at, **more)
    return reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key=key(), now=NOW)


def cut(
    at: Shop, pattern: CuttingPattern, *, bars: int | None = None, by: Actor | None = None, **more
) -> Cut:
    """Bars of a pattern that are ticked; all that are left unless a number is named."""
    pattern.refresh_from_db()
    number = pattern.bars - pattern.done if bars is None else bars
    act = CutAct(**({"pattern_id": pattern.pk, "bars": number, "done_before": pattern.done} | more))
    return bench.cut(actor=by or at.cast.bob, act=act, key=key(), now=NOW)


def in_store(lot: Lot) -> int:
    """Stock units of a lot in stores."""
    return sum(LotStock.objects.filter(lot=lot, place__kind="store").values_list("quantity", flat=True))


def under_way(by: Actor, *, site: Site, slab: Slab, supplier: Supplier, mark: str) -> tuple[CuttingPlan, Cut]:
    """A plan of the slab's 10 mm bars with one pattern ticked, which left an offcut, and others open."""
    steel = Material.objects.get(firm=by.firm_id, code="steel-10")
    line = ReceiptLineAct(
        material_id=steel.pk, stated=Decimal(8), found=Decimal(8), pack_id=steel.packs.get(name="bar").pk
    )
    act = ReceiptAct(site_id=site.pk, supplier_id=supplier.pk, happened_at=NOW, lines=(line,))
    deliveries.record(actor=by, act=act, key=f"{mark}-bars", now=NOW)
    wanted = AskAct(site_id=site.pk, slab_ids=(slab.pk,), marks=("S1",), settings=FAST)
    plan = asking.ask(actor=by, act=wanted, key=f"{mark}-cutting", now=NOW)
    worked_out(plan)
    reserving.reserve(actor=by, act=PlanAct(plan_id=plan.pk), key=f"{mark}-reserve", now=NOW)
    pattern = plan.patterns.get(rest_kept=True)
    tick = CutAct(pattern_id=pattern.pk, bars=pattern.bars, done_before=0)
    cut = bench.cut(actor=by, act=tick, key=f"{mark}-tick", now=NOW)
    plan.refresh_from_db()
    return plan, cut
