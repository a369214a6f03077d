"""Issuing cut pieces from the bench to the slab that they are cut for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.models import CuttingNeed, CuttingPlan, PieceIssue, Place, StockSlip, StockSlipLine
from inventory.queries.cutting import pieces
from inventory.queries.cutting.pieces import Row
from inventory.services import moments, places, posting, replan, texts
from inventory.services.posting import Posting, Stamp
from inventory.services.usage import NoLines, PourClosed
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Pour
from projects.services import numbers
from projects.services.acts import business_act

MOST_MARKS = 200


class OtherSlab(Refused):
    """Pieces that were cut for another slab."""

    code = "other_slab"


class NotAtBench(Stale):
    """More pieces than lie at the bench."""

    code = "not_at_bench"


@dataclass(frozen=True)
class PieceAct:
    """Pieces of one need of a plan."""

    need_id: int
    count: int


@dataclass(frozen=True)
class IssuePiecesAct:
    """Cut pieces carried from the bench to a pour's slab; without a time it is now.

    `sure_of_time` answers the question about a time long ago.
    """

    pour_id: int
    pieces: tuple[PieceAct, ...]
    given_to: str = ""
    happened_at: datetime | None = None
    sure_of_time: bool = False


@business_act(result=StockSlip)
def issue(*, actor: Actor, act: IssuePiecesAct, key: str, now: datetime) -> StockSlip:
    """Issue cut pieces to the pour's slab at the bench's average value.

    Refused for a closed pour, pieces of another slab (`other_slab`), and more than lie there
    (`not_at_bench`).
    """
    actor.require(Permission.MOVE_STOCK)
    pour = _open_pour(actor, pour_id=act.pour_id)
    chosen = _chosen(actor, act=act, pour=pour)
    happened_at = moments.settled(act.happened_at, now=now, sure=act.sure_of_time)
    bench_site = chosen[0][0].need.plan.site
    slip = StockSlip.objects.create(
        firm_id=actor.firm_id,
        site=pour.slab.site,
        kind=StockSlip.Kind.ISSUE,
        number=numbers.next_number(firm_id=actor.firm_id, kind="SL", now=now),
        pour=pour,
        given_to=texts.fitting(act.given_to, most=120, field="given_to"),
        happened_at=happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    lines = _lines(slip, chosen=chosen, source=places.of_site(bench_site, kind=Place.Kind.BENCH))
    StockSlipLine.objects.bulk_create(lines)
    PieceIssue.objects.bulk_create(PieceIssue(slip=slip, need=row.need, count=count) for row, count in chosen)
    stamp = Stamp(actor=actor, happened_at=happened_at, now=now, key=key)
    moved = posting.post([_posting(line, pour=pour) for line in lines], stamp=stamp)
    by_line = {line.pk: line for line in lines}
    for movement in moved:
        by_line[movement.slip_line_id or 0].value_minor += movement.value_minor
    StockSlipLine.objects.bulk_update(lines, ["value_minor"])
    replan.soon(actor.firm_id, now=now)
    return slip


def _open_pour(actor: Actor, *, pour_id: int) -> Pour:
    rows = Pour.objects.select_for_update(of=("self",), no_key=True).select_related("slab__site")
    pour = scope.get(rows, actor, pk=pour_id)
    if pour.state == Pour.State.CLOSED:
        message = _("%(pour)s is closed: its account no longer changes. Choose an open pour.")
        raise PourClosed(message % {"pour": pour}, field="pour_id")
    return pour


def _chosen(actor: Actor, *, act: IssuePiecesAct, pour: Pour) -> list[tuple[Row, int]]:
    """Find the pieces that are named, all of one bench; the plan is locked, so that none goes twice."""
    wanted = {one.need_id: one.count for one in act.pieces}
    if not 0 < len(act.pieces) <= MOST_MARKS or len(wanted) != len(act.pieces) or min(wanted.values()) <= 0:
        message = _("Name between 1 and %(most)s marks, each once and with more than 0 pieces.")
        raise NoLines(message % {"most": MOST_MARKS}, field="pieces")
    needs = [scope.get(CuttingNeed.objects.all(), actor, pk=pk) for pk in sorted(wanted)]
    _lock_plans({need.plan_id for need in needs})
    rows = {row.need.pk: row for plan_id in {n.plan_id for n in needs} for row in pieces.of_plan(plan_id)}
    chosen = [(rows[need.pk], wanted[need.pk]) for need in needs]
    if len({row.need.plan.site_id for row, _count in chosen}) > 1:
        raise OtherSlab(_("These pieces lie at two benches. Issue those of one bench at a time."))
    for row, count in chosen:
        if row.need.slab_id != pour.slab_id:
            message = _("Mark %(mark)s was cut for %(slab)s, not for %(pour)s.")
            params = {"mark": row.need.mark, "slab": row.need.slab.name, "pour": str(pour)}
            raise OtherSlab(message % params, field="pieces", **params)
        if count > row.at_bench:
            message = _("Of mark %(mark)s %(there)s pieces lie at the bench; you asked for %(count)s.")
            figures = {"there": row.at_bench, "count": count}
            words = message % {"mark": row.need.mark, **figures}
            raise NotAtBench(words, field="pieces", mark=row.need.mark, **figures)
    return chosen


def _lock_plans(plan_ids: set[int]) -> None:
    list(CuttingPlan.objects.select_for_update().filter(pk__in=plan_ids).order_by("pk"))


def _lines(slip: StockSlip, *, chosen: list[tuple[Row, int]], source: Place) -> list[StockSlipLine]:
    """Write one line for each size; the marks stand beside it as they were carried."""
    lengths: defaultdict[int, int] = defaultdict(int)
    materials = {row.need.material_id: row.need.material for row, _count in chosen}
    for row, count in chosen:
        lengths[row.need.material_id] += row.need.length_mm * count
    assert slip.pour is not None  # noqa: S101 - an issue names its pour
    target = places.slab(slip.pour.slab)
    return [
        StockSlipLine(
            slip=slip,
            position=position,
            material=materials[pk],
            source=source,
            target=target,
            quantity=lengths[pk],
            value_minor=0,
        )
        for position, pk in enumerate(sorted(lengths), start=1)
    ]


def _posting(line: StockSlipLine, *, pour: Pour) -> Posting:
    return Posting(
        material=line.material,
        source=line.source,
        target=line.target,
        quantity=line.quantity,
        reason=posting.Reason.ISSUE,
        pour=pour,
        slip_line=line,
    )
