"""Database triggers that keep the ledger append-only, on SQLite and PostgreSQL."""

from typing import Any

from django.db import connections

TABLES = ("inventory_movement", "inventory_valueadjustment")

# What REPLACE takes for the same row: on SQLite it puts the new row in the place of the old one, and the
# trigger on DELETE does not see it.
_UNIQUE = {
    "inventory_movement": ("id", "key", "reverses_id"),
    "inventory_valueadjustment": ("id", "key"),
}
_NAMES = {"sqlite": ("update", "delete", "replace"), "postgresql": ("update", "delete", "truncate")}


def create(*, using: str = "default", **_kwargs: Any) -> None:
    """Put the triggers in place; safe to run any number of times."""
    connection = connections[using]
    if TABLES[0] not in connection.introspection.table_names():
        return
    statements = _sqlite() if connection.vendor == "sqlite" else _postgresql()
    _run(connection, statements)


def lift(*, using: str = "default") -> None:
    """Take the triggers away: for the teardown of transactional tests and for restoring a backup."""
    connection = connections[using]
    on = "" if connection.vendor == "sqlite" else " ON {table}"
    _run(
        connection,
        [
            f"DROP TRIGGER IF EXISTS {table}_no_{name}{on.format(table=table)}"
            for table in TABLES
            for name in _NAMES[connection.vendor]
        ],
    )


def missing(*, using: str = "default") -> list[str]:
    """Name the triggers that should be there and are not."""
    connection = connections[using]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        found = {row[0] for row in cursor.fetchall()}
    wanted = [f"{table}_no_{name}" for table in TABLES for name in _NAMES[connection.vendor]]
    return [name for name in wanted if name not in found]


def _run(connection: Any, statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _sqlite() -> list[str]:
    changed = [
        f"CREATE TRIGGER IF NOT EXISTS {table}_no_{name.lower()} BEFORE {name} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'append-only: correct {table} by a reversal'); END"
        for table in TABLES
        for name in ("UPDATE", "DELETE")
    ]
    replaced = [
        f"CREATE TRIGGER IF NOT EXISTS {table}_no_replace BEFORE INSERT ON {table} "
        f"WHEN {' OR '.join(_there(table, column=column) for column in _UNIQUE[table])} "
        f"BEGIN SELECT RAISE(ABORT, 'UNIQUE constraint failed: {table}, which is append-only'); END"
        for table in TABLES
    ]
    return [*changed, *replaced]


def _there(table: str, *, column: str) -> str:
    return f"EXISTS (SELECT 1 FROM {table} WHERE {column} = NEW.{column})"  # noqa: S608 - a table of ours


def _postgresql() -> list[str]:
    function = (
        "CREATE OR REPLACE FUNCTION inventory_append_only() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION 'append-only: correct by a reversal'; END $$"
    )
    triggers = [
        f"CREATE OR REPLACE TRIGGER {table}_no_{name.lower()} BEFORE {name} ON {table} "
        f"FOR EACH {level} EXECUTE FUNCTION inventory_append_only()"
        for table in TABLES
        for name, level in (("UPDATE", "ROW"), ("DELETE", "ROW"), ("TRUNCATE", "STATEMENT"))
    ]
    return [function, *triggers]
