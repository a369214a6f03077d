"""Background jobs that were given up, put back by a person."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Stale
from projects.models import Outbox
from projects.services import outbox
from projects.services.acts import business_act


class NotGivenUp(Stale):
    """The job is done, or still being tried."""

    code = "not_given_up"


@dataclass(frozen=True)
class RetryAct:
    """A job to try again."""

    job_id: int


@business_act(result=Outbox)
def retry(*, actor: Actor, act: RetryAct, key: str, now: datetime) -> Outbox:
    """Put a job that was given up back to the waiting ones; refused when it was not given up."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    row = scope.get(Outbox.objects.select_for_update(), actor, pk=act.job_id)
    if row.failed_at is None or row.done_at is not None:
        raise NotGivenUp(
            _("This job is done, or it is still being tried. Only one that was given up is put back.")
        )
    outbox.retry(row, now=now)
    row.refresh_from_db()
    return row
