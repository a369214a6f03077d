"""The README's first command, on an empty folder and on one that already has data."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.request
from contextlib import closing
from pathlib import Path

import pytest

from deploy.demo import address

ROOT = Path(__file__).resolve().parents[3]
OURS = {"DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "POURTALLY_DEMO"}


def start(folder, *arguments):
    environment = {key: value for key, value in os.environ.items() if key not in OURS}
    return subprocess.Popen(
        [sys.executable, str(ROOT / "manage.py"), "demo", *arguments],
        env={**environment, "POURTALLY_RUN": str(folder)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def answers(url):
    try:
        with urllib.request.urlopen(url, timeout=5) as answer:  # noqa: S310 - our own address
            return answer.status == 200
    except OSError:
        return False


def slabs(folder):
    with closing(sqlite3.connect(folder / "db.sqlite3")) as database:
        return database.execute("SELECT id, name FROM projects_slab ORDER BY id").fetchall()


def cutting_plans(folder):
    with closing(sqlite3.connect(folder / "db.sqlite3")) as database:
        rows = database.execute("SELECT state FROM inventory_cuttingplan ORDER BY number").fetchall()
    return [state for (state,) in rows]


@pytest.mark.worker
def test_demo_proves_itself_and_a_second_start_keeps_its_data(tmp_path):
    first, _ = start(tmp_path, "--check").communicate(timeout=300)
    assert "all is well" in first
    assert "Sign in as:" in first
    loaded = slabs(tmp_path)
    assert len(loaded) == 6

    port = address.any_free_port()
    second = start(tmp_path, "--port", str(port))
    url = f"http://127.0.0.1:{port}/health/"
    end = time.monotonic() + 60
    while not answers(url) and time.monotonic() < end:
        time.sleep(0.1)
    served = answers(url)
    while "asked" in cutting_plans(tmp_path) or "solving" in cutting_plans(tmp_path):
        assert time.monotonic() < end + 60
        time.sleep(0.1)
    third, _ = start(tmp_path, "--port", str(port)).communicate(timeout=60)
    second.send_signal(signal.SIGINT)
    said, _ = second.communicate(timeout=60)

    assert served
    assert f"Port {port} cannot be used" in third
    assert slabs(tmp_path) == loaded
    assert cutting_plans(tmp_path) == ["reserved", "proposed"]
    assert (second.returncode, answers(url)) == (0, False)
    assert "Stopped. The data stays" in said
