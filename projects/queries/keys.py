"""Keys of acts that were done: what tells an answer given again from a first one."""

from __future__ import annotations

from datetime import datetime

from projects.access import scope
from projects.access.actor import Actor
from projects.models import IdempotencyKey


def first_used_at(actor: Actor, *, key: str) -> datetime | None:
    """Return when the firm first did an act under this key; None when it never did."""
    rows = scope.visible(IdempotencyKey.objects.filter(key=key), actor)
    return rows.values_list("created_at", flat=True).first()
