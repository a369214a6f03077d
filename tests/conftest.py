"""What all tests share: the sizes of long checks, and a Redis server of the test run's own."""

import hashlib
import os
import shutil
import socket
import subprocess
import time
from pathlib import Path

import psycopg
import pytest
from django.conf import settings
from django.db import connection

ROOT = Path(__file__).resolve().parent.parent


def pytest_addoption(parser):
    parser.addoption("--full", action="store_true", help="run the long checks in their full size")


def pytest_configure():
    settings.RUN.mkdir(parents=True, exist_ok=True)


def pytest_unconfigure():
    # Processes of a parallel run end without their exit handlers.
    if settings.RUN.name.startswith("pourtally-test-"):
        shutil.rmtree(settings.RUN, ignore_errors=True)


@pytest.fixture
def full_size(request):
    """True when the long checks are to run in their full size."""
    return request.config.getoption("--full")


def _migrated():
    """Where an empty database lies once it has been migrated; another place for other migrations."""
    files = [*sorted(ROOT.glob("*/migrations/*.py")), ROOT / "inventory/models/triggers.py", ROOT / "uv.lock"]
    digest = hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:16]
    return ROOT / ".run" / f"migrated-for-tests-{digest}.sqlite3"


@pytest.fixture(scope="session")
def migrated(django_db_setup):
    """Where an empty database lies that has been migrated, if one is kept."""
    return _migrated()


@pytest.fixture(scope="session")
def django_db_keepdb(django_db_keepdb, django_db_modify_db_settings):
    """On SQLite start from the migrated database where there is one: migrating takes long."""
    if connection.vendor != "sqlite" or not _migrated().exists():
        return django_db_keepdb
    target = Path(connection.creation._get_test_db_name())
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(_migrated(), target)
    return True


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """Keep the migrated database for the next run."""
    kept, made = _migrated(), Path(connection.settings_dict["NAME"])
    if connection.vendor != "sqlite" or kept.exists() or not made.exists():
        return  # the last, where no test of the run needs a database
    kept.parent.mkdir(exist_ok=True)
    fresh = kept.with_suffix(f".{settings.RUN.name}")
    with django_db_blocker.unblock():
        shutil.copyfile(made, fresh)
    fresh.replace(kept)


@pytest.fixture(autouse=True)
def ledger_can_be_emptied(request):
    """Lift the ledger's triggers before a transactional test empties the tables; migrate puts them back."""
    marker = request.node.get_closest_marker("django_db")
    asked = bool(marker and marker.kwargs.get("transaction"))
    if not asked and not {"transactional_db", "live_server"} & set(request.fixturenames):
        yield
        return
    request.getfixturevalue("transactional_db")
    yield
    from inventory.models import triggers  # noqa: PLC0415 - models load only once Django is set up

    triggers.lift()


@pytest.fixture(scope="session")
def redis_url(tmp_path_factory):
    """The address of a real Redis server that is started for this run alone."""
    program = shutil.which("redis-server")
    assert program, "redis-server is not installed; `python3 manage.py test` installs what the tests need"
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    folder = tmp_path_factory.mktemp("redis")
    command = [program, "--port", str(port), "--bind", "127.0.0.1", "--dir", str(folder), "--save", ""]
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(command, stdout=log, stderr=log)
    try:
        _wait_for(port, server)
        yield f"redis://127.0.0.1:{port}/0"
    finally:
        server.terminate()
        server.wait(timeout=10)


@pytest.fixture
def postgres_url():
    """A database of its own on the PostgreSQL server of this test run."""
    server = os.environ["DATABASE_URL"]
    name = f"own_{os.getpid()}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    before, mark, query = server.partition("?")
    yield f"{before.rpartition('/')[0]}/{name}{mark}{query}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _wait_for(port, server):
    for _ in range(200):
        assert server.poll() is None, "redis-server ended at its start"
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    pytest.fail("redis-server did not answer within 10 s")
