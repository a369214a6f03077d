"""Asking for a new reorder plan: after a change of what it is made from, and once for every new day."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Firm, Outbox
from projects.services import outbox

JOB = "inventory.plan"


def soon(firm_id: int, *, now: datetime) -> None:
    """Ask for the firm's plan to be made again, inside the transaction of the change."""
    outbox.ask_soon(firm_id=firm_id, job=JOB, now=now)


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


def again(*, actor: Actor, now: datetime) -> Outbox:
    """Ask for the plan at once: a job that was given up is tried again, else a new one is asked for."""
    actor.require(Permission.PLAN_ORDERS)
    with transaction.atomic():
        rows = scope.visible(Outbox.objects.filter(job=JOB, done_at=None), actor)
        given_up = rows.exclude(failed_at=None).order_by("-created_at", "-id").first()
        if given_up is not None:
            outbox.retry(given_up, now=now)
            return given_up
        return outbox.ask_soon(firm_id=actor.firm_id, job=JOB, now=now, delay=timedelta(0))
