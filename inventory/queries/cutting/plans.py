"""Cutting plans as people read them: the list, one plan with its patterns, and the bench."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Prefetch

from estimates.models import Material, Rate
from estimates.queries import takeoffs
from inventory.models import (
    Cut,
    CuttingPattern,
    CuttingPlan,
    CuttingResult,
    Lot,
    PatternPiece,
    Reservation,
)
from inventory.queries import paging
from inventory.queries.cutting import pieces
from inventory.queries.cutting.pieces import Row
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Outbox

PPM = 1_000_000
JOB = "inventory.cut_plan"


@dataclass(frozen=True)
class PatternRow:
    """A pattern with its pieces and the labels of the lots that are reserved for it."""

    row: CuttingPattern
    pieces: tuple[PatternPiece, ...]
    lots: tuple[str, ...]

    @property
    def left(self) -> int:
        """Bars still to be cut."""
        return self.row.bars - self.row.done


@dataclass(frozen=True)
class SizeSheet:
    """What a plan comes to for one size: masses in g at nominal mass, shares in ppm of the steel taken."""

    material: Material
    result: CuttingResult
    patterns: tuple[PatternRow, ...]

    @property
    def taken_mm(self) -> int:
        """All steel that goes under the saw."""
        row = self.result
        return row.pieces_mm + row.kept_mm + row.scrap_mm + row.blade_mm

    @property
    def lost_mm(self) -> int:
        """Scrap and what the blade takes."""
        return self.result.scrap_mm + self.result.blade_mm

    @property
    def lost_ppm(self) -> int:
        """The part of the steel taken that is lost."""
        return self.lost_mm * PPM // self.taken_mm

    @property
    def to_buy(self) -> dict[int, int]:
        """Bars still to be bought, by length."""
        found: defaultdict[int, int] = defaultdict(int)
        for one in self.patterns:
            if one.row.origin == CuttingPattern.Origin.BUY:
                found[one.row.bar_length_mm] += one.row.bars
        return dict(found)

    def mass_g(self, length_mm: int) -> int:
        """The nominal mass of a length, rounded down to the gram."""
        return length_mm * (self.material.nominal_mg_per_mm or 0) // 1_000


@dataclass(frozen=True)
class PlanSheet:
    """A plan with everything that is shown of it."""

    plan: CuttingPlan
    sizes: tuple[SizeSheet, ...]
    pieces: tuple[Row, ...]
    job_error: str

    @property
    def patterns(self) -> tuple[PatternRow, ...]:
        """All patterns in the order in which they are cut."""
        return tuple(one for size in self.sizes for one in size.patterns)

    @property
    def bars(self) -> int:
        """Bars and offcuts that the plan cuts."""
        return sum(one.row.bars for one in self.patterns)

    @property
    def done(self) -> int:
        """Bars and offcuts that are cut."""
        return sum(one.row.done for one in self.patterns)


@dataclass(frozen=True)
class Way:
    """One way of buying a size: bars by length, mass in g, its price, and what the best mix saves on it."""

    name: str
    bars: tuple[tuple[int, int], ...]
    mass_g: int
    amount_minor: int | None
    saving_g: int
    saving_minor: int | None
    kept_g: int | None
    suffices: bool


@dataclass(frozen=True)
class SizeAdvice:
    """What to buy of a size, beside three ways without the mix; empty when nothing has to be bought."""

    material: Material
    usual_mm: int
    percent: float
    ways: tuple[Way, ...]


def listing(
    actor: Actor, *, site_id: int | None = None, after: str = "", limit: int = paging.LIMIT
) -> Page[CuttingPlan]:
    """List cutting plans, newest first; paged by key."""
    rows = scope.visible(CuttingPlan.objects.all(), actor).select_related("site", "asked_by")
    if site_id is not None:
        rows = rows.filter(site_id=site_id)
    rows = rows.filter(paging.older(after, field="asked_at")).order_by("-asked_at", "-pk")
    limit = paging.bounded(limit)
    return paging.cut(
        rows[: limit + 1], limit=limit, cursor=lambda row: paging.write(row.asked_at, pk=row.pk)
    )


def state(actor: Actor, *, plan_id: int) -> CuttingPlan:
    """Return a plan by itself; NotFound when it is not the actor's."""
    return scope.get(CuttingPlan.objects.select_related("site"), actor, pk=plan_id)


