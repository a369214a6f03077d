"""What cannot wait on a morning: what should be ordered by now, what has not come, what comes too late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from inventory.models import Suggestion
from inventory.queries import deliveries, outlooks, plan
from inventory.queries.deliveries import ExpectedOrder
from inventory.queries.outlooks import PourLook
from inventory.queries.plan import LateLine
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.queries import people

MOST_ROWS = 20
"""Rows of each kind: a letter that cannot be read through is not read."""

SOON = timedelta(days=1)
"""What must be ordered by tomorrow is for today."""

NEAR = timedelta(days=7)
"""Pours of the week to come are named when they may run short."""


@dataclass(frozen=True)
class Letter:
    """What those who order read on a morning, the most pressing first."""

    day: date
    readers: tuple[str, ...]
    to_order: tuple[Suggestion, ...]
    not_come: tuple[ExpectedOrder, ...]
    too_late: tuple[LateLine, ...]
    doubtful: tuple[PourLook, ...]


def letter(actor: Actor, *, today: date) -> Letter | None:
    """Return the morning's letter; None when nobody reads it, or it would say nothing."""
    readers = tuple(people.addresses(actor, of=Permission.PLAN_ORDERS))
    if not readers:
        return None
    found = Letter(
        day=today,
        readers=readers,
        to_order=tuple(_to_order(actor, today=today)),
        not_come=tuple(row for row in deliveries.expected(actor, today=today) if row.late_days)[:MOST_ROWS],
        too_late=tuple(plan.late_lines(actor)[:MOST_ROWS]),
        doubtful=tuple(outlooks.doubtful(actor, until=today + NEAR)[:MOST_ROWS]),
    )
    return found if found.to_order or found.not_come or found.too_late or found.doubtful else None


def _to_order(actor: Actor, *, today: date) -> list[Suggestion]:
    pressing = Suggestion.objects.filter(
        state=Suggestion.State.OPEN, kind=Suggestion.Kind.BUY, order_by_date__lte=today + SOON
    )
    rows = scope.visible(pressing.exclude(plan.later(today)), actor)
    rows = rows.select_related("site", "material", "pack", "pour__slab")
    return list(rows.order_by("order_by_date", "need_date", "id")[:MOST_ROWS])
