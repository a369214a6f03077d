"""Database triggers that keep the ledger append-only, on SQLite and PostgreSQL."""

from typing import Any

from django.db import connections

TABLES = ("inventory_movement", "inventory_valueadjustment")


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
    names = ("update", "delete") if connection.vendor == "sqlite" else ("update", "delete", "truncate")
    _run(
        connection,
        [
            f"DROP TRIGGER IF EXISTS {table}_no_{name}{on.format(table=table)}"
            for table in TABLES
            for name in names
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
    names = ("update", "delete") if connection.vendor == "sqlite" else ("update", "delete", "truncate")
    wanted = [f"{table}_no_{name}" for table in TABLES for name in names]
    return [name for name in wanted if name not in found]


def _run(connection: Any, statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _sqlite() -> list[str]:
    return [
        f"CREATE TRIGGER IF NOT EXISTS {table}_no_{name.lower()} BEFORE {name} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'append-only: correct {table} by a reversal'); END"
        for table in TABLES
        for name in ("UPDATE", "DELETE")
    ]


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