def one(actor: Actor, *, plan_id: int) -> PlanSheet:
    """Show a plan with its patterns and pieces; NotFound when it is not the actor's."""
    rows = CuttingPlan.objects.select_related("site", "asked_by", "reserved_by")
    plan = scope.get(rows, actor, pk=plan_id)
    parts = PatternPiece.objects.select_related("need__slab")
    parts = parts.order_by("-need__length_mm", "need__position")
    patterns = plan.patterns.select_related("material").prefetch_related(Prefetch("pieces", queryset=parts))
    lots = _lots(plan)
    of_size: defaultdict[int, list[PatternRow]] = defaultdict(list)
    for row in patterns.order_by("position"):
        kind = (row.material_id, row.origin == CuttingPattern.Origin.OFFCUT, row.bar_length_mm)
        labels = () if row.origin == CuttingPattern.Origin.BUY else tuple(lots[kind])
        of_size[row.material_id].append(PatternRow(row=row, pieces=tuple(row.pieces.all()), lots=labels))
    results = plan.results.select_related("material").order_by("material__size_mm", "pk")
    return PlanSheet(
        plan=plan,
        sizes=tuple(
            SizeSheet(material=row.material, result=row, patterns=tuple(of_size[row.material_id]))
            for row in results
        ),
        pieces=tuple(pieces.of_plan(plan.pk)),
        job_error=_job_error(plan),
    )


def cuts(actor: Actor, *, plan_id: int) -> list[Cut]:
    """List the ticks of a plan, newest first, with the offcuts that they left."""
    rows = scope.visible(Cut.objects.filter(pattern__plan_id=plan_id), actor)
    offcuts = Lot.objects.order_by("pk")
    rows = rows.select_related("pattern__material", "pattern__plan", "recorded_by")
    return list(rows.prefetch_related(Prefetch("offcuts", queryset=offcuts)).order_by("-recorded_at", "-pk"))


def cut(actor: Actor, *, cut_id: int) -> Cut:
    """Return one tick; NotFound when it is not the actor's."""
    return scope.get(Cut.objects.select_related("pattern__plan__site"), actor, pk=cut_id)


def pattern(actor: Actor, *, pattern_id: int) -> CuttingPattern:
    """Return one pattern; NotFound when it is not the actor's."""
    return scope.get(CuttingPattern.objects.select_related("plan__site"), actor, pk=pattern_id)


def advice(actor: Actor, *, plan_id: int, day: date) -> list[SizeAdvice]:
    """What to buy for a plan, priced at the rates of the day for who may see money."""
    plan = state(actor, plan_id=plan_id)
    rates = takeoffs.rates_on(actor, day=day) if actor.can(Permission.SEE_MONEY) else {}
    rows = plan.results.select_related("material").order_by("material__size_mm", "pk")
    return [
        SizeAdvice(
            material=row.material,
            usual_mm=row.figures["advice"]["usual_mm"],
            percent=row.figures["advice"]["percent"],
            ways=_ways(row, rate=rates.get(row.material_id)),
        )
        for row in rows
        if row.figures.get("advice")
    ]


def _ways(row: CuttingResult, *, rate: Rate | None) -> tuple[Way, ...]:
    ways = row.figures["advice"]["ways"]
    best = ways["mix"]
    best_amount = _amount(best, row=row, rate=rate)
    found = []
    for name, way in ways.items():
        if way is None:
            continue
        amount = _amount(way, row=row, rate=rate)
        found.append(
            Way(
                name=name,
                bars=tuple((length, number) for length, number in way["bars"]),
                mass_g=way["mass_g"],
                amount_minor=amount,
                saving_g=way["mass_g"] - best["mass_g"],
                saving_minor=None if amount is None or best_amount is None else amount - best_amount,
                kept_g=way["kept_g"],
                suffices=way["suffices"],
            )
        )
    return tuple(found)


def _amount(way: dict[str, Any], *, row: CuttingResult, rate: Rate | None) -> int | None:
    length = sum(one * number for one, number in way["bars"])
    return None if rate is None else takeoffs.amount(length, material=row.material, rate=rate)


def _lots(plan: CuttingPlan) -> defaultdict[tuple[int, bool, int], list[str]]:
    """Name the lots that are reserved, by material, whether they are offcuts, and length."""
    found: defaultdict[tuple[int, bool, int], list[str]] = defaultdict(list)
    rows = Reservation.objects.filter(plan=plan).select_related("lot", "place__site").order_by("id")
    for row in rows:
        where = "" if row.place.site_id == plan.site_id else f", {row.place.site}"
        lot = row.lot
        found[lot.material_id, lot.offcut_since is not None, lot.bar_length_mm].append(f"{lot.label}{where}")
    return found


def _job_error(plan: CuttingPlan) -> str:
    """Say what stopped the worker, when the job was given up."""
    if plan.state not in CuttingPlan.RUNNING:
        return ""
    row = Outbox.objects.filter(key=f"{JOB}:{plan.pk}").exclude(failed_at=None).first()
    return "" if row is None else row.last_error
