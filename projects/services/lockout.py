"""Slows down guessing of passwords: five wrong ones lock a name at an address for fifteen minutes."""

from __future__ import annotations

import hashlib

from django.core.cache import cache

LIMIT = 5
SECONDS = 15 * 60


def is_locked(*, username: str, address: str) -> bool:
    """Say whether this name is locked at this address."""
    return int(cache.get(_key(username, address), 0)) >= LIMIT


def note_failure(*, username: str, address: str) -> None:
    """Count a wrong password; the time starts again with each."""
    key = _key(username, address)
    cache.set(key, int(cache.get(key, 0)) + 1, SECONDS)


def forget(*, username: str, address: str) -> None:
    """Forget the wrong passwords after a right one."""
    cache.delete(_key(username, address))


def _key(username: str, address: str) -> str:
    return "lockout-" + hashlib.sha256(f"{username}\n{address}".encode()).hexdigest()
