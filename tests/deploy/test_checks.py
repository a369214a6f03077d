"""The settings that keep acknowledged entries are really on the connection, and a wrong one is found."""

import sqlite3
from dataclasses import replace

import pytest
from django.core.management import call_command
from django.db import connection

from deploy import checks, facts
from deploy.settings import sqlite

SAFE = facts.SqliteFacts(
    version="3.40.1",
    journal_mode=sqlite.journal_mode(),
    synchronous=2,
    foreign_keys=1,
    mmap_size=0,
    timeout_seconds=30.0,
    transaction_mode="IMMEDIATE",
    atomic_requests=False,
    in_memory=False,
)


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "sqlite", reason="reads the settings of a SQLite connection")
def test_this_connection_has_the_safe_settings():
    version = ".".join(str(part) for part in sqlite3.sqlite_version_info)

    assert facts.sqlite() == replace(SAFE, version=version)


@pytest.mark.data
@pytest.mark.django_db
def test_system_check_of_this_database_finds_no_fault(capsys):
    call_command("check", databases=["default"])

    assert "no issues" in capsys.readouterr().out or connection.vendor == "postgresql"


@pytest.mark.parametrize(
    ("changed", "number"),
    [
        ({"transaction_mode": None}, "deploy.E001"),
        ({"timeout_seconds": 5.0}, "deploy.E002"),
        ({"synchronous": 1}, "deploy.E003"),
        ({"foreign_keys": 0}, "deploy.E004"),
        ({"journal_mode": "off"}, "deploy.E005"),
        ({"mmap_size": 268435456}, "deploy.E006"),
        ({"atomic_requests": True}, "deploy.E007"),
    ],
)
def test_each_unsafe_setting_is_an_error(changed, number):
    assert [fault.id for fault in checks.sqlite_faults(replace(SAFE, **changed))] == [number]


def test_safe_settings_have_no_fault():
    assert checks.sqlite_faults(SAFE) == []


def test_postgres_that_may_lose_a_commit_is_warned_about():
    found = checks.postgres_doubts({"fsync": "off", "full_page_writes": "on", "synchronous_commit": "on"})

    assert [(doubt.id, doubt.msg) for doubt in found] == [("deploy.W010", "PostgreSQL: fsync is off.")]


# With and without the fix of the log's reset fault: SQLite's release notes of 3.51.3, 3.50.7 and 3.44.6.
@pytest.mark.parametrize(
    ("version", "mode"),
    [
        ((3, 40, 1), "delete"),
        ((3, 44, 5), "delete"),
        ((3, 44, 6), "wal"),
        ((3, 45, 9), "delete"),
        ((3, 50, 6), "delete"),
        ((3, 50, 7), "wal"),
        ((3, 51, 2), "delete"),
        ((3, 51, 3), "wal"),
        ((3, 52, 0), "wal"),
    ],
)
def test_write_ahead_log_is_used_only_where_it_is_safe(version, mode):
    assert sqlite.journal_mode(version) == mode
