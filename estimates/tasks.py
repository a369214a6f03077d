"""Background jobs of estimates: each turns its payload into one service call and is safe to do twice."""

from __future__ import annotations

from datetime import datetime

from estimates.services import requirements
from projects.access import actor as actors


def derive_requirements(*, firm_id: int, key: str, now: datetime) -> None:
    """Derive the firm's dated needs again."""
    del key
    requirements.derive(actor=actors.for_jobs(firm_id), now=now)
