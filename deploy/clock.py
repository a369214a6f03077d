"""When the sweep last ran, for the health page. Kept in the cache: a note for people, never a record."""

from datetime import datetime

from django.core.cache import cache

_NAME = "last-sweep"


def note_sweep(now: datetime) -> None:
    """Remember that a sweep began."""
    cache.set(_NAME, now.isoformat(), timeout=None)


def last_sweep() -> datetime | None:
    """When a sweep last began; None when none has."""
    text = cache.get(_NAME)
    return datetime.fromisoformat(text) if text else None
