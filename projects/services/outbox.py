"""The transactional outbox: jobs are asked for in the transaction that needs them, and done once."""

from __future__ import annotations

from contextvars import ContextVar
from datetime import datetime, timedelta
from typing import Any

from django.db import connection, transaction
from django.db.models import Q, QuerySet

from projects.models import Outbox

asked: ContextVar[bool] = ContextVar("asked", default=False)
"""True once this request or job has asked for a job: the doorbell rings after the commit."""

MAX_ATTEMPTS = 8
LEASE = timedelta(minutes=5)
GATHER = timedelta(seconds=5)
"""A short wait, so that a row of changes leads to one job."""


def ask(
    *, firm_id: int, job: str, key: str, payload: dict[str, Any], now: datetime, due_at: datetime
) -> Outbox:
    """Write a job into the outbox, inside the caller's transaction; a key asked twice is one job."""
    row, _created = Outbox.objects.get_or_create(
        key=key,
        defaults={"firm_id": firm_id, "job": job, "payload": payload, "created_at": now, "due_at": due_at},
    )
    asked.set(True)
    return row


def ask_soon(*, firm_id: int, job: str, now: datetime, delay: timedelta = GATHER) -> Outbox:
    """Ask for a job on a firm after a short delay that gathers changes: one waiting row serves them all.

    A row that a worker has already begun does not count as waiting, because it may have read the
    state before this change. The waiting row stays locked until this change is committed, so that no
    worker begins it before; one that another change has locked is passed over, and nobody waits.
    """
    payload = {"firm_id": firm_id}
    rows = Outbox.objects.filter(
        firm_id=firm_id, job=job, payload=payload, started_at=None, done_at=None, failed_at=None
    )
    waiting = _locked(rows).first()
    if waiting is not None:
        return waiting
    count = Outbox.objects.filter(firm_id=firm_id, job=job).count()
    key = f"{job}:{firm_id}:{now.isoformat()}:{count}"
    return ask(firm_id=firm_id, job=job, key=key, payload=payload, now=now, due_at=now + delay)


def anything_due(*, now: datetime) -> bool:
    """Say whether a job waits; a plain read that takes no lock."""
    return _due(now).exists()


def claim(*, now: datetime, lease: timedelta = LEASE) -> Outbox | None:
    """Take the next due job under a lease; None when nothing is due.

    Two workers never hold the same row: PostgreSQL skips locked rows, SQLite begins IMMEDIATE. A job
    whose worker died is due again when its lease has run out.
    """
    with transaction.atomic():
        row = _locked(_due(now).order_by("due_at", "id")).first()
        if row is None:
            return None
        row.started_at = row.started_at or now
        row.leased_until = now + lease
        row.attempts += 1
        row.save(update_fields=["started_at", "leased_until", "attempts"])
        return row


def finish(row: Outbox, *, now: datetime) -> None:
    """Mark a job done."""
    Outbox.objects.filter(pk=row.pk).update(done_at=now, leased_until=None, last_error="")


def fail(row: Outbox, *, error: str, now: datetime) -> None:
    """Record a failed attempt; the job is tried again later, and given up after MAX_ATTEMPTS."""
    given_up = row.attempts >= MAX_ATTEMPTS
    pause = timedelta(seconds=min(2**row.attempts, 600))
    Outbox.objects.filter(pk=row.pk).update(
        last_error=error[:2000],
        leased_until=None,
        due_at=now + pause,
        failed_at=now if given_up else None,
    )


def retry(row: Outbox, *, now: datetime) -> None:
    """Put a job that was given up back to the waiting ones, at a person's request."""
    Outbox.objects.filter(pk=row.pk, done_at=None).update(failed_at=None, attempts=0, due_at=now)
    asked.set(True)


def _due(now: datetime) -> QuerySet[Outbox]:
    free = Q(leased_until__isnull=True) | Q(leased_until__lte=now)
    return Outbox.objects.filter(free, done_at=None, failed_at=None, due_at__lte=now)


def _locked(rows: QuerySet[Outbox]) -> QuerySet[Outbox]:
    """Lock what nobody else has locked; SQLite has one writer at a time and needs no lock."""
    if connection.features.has_select_for_update_skip_locked:
        return rows.select_for_update(skip_locked=True)
    return rows
