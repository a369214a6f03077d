"""The sweep: does what the outbox asks for, each job under its key, until it is done."""

import logging
import time
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.module_loading import import_string

from deploy import bell, clock, jobs
from deploy.celery import app
from projects.services import outbox

logger = logging.getLogger(__name__)

# A sweep hands over after this part of its lease, so that its time limit never falls on a job just begun.
SWEEP_SECONDS = settings.OUTBOX_LEASE.total_seconds() / 10


@app.task(name="deploy.sweep")
def sweep() -> int:
    """Do every due job, one by one, and say how many were tried. Nothing due costs one plain read."""
    clock.note_sweep(timezone.now())
    tried = 0
    end = time.monotonic() + SWEEP_SECONDS
    while outbox.anything_due(now=timezone.now()):
        if time.monotonic() > end:
            bell.ring()
            break
        row = outbox.claim(now=timezone.now(), lease=settings.OUTBOX_LEASE)
        if row is None:
            break
        error = attempt(row.job, payload=row.payload, key=row.key, number=row.attempts)
        if error:
            outbox.fail(row, error=error, now=timezone.now())
        else:
            outbox.finish(row, now=timezone.now())
        tried += 1
    return tried


@app.task(name="deploy.nightly")
def nightly() -> None:
    """Ask for the jobs of the day."""
    import_string(jobs.NIGHTLY)(now=timezone.now())


def attempt(job: str, *, payload: dict[str, Any], key: str, number: int) -> str:
    """Do one job; the answer is empty when it was done, else what went wrong."""
    if number > outbox.MAX_ATTEMPTS:
        return f"the worker ended in the middle of this job {number - 1} times"
    try:
        jobs.find(job)(**payload, key=key, now=timezone.now())
    except Exception as fault:  # the outermost loop: whatever goes wrong is written on the row
        logger.warning("Job %s (%s) failed at attempt %s.", job, key, number, exc_info=True)
        return f"{type(fault).__name__}: {fault}"
    return ""
