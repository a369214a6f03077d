"""SQLite as the embedded default: no acknowledged entry is lost, and writers wait for each other."""

import sqlite3
from pathlib import Path
from typing import Any

# Versions with the fix of the write-ahead log's reset fault, which could lose committed entries. Source: the
# SQLite release notes of 3.51.3 and its backports 3.50.7 and 3.44.6.
_FIXED_SINCE = (3, 51, 3)
_FIXED_BACKPORTS = {(3, 50): 7, (3, 44): 6}

TIMEOUT_SECONDS = 30


def journal_mode(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> str:
    """`wal` when the linked SQLite is safe with it, else `delete`."""
    release, patch = (version[0], version[1]), version[2]
    fixed = version >= _FIXED_SINCE or patch >= _FIXED_BACKPORTS.get(release, patch + 1)
    return "wal" if fixed else "delete"


def database(path: Path) -> dict[str, Any]:
    """Django's settings for a database in this file."""
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(path),
        "ATOMIC_REQUESTS": False,
        "OPTIONS": {
            "timeout": TIMEOUT_SECONDS,
            "transaction_mode": "IMMEDIATE",
            "init_command": (
                f"PRAGMA journal_mode={journal_mode()};PRAGMA synchronous=FULL;PRAGMA mmap_size=0;"
            ),
        },
    }
