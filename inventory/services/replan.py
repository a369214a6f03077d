"""Asking for a new reorder plan after a change of what it is made from."""

from __future__ import annotations

from datetime import datetime, timedelta

from projects.services import outbox

JOB = "inventory.plan"
GATHER = timedelta(seconds=5)
"""A short wait, so that a row of changes leads to one run."""


def soon(firm_id: int, *, now: datetime) -> None:
    """Ask for the firm's plan to be made again, inside the transaction of the change."""
    outbox.ask_soon(firm_id=firm_id, job=JOB, payload={"firm_id": firm_id}, now=now, delay=GATHER)
