"""Start-up checks: the service does not migrate on a database that could lose an acknowledged entry."""

from collections.abc import Sequence
from typing import Any

from django.core import checks
from django.core.checks import CheckMessage, Tags

from deploy import facts
from deploy.settings import sqlite as wanted

_FULL = 2


@checks.register(Tags.database)
def database_is_safe(*, databases: Sequence[str] | None = None, **_: Any) -> list[CheckMessage]:
    """Check each database that Django is about to use."""
    found: list[CheckMessage] = []
    for alias in databases or ():
        if facts.engine(alias) == "sqlite":
            found += sqlite_faults(facts.sqlite(alias))
        else:
            found += postgres_doubts(facts.postgres(alias))
    return found


def sqlite_faults(found: facts.SqliteFacts) -> list[CheckMessage]:
    """Every setting of a SQLite connection that is not what it must be."""
    journal = "memory" if found.in_memory else wanted.journal_mode()
    rules = [
        ("E001", found.transaction_mode == "IMMEDIATE", f"transaction_mode is {found.transaction_mode}"),
        ("E002", found.timeout_seconds >= 20, f"timeout is {found.timeout_seconds:g} s, under 20 s"),
        ("E003", found.synchronous == _FULL, f"synchronous is {found.synchronous}, not {_FULL} (FULL)"),
        ("E004", found.foreign_keys == 1, "foreign keys are not enforced"),
        ("E005", found.journal_mode == journal, f"journal_mode is {found.journal_mode}, not {journal}"),
        ("E006", found.mmap_size == 0, f"mmap_size is {found.mmap_size}, not 0"),
        ("E007", not found.atomic_requests, "ATOMIC_REQUESTS makes every page take the write lock"),
    ]
    hint = "deploy/settings/sqlite.py holds the settings that keep acknowledged entries."
    return [
        checks.Error(f"SQLite {found.version}: {text}.", hint=hint, id=f"deploy.{number}")
        for number, kept, text in rules
        if not kept
    ]


def postgres_doubts(settings: dict[str, str]) -> list[CheckMessage]:
    """Server settings under which a crash may lose an acknowledged entry."""
    return [
        checks.Warning(
            f"PostgreSQL: {name} is {value}.", hint="Use it for throw-away data only.", id="deploy.W010"
        )
        for name, value in settings.items()
        if value != "on"
    ]
