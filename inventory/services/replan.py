"""Asking for a new reorder plan: after a change of what it is made from, and once for every new day.

With the plan of the day goes a letter to those who order, when there is something that cannot wait.
"""

from __future__ import annotations

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Firm, Outbox
from projects.services import outbox

JOB = "inventory.plan"
LETTER = "inventory.morning_letter"
LETTER_AT = time(6)
"""The hour in the firm's own time: before the yard opens, and after the night's plan."""


def soon(firm_id: int, *, now: datetime) -> None:
    """Ask for the firm's plan to be made again, inside the transaction of the change."""
    outbox.ask_soon(firm_id=firm_id, job=JOB, now=now)


def every_firm(*, now: datetime) -> None:
    """Ask for plan and letter of each firm's day; the key names firm and day: asking again adds nothing."""
    for firm_id, name in Firm.objects.order_by("pk").values_list("pk", "time_zone"):
        zone = ZoneInfo(name)
        day = now.astimezone(zone).date()
        morning = datetime.combine(day, LETTER_AT, tzinfo=zone)
        payload = {"firm_id": firm_id}
        dated = payload | {"day": day.isoformat()}
        for job, due_at, given in ((JOB, now, payload), (LETTER, max(now, morning), dated)):
            key = f"{job}:{firm_id}:{day.isoformat()}"
            outbox.ask(firm_id=firm_id, job=job, key=key, payload=given, now=now, due_at=due_at)


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
