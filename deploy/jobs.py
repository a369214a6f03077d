"""Which function does which job of the outbox. Apps ask for a job by its name alone."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

JOBS = {
    "estimates.requirements": "estimates.tasks.derive_requirements",
    "inventory.plan": "inventory.tasks.make_plan",
    "inventory.cut_plan": "inventory.tasks.cut_plan",
    "inventory.improve_plan": "inventory.tasks.improve_plan",
    "inventory.morning_letter": "inventory.tasks.morning_letter",
    "inventory.send_enquiry": "inventory.tasks.send_enquiry",
    "inventory.send_order": "inventory.tasks.send_order",
    "deploy.trial": "deploy.jobs.trial",
}

# Asks for what every firm gets once a day; run every hour, each of its jobs under a key with the date.
NIGHTLY = "inventory.tasks.plan_nightly"


class UnknownJobError(LookupError):
    """The outbox names a job that no function does."""


def find(name: str) -> Callable[..., Any]:
    """The function that does this job; it takes the payload's items, `key` and `now` by keyword."""
    dotted = (JOBS | settings.EXTRA_JOBS).get(name)
    if dotted is None:
        raise UnknownJobError(f"no function does the job {name!r}; known: {', '.join(sorted(JOBS))}")
    function: Callable[..., Any] = import_string(dotted)
    return function


def trial(*, key: str, now: datetime) -> None:
    """Does nothing: a start asks for it, to see that jobs are done."""
    del key, now
