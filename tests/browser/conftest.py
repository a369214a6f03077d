"""The real service, started as a newcomer would start it, and real browsers signed in to it."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from tests.browser.browser import CHROMIUM, FLAGS, Visitor

ROOT = Path(__file__).resolve().parents[2]
PASSWORDS = {"asha": "level-and-line-1", "imran": "level-and-line-2", "olive": "level-and-line-4"}
START_SECONDS = 240  # two of them start at once, on a machine that does other work too
MOST_SECONDS = 15  # for one step on a machine that does other work too
OURS = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "POURTALLY_DEMO")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """A service is shared by the tests of a worker; a parallel run has two, each with half of the work."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)
            apart = item.name.endswith("[asha]") or item.path.name == "test_phone.py"
            item.add_marker(pytest.mark.xdist_group("browser-office" if apart else "browser"))


@pytest.fixture(scope="package")
def looked_at(tmp_path_factory):
    """A folder with a file for each page that somebody was shown already, on whichever worker."""
    folder = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent
    found = folder / "looked-at"
    found.mkdir(exist_ok=True)
    return found


@pytest.fixture(scope="package")
def service(tmp_path_factory, migrated):
    """The address of the demo, with its web server, worker and data in a folder of this run's own.

    Its tables are there already, since that they are made at a start is tried elsewhere.
    """
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    folder = tmp_path_factory.mktemp("service")
    command = [sys.executable, "manage.py", "demo", "--port", str(port)]
    surroundings = {name: value for name, value in os.environ.items() if name not in OURS}
    surroundings |= {"POURTALLY_RUN": str(folder / "run")}
    if migrated.exists():
        (folder / "run").mkdir()
        shutil.copyfile(migrated, folder / "run/db.sqlite3")
    log = folder / "log"
    with log.open("wb") as out:
        running = subprocess.Popen(command, cwd=ROOT, env=surroundings, stdout=out, stderr=out)
    address = f"http://localhost:{port}"
    try:
        _wait_for(address, running=running, log=log)
        yield address
    finally:
        running.send_signal(signal.SIGTERM)
        running.wait(timeout=30)


def _wait_for(address, *, running, log):
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        assert running.poll() is None, log.read_text()
        try:
            with urllib.request.urlopen(f"{address}/sign-in/", timeout=5):  # noqa: S310 - our own address
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"the service did not answer within {START_SECONDS} s: {log.read_text()}")


@pytest.fixture(scope="package")
def chromium():
    """One real Chromium for all tests of this folder.

    It ends with them: while it runs, its event loop makes Django refuse the database to later tests.
    """
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def visitor(service, chromium):
    """Open a browser window for somebody: visitor("imran", width=320) is signed in already."""

    @contextmanager
    def visit(who, *, width=1280, dark=False, touch=False, script=True):
        context = chromium.new_context(
            base_url=service,
            viewport={"width": width, "height": 640 if width < 600 else 900},
            color_scheme="dark" if dark else "light",
            has_touch=touch,
            java_script_enabled=script,
            locale="en-GB",
        )
        context.set_default_timeout(MOST_SECONDS * 1000)
        try:
            seen = Visitor(context.new_page(), address=service)
            if who:
                seen.sign_in(who, password=PASSWORDS[who])
            yield seen
            assert seen.faults == []
        finally:
            context.close()

    return visit
