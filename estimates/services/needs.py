"""Asking for the dated needs to be derived again, in the transaction that changed an input."""

from __future__ import annotations

from datetime import datetime

from projects.access.actor import Actor
from projects.services import outbox

JOB = "estimates.requirements"
PLAN = "inventory.plan"


def ask(actor: Actor, *, now: datetime) -> None:
    """Ask for the firm's dated needs; changes within a few seconds are gathered into one job."""
    outbox.ask_soon(firm_id=actor.firm_id, job=JOB, now=now)


def ask_for_plan(actor: Actor, *, now: datetime) -> None:
    """Ask for the firm's reorder plan, because its dated needs have changed."""
    outbox.ask_soon(firm_id=actor.firm_id, job=PLAN, now=now)
