"""Jobs for the tests, and what a test asks of a database that it shares with a real worker."""

import json
import time

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from projects.models import AuditEntry, Firm, IdempotencyKey, Outbox
from projects.services import outbox


def leave_mark(*, number, key, now):
    """Leave one row for the key, however often it runs; each run is also counted in a file."""
    with (settings.RUN / "runs.log").open("a", encoding="ascii") as runs:
        runs.write(f"{number}\n")
    firm_id = Firm.objects.values_list("pk", flat=True).get()
    with transaction.atomic():
        _, is_first = IdempotencyKey.objects.get_or_create(
            firm_id=firm_id, key=key, defaults={"act": "mark", "fingerprint": "", "created_at": now}
        )
        if is_first:
            AuditEntry.objects.create(
                firm_id=firm_id, signed="worker", act="mark", subject_id=number, recorded_at=now
            )
    time.sleep(0.01)


def fail(*, key, now):
    """Fail, always."""
    del now
    raise RuntimeError(f"the job {key} cannot be done")


def ask(count):
    """Ask for this many marks, in one transaction."""
    firm = Firm.objects.first() or Firm.objects.create(name="Marks")
    now = timezone.now()
    with transaction.atomic():
        for number in range(count):
            outbox.ask(
                firm_id=firm.pk,
                job="deploy.leave_mark",
                key=f"mark:{number}",
                payload={"number": number},
                now=now,
                due_at=now,
            )


def marks():
    """What the jobs left, as JSON."""
    return json.dumps(
        {
            "marks": sorted(AuditEntry.objects.values_list("subject_id", flat=True)),
            "open": Outbox.objects.filter(done_at=None).count(),
            "failed": Outbox.objects.exclude(last_error="").count(),
        }
    )
