"""A worker on a database and a broker of its own, which a test can kill and start again."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import redis

ROOT = Path(__file__).resolve().parent.parent.parent
LEASE_SECONDS = 5
LIMIT_SECONDS = 240

WORKER = [sys.executable, "-m", "celery", "--app", "deploy.celery", "--quiet", "worker", "--beat"]
WORKER += ["--scheduler", "celery.beat:Scheduler", "--concurrency", "2", "--loglevel", "warning"]
WORKER += ["--without-gossip", "--without-mingle", "--without-heartbeat"]


class Service:
    """A database with a worker process that can be started and killed."""

    def __init__(self, folder, extra):
        self.folder = folder
        self.worker = None
        self.environment = {
            **{k: v for k, v in os.environ.items() if k not in {"DATABASE_URL", "REDIS_URL"}},
            "DJANGO_SETTINGS_MODULE": "deploy.settings.test",
            "POURTALLY_RUN": str(folder),
            "POURTALLY_LEASE_SECONDS": str(LEASE_SECONDS),
            "PYTHONWARNINGS": "ignore",
            "TMPDIR": str(folder),
            **extra,
        }

    def command(self, *arguments):
        """Run a command of the project and return what it printed."""
        return subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env=self.environment,
            check=True,
            stdout=subprocess.PIPE,
            text=True,
        ).stdout

    def start(self):
        """Start a worker as the leader of a process group."""
        with (self.folder / "worker.log").open("ab") as log:
            self.worker = subprocess.Popen(
                WORKER, cwd=ROOT, env=self.environment, stdout=log, stderr=log, start_new_session=True
            )

    def kill(self):
        """Kill the worker with its children and its clock, at once."""
        os.killpg(self.worker.pid, signal.SIGKILL)
        self.worker.wait()

    def empty_the_broker(self):
        """Lose every message, as a Redis that is restarted without its file would."""
        if "REDIS_URL" in self.environment:
            with redis.Redis.from_url(self.environment["REDIS_URL"]) as broker:
                broker.flushall()
        for message in self.folder.glob("broker/queue/*.msg"):
            message.unlink()

    def runs(self):
        """How often the job's function began."""
        log = self.folder / "runs.log"
        return len(log.read_text(encoding="ascii").split()) if log.exists() else 0

    def marks(self):
        """What the jobs left in the database."""
        return json.loads(self.evaluate("print(jobs.marks())"))

    def evaluate(self, statement):
        """Run one statement of `tests.deploy.jobs` in a process of its own."""
        shell = ("-m", "django", "shell", "--verbosity", "0", "--command")
        return self.command(*shell, f"from tests.deploy import jobs; {statement}")


SERVICES = [
    pytest.param(("sqlite", "folders"), id="sqlite-folders"),
    pytest.param(("sqlite", "redis"), id="sqlite-redis"),
]
if os.environ.get("DATABASE_URL"):
    SERVICES.append(pytest.param(("postgresql", "redis"), id="postgresql-redis", marks=pytest.mark.data))


def wait_until(probe, *, what, seconds=LIMIT_SECONDS, every=0.02):
    """Look every so often until it is so."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if probe():
            return
        time.sleep(every)
    pytest.fail(f"waited {seconds} s in vain for {what}")
