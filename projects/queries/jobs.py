"""Background jobs as the office and the person on call see them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from projects.access import scope
from projects.access.actor import Actor
from projects.models import Firm, Outbox


@dataclass(frozen=True)
class Counts:
    """How many jobs wait and how many were given up, over all firms."""

    waiting: int
    given_up: int


def counts(*, now: datetime) -> Counts:
    """Count what is due and not done, and what was given up; names no firm, so it needs no actor."""
    open_jobs = Outbox.objects.filter(done_at=None)
    return Counts(
        waiting=open_jobs.filter(failed_at=None, due_at__lte=now).count(),
        given_up=open_jobs.exclude(failed_at=None).count(),
    )


def recent(actor: Actor) -> QuerySet[Outbox]:
    """Return the firm's jobs, newest first."""
    return scope.visible(Outbox.objects.all(), actor).order_by("-created_at", "-id")


def is_done(key: str) -> bool:
    """Say whether the job under this key was done."""
    return Outbox.objects.filter(key=key, done_at__isnull=False).exists()


def any_firm_id() -> int | None:
    """Return a firm for a job that concerns none, such as the start's own trial; None without a firm."""
    return Firm.objects.order_by("id").values_list("id", flat=True).first()
