"""The firm's limits, as they stand."""

from __future__ import annotations

from projects.access.actor import Actor
from projects.models import Firm


def of_firm(actor: Actor) -> Firm:
    """Which limits has the actor's firm."""
    return Firm.objects.get(pk=actor.firm_id)
