"""Asking for a new reorder plan: after a change of what it is made from, and once for every new day."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from projects.models import Firm
from projects.services import outbox

JOB = "inventory.plan"
GATHER = timedelta(seconds=5)
"""A short wait, so that a row of changes leads to one run."""


def soon(firm_id: int, *, now: datetime) -> None:
    """Ask for the firm's plan to be made again, inside the transaction of the change."""
    outbox.ask_soon(firm_id=firm_id, job=JOB, payload={"firm_id": firm_id}, now=now, delay=GATHER)


def every_firm(*, now: datetime) -> None:
    """Ask for the plan of each firm's day; the key names firm and day, so that asking again adds nothing."""
    for firm_id, zone in Firm.objects.order_by("pk").values_list("pk", "time_zone"):
        day = now.astimezone(ZoneInfo(zone)).date()
        outbox.ask(
            firm_id=firm_id,
            job=JOB,
            key=f"{JOB}:{firm_id}:{day.isoformat()}",
            payload={"firm_id": firm_id},
            now=now,
            due_at=now,
        )
