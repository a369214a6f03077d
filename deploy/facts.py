"""What the database really does, read from the connection and not from the settings."""

from dataclasses import dataclass
from typing import Any

from django.db import connections


@dataclass(frozen=True)
class SqliteFacts:
    """Settings of one SQLite connection, as SQLite and Django report them."""

    version: str
    journal_mode: str
    synchronous: int
    foreign_keys: int
    mmap_size: int
    timeout_seconds: float
    transaction_mode: str | None
    atomic_requests: bool
    in_memory: bool


_POSTGRES_SETTINGS = ("fsync", "synchronous_commit", "full_page_writes")


def engine(alias: str = "default") -> str:
    """`sqlite` or `postgresql`."""
    return connections[alias].vendor


def sqlite(alias: str = "default") -> SqliteFacts:
    """Read the facts of a SQLite connection."""
    connection: Any = connections[alias]  # the backend's own attributes are asked for
    with connection.cursor() as cursor:

        def pragma(name: str) -> object:
            row = cursor.execute(f"PRAGMA {name}").fetchone()
            return row[0] if row else 0

        return SqliteFacts(
            version=".".join(str(part) for part in connection.Database.sqlite_version_info),
            journal_mode=str(pragma("journal_mode")).lower(),
            synchronous=int(str(pragma("synchronous"))),
            foreign_keys=int(str(pragma("foreign_keys"))),
            mmap_size=int(str(pragma("mmap_size"))),
            timeout_seconds=int(str(pragma("busy_timeout"))) / 1000,
            transaction_mode=connection.transaction_mode,
            atomic_requests=bool(connection.settings_dict["ATOMIC_REQUESTS"]),
            in_memory=connection.is_in_memory_db(),
        )


def postgres(alias: str = "default") -> dict[str, str]:
    """The server's settings on which the safety of a commit rests."""
    with connections[alias].cursor() as cursor:
        names = list(_POSTGRES_SETTINGS)
        cursor.execute("SELECT name, setting FROM pg_settings WHERE name = ANY(%s) ORDER BY name", [names])
        return dict(cursor.fetchall())


def journal_mode(alias: str = "default") -> str:
    """How commits reach the disk, in one word for the health page."""
    return sqlite(alias).journal_mode if engine(alias) == "sqlite" else "wal"
