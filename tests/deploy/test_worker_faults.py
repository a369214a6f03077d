"""A worker that is killed and a broker that is emptied, again and again: no job is lost, none done twice."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import psycopg
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


@pytest.fixture
def postgres_url():
    """A database of its own on the PostgreSQL server of this test run."""
    server = os.environ["DATABASE_URL"]
    name = f"faults_{os.getpid()}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    before, mark, query = server.partition("?")
    yield f"{before.rpartition('/')[0]}/{name}{mark}{query}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def service(tmp_path, request):
    """A migrated database and the broker that the test asks for by parameter."""
    database, broker = request.param
    extra = {}
    if database == "postgresql":
        extra["DATABASE_URL"] = request.getfixturevalue("postgres_url")
    if broker == "redis":
        extra["REDIS_URL"] = request.getfixturevalue("redis_url")
    made = Service(tmp_path, extra)
    made.command("-m", "django", "migrate", "--verbosity", "0")
    yield made
    if made.worker and made.worker.poll() is None:
        made.kill()


SERVICES = [
    pytest.param(("sqlite", "folders"), id="sqlite-folders"),
    pytest.param(("sqlite", "redis"), id="sqlite-redis"),
]
if os.environ.get("DATABASE_URL"):
    SERVICES.append(pytest.param(("postgresql", "redis"), id="postgresql-redis", marks=pytest.mark.data))


@pytest.mark.worker
@pytest.mark.long
@pytest.mark.parametrize("service", SERVICES, indirect=True)
def test_each_job_is_done_exactly_once_though_workers_are_killed(service, full_size):
    count, kills = (500, 10) if full_size else (100, 3)
    seed = int(os.environ.get("POURTALLY_SEED") or time.time())
    chance = random.Random(seed)  # noqa: S311 - moments of kills, repeatable by their seed
    sys.stdout.write(f"POURTALLY_SEED={seed} repeats the moments of the kills\n")
    service.evaluate(f"jobs.ask({count})")

    service.start()
    for _ in range(kills):
        begun = service.runs()
        _wait_until(lambda: service.runs() > begun, what="a job to begin")  # noqa: B023 - called at once
        time.sleep(chance.uniform(0.02, 0.25))
        service.kill()
        service.empty_the_broker()
        assert service.runs() < count + kills, "the jobs were over before the kills; nothing was tried"
        service.start()
    _wait_until(lambda: service.runs() >= count and service.marks()["open"] == 0, what="all jobs to be done")

    assert service.marks() == {"marks": list(range(count)), "open": 0, "failed": 0}
    assert count <= service.runs() <= count + 2 * kills


def _wait_until(probe, *, what):
    end = time.monotonic() + LIMIT_SECONDS
    while time.monotonic() < end:
        if probe():
            return
        time.sleep(0.02)
    pytest.fail(f"waited {LIMIT_SECONDS} s in vain for {what}")
