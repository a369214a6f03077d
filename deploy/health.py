"""The health page: for a monitor and the person on call. No secret and no firm's data is on it."""

from typing import Any

from django.db import DatabaseError
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from deploy import clock, facts
from projects.queries import jobs

# The sweep comes every two seconds; a minute without one means that no worker is there.
LATE_SECONDS = 60


@require_safe
def page(request: HttpRequest) -> JsonResponse:
    """200 while pages work, 503 when the database is away; `status` also tells when the jobs are late."""
    del request
    try:
        return JsonResponse(_report())
    except DatabaseError as fault:
        return JsonResponse({"status": "down", "database": type(fault).__name__}, status=503)


def _report() -> dict[str, Any]:
    now = timezone.now()
    swept = clock.last_sweep()
    late = swept is None or (now - swept).total_seconds() > LATE_SECONDS
    counted = jobs.counts(now=now)
    return {
        "status": "jobs are late" if late else "ok",
        "database": facts.engine(),
        "journal_mode": facts.journal_mode(),
        "last_sweep": swept.isoformat() if swept else None,
        "jobs_waiting": counted.waiting,
        "jobs_given_up": counted.given_up,
    }
