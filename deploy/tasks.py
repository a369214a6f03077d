"""The sweep: does what the outbox asks for, each job under its key, until it is done."""

import logging
import time

from django.conf import settings
from django.utils import timezone
from django.utils.module_loading import import_string

from deploy import bell, clock, jobs
from deploy.celery import app
from projects.services import outbox

logger = logging.getLogger(__name__)

# A sweep hands over after this long, so that its time limit never falls on a job that has just begun.
SWEEP_SECONDS = 20.0


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
        work(row)
        tried += 1
    return tried


@app.task(name="deploy.nightly")
def nightly() -> None:
    """Ask for the jobs of the day."""
    import_string(jobs.NIGHTLY)(now=timezone.now())


def work(row: outbox.Outbox) -> None:
    """Do one claimed job and write down how it went."""
    try:
        if row.attempts > outbox.MAX_ATTEMPTS:
            raise RuntimeError(f"the worker ended in the middle of this job {row.attempts - 1} times")  # noqa: TRY301 -- recorded below like any other failure
        jobs.find(row.job)(**row.payload, key=row.key, now=timezone.now())
    except Exception as fault:
        logger.warning("Job %s (%s) failed at attempt %s.", row.job, row.key, row.attempts, exc_info=True)
        outbox.fail(row, error=f"{type(fault).__name__}: {fault}", now=timezone.now())
    else:
        outbox.finish(row, now=timezone.now())
