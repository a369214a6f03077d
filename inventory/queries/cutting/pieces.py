"""Pieces of a plan: how many are cut, how many lie at the bench, and how many went to their slab."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, QuerySet, Sum

from inventory.models import CuttingNeed, CuttingPlan, PatternPiece, PieceIssue
from inventory.models.ledger import Movement
from projects.access import scope
from projects.access.actor import Actor


@dataclass(frozen=True)
class Row:
    """Pieces of a need: how many the plan cuts, are cut, and were issued to the slab."""

    need: CuttingNeed
    cut: int
    issued: int

    @property
    def at_bench(self) -> int:
        """Cut and not yet fixed."""
        return self.cut - self.issued

    @property
    def to_cut(self) -> int:
        """Still to be cut."""
        return self.need.count - self.cut


def of_plan(plan_id: int) -> list[Row]:
    """List the pieces of a plan that the caller has already been shown."""
    return _rows(list(_needs().filter(plan_id=plan_id)))


def for_slab(actor: Actor, *, slab_id: int) -> list[Row]:
    """List the pieces at a bench that are cut for a slab and not yet issued to it."""
    needs = scope.visible(CuttingNeed.objects.filter(slab_id=slab_id), actor)
    return [row for row in _rows(list(_in_full(needs))) if row.at_bench]


def of_slab(actor: Actor, *, slab_id: int) -> list[Row]:
    """List the pieces of a slab that are cut, or that a plan whose bars are reserved is to cut."""
    needs = scope.visible(CuttingNeed.objects.filter(slab_id=slab_id), actor)
    found = list(_in_full(needs.exclude(plan__state__in=CuttingPlan.PAPER)))
    return [row for row in _rows(found) if row.cut or row.need.plan.state == CuttingPlan.State.RESERVED]


def at_bench_of_site(actor: Actor, *, site_id: int) -> list[Row]:
    """List the pieces that lie at the bench of a site."""
    needs = scope.visible(CuttingNeed.objects.filter(plan__site_id=site_id), actor)
    return [row for row in _rows(list(_in_full(needs))) if row.at_bench]


def at_bench(*, plan_id: int) -> dict[int, int]:
    """Count the pieces of a plan at the bench, by need."""
    return {row.need.pk: row.at_bench for row in of_plan(plan_id)}


def moved(cut_id: int) -> list[Movement]:
    """Return the movements of a cut that the caller has already been shown."""
    rows = Movement.objects.filter(cut_id=cut_id).select_related("lot", "becomes", "material")
    return list(rows.order_by("recorded_at", "pk"))


def _needs() -> QuerySet[CuttingNeed]:
    return _in_full(CuttingNeed.objects.all())


def _in_full(rows: QuerySet[CuttingNeed]) -> QuerySet[CuttingNeed]:
    return rows.select_related("material", "slab__site", "plan__site").order_by("plan_id", "position")


def _rows(needs: list[CuttingNeed]) -> list[Row]:
    if not needs:
        return []
    ids = [need.pk for need in needs]
    cut = dict(
        PatternPiece.objects.filter(need_id__in=ids)
        .values_list("need_id")
        .annotate(n=Sum(F("per_bar") * F("pattern__done")))
        .order_by("need_id")
    )
    issued = dict(
        PieceIssue.objects.filter(need_id__in=ids, slip__reversed_at=None)
        .values_list("need_id")
        .annotate(n=Sum("count"))
        .order_by("need_id")
    )
    return [Row(need=need, cut=cut.get(need.pk, 0), issued=issued.get(need.pk, 0)) for need in needs]
