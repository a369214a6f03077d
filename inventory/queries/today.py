"""What waits for the actor today, in as few words as will do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, F

from inventory.models import OrderLine, PlanRun, PurchaseOrder, Suggestion
from inventory.queries import counts, deliveries, offline, plan
from inventory.queries.deliveries import ExpectedOrder
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Pour
from projects.queries import jobs, pours

MOST_POURS = 8
MOST_SUGGESTIONS = 5
MOST_DELIVERIES = 6


@dataclass(frozen=True)
class PourRow:
    """A pour to come: days until it, what is still to be ordered and what is on the way."""

    pour: Pour
    days: int
    to_order: int
    on_the_way: int

    @property
    def kind(self) -> str:
        """How the row is marked: enough, warning, or stop when its day has passed or nothing can wait."""
        if self.days < 0:
            return "stop"
        return "warning" if self.to_order else "enough"


@dataclass(frozen=True)
class Today:
    """The sheet of the day."""

    pours: tuple[PourRow, ...]
    to_close: tuple[Pour, ...]
    expected: tuple[ExpectedOrder, ...]
    suggestions: tuple[Suggestion, ...]
    suggestion_count: int
    late_count: int
    waiting_orders: tuple[PurchaseOrder, ...]
    jobs_given_up: int
    held_entries: int
    counts_to_approve: int
    planned_at: datetime | None


def sheet(actor: Actor, *, today: date) -> Today:
    """Gather what waits for this actor; what their role does not decide stays empty."""
    coming = pours.coming(actor, limit=MOST_POURS)
    decides = actor.can(Permission.PLAN_ORDERS)
    opened = _suggestions(actor, today=today)
    return Today(
        pours=tuple(_pour_rows(actor, coming=coming, opened=opened, today=today)),
        to_close=tuple(_to_close(actor)),
        expected=tuple(deliveries.expected(actor, today=today)[:MOST_DELIVERIES]),
        suggestions=tuple(opened[:MOST_SUGGESTIONS]) if decides else (),
        suggestion_count=len(opened) if decides else 0,
        late_count=sum(1 for row in opened if row.order_by_date < today) if decides else 0,
        waiting_orders=tuple(_waiting(actor)) if actor.can(Permission.APPROVE_LARGE_ORDERS) else (),
        jobs_given_up=_given_up(actor) if decides else 0,
        held_entries=offline.held_count(actor),
        counts_to_approve=counts.waiting_count(actor) if actor.can(Permission.APPROVE_COUNTS) else 0,
        planned_at=_planned(actor),
    )


def _suggestions(actor: Actor, *, today: date) -> list[Suggestion]:
    rows = scope.visible(
        Suggestion.objects.filter(state=Suggestion.State.OPEN, kind=Suggestion.Kind.BUY), actor
    )
    rows = rows.exclude(plan.later(today))
    return list(rows.select_related("site", "material", "pack", "supplier", "pour__slab"))


def _pour_rows(
    actor: Actor, *, coming: Iterable[Pour], opened: Iterable[Suggestion], today: date
) -> list[PourRow]:
    coming = list(coming)
    to_order = Counter(row.pour_id for row in opened)
    on_the_way = _on_the_way(actor, pour_ids=[pour.pk for pour in coming])
    return [
        PourRow(
            pour=pour,
            days=(pour.pour_date - today).days,
            to_order=to_order[pour.pk],
            on_the_way=on_the_way.get(pour.pk, 0),
        )
        for pour in coming
    ]


def _on_the_way(actor: Actor, *, pour_ids: list[int]) -> dict[int, int]:
    rows = scope.visible(OrderLine.objects.filter(pour_id__in=pour_ids), actor)
    open_lines = rows.filter(order__state__in=PurchaseOrder.OPEN).values("pour_id")
    counted = open_lines.annotate(orders=Count("order_id", distinct=True)).order_by("pour_id")
    return {row["pour_id"]: row["orders"] for row in counted}


def _to_close(actor: Actor) -> Iterable[Pour]:
    rows = scope.visible(Pour.objects.filter(state=Pour.State.POURED), actor)
    return rows.select_related("slab__site").order_by("poured_at", "id")[:MOST_POURS]


def _waiting(actor: Actor) -> Iterable[PurchaseOrder]:
    rows = scope.visible(PurchaseOrder.objects.filter(state=PurchaseOrder.State.DRAFT), actor)
    over = rows.filter(firm__approval_limit_minor__gt=0, total_minor__gt=F("firm__approval_limit_minor"))
    return over.select_related("site", "supplier").order_by("created_at", "id")[:MOST_DELIVERIES]


def _given_up(actor: Actor) -> int:
    return jobs.recent(actor).exclude(failed_at=None).filter(done_at=None).count()


def _planned(actor: Actor) -> datetime | None:
    run = scope.visible(PlanRun.objects.all(), actor).order_by("-finished_at", "-id").first()
    return run.finished_at if run else None
