"""kill -9 of web server and worker at random while phones record: nothing is lost, nothing counts twice."""

import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from itertools import count
from pathlib import Path

import psycopg
import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
PHONES = 6
SENT_AGAIN = 0.2
LIMIT_SECONDS = 120
TOKEN = "t" * 32
THEN = "2026-05-04T09:00:00Z"

WORKER = ["celery", "--app", "deploy.celery", "--quiet", "worker", "--beat", "--concurrency", "1"]
WORKER += ["--scheduler", "celery.beat:Scheduler", "--loglevel", "warning"]
WORKER += ["--without-gossip", "--without-mingle", "--without-heartbeat"]
WEB = ["gunicorn", "deploy.wsgi:application", "--worker-class", "gthread", "--workers", "2", "--threads", "4"]
WEB += ["--no-control-socket", "--log-level", "warning"]


class Service:
    """Web server and worker on a database, each of which can be killed and started again."""

    def __init__(self, folder, database_url):
        self.folder = folder
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        known = {k: v for k, v in os.environ.items() if k not in {"DATABASE_URL", "REDIS_URL"}}
        self.environment = known | {
            "DJANGO_SETTINGS_MODULE": "deploy.settings.test",
            "POURTALLY_RUN": str(folder),
            "POURTALLY_LEASE_SECONDS": "5",
            "PYTHONWARNINGS": "ignore",
            "TMPDIR": str(folder),
        }
        if database_url:
            self.environment["DATABASE_URL"] = database_url
        self.commands = {"web": [*WEB, "--bind", f"127.0.0.1:{self.port}"], "worker": WORKER}
        self.running = {}

    def start(self, name):
        """Start a process as the leader of a group."""
        with (self.folder / f"{name}.log").open("ab") as log:
            self.running[name] = subprocess.Popen(
                [sys.executable, "-m", *self.commands[name]],
                cwd=ROOT,
                env=self.environment,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )

    def kill(self, name):
        """Kill it with all its children, at once."""
        process = self.running.pop(name)
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()

    def ask(self, statement):
        """Return what a statement on the store gives, in a process of its own."""
        code = f"from tests.faults import store; print({statement})"
        command = [sys.executable, "-m", "django", "shell", "--verbosity", "0", "--command", code]
        return json.loads(subprocess.check_output(command, cwd=ROOT, env=self.environment))

    def migrate(self):
        """Make the tables."""
        command = [sys.executable, "-m", "django", "migrate", "--verbosity", "0"]
        subprocess.run(command, cwd=ROOT, env=self.environment, check=True)


class Phone(threading.Thread):
    """Records deliveries and issues one by one, and sends each until it is answered, as a phone does."""

    def __init__(self, name, *, service, store, chance):
        super().__init__(name=name, daemon=True)
        self.service, self.store, self.chance = service, store, chance
        self.answered, self.statuses, self.contradicted, self.faults = {}, Counter(), [], []
        self.stopped = threading.Event()

    def run(self):
        """Go on until told to stop; what was begun is ended."""
        for number in count():
            if self.stopped.is_set():
                return
            key = f"fire-{self.name}-{number}"
            kind = "slips/issues" if number % 4 == 3 else "receipts"
            self.answered[key] = self.send(kind, key)
            if self.chance.random() < SENT_AGAIN and self.send(kind, key) != self.answered[key]:
                self.contradicted.append(key)

    def send(self, kind, key):
        """Send an act until it is answered, and return the number of its document."""
        while True:
            try:
                status, answer = self._post(f"/api/v1/{kind}/", self._body(kind), key)
            except (OSError, http.client.HTTPException):
                status, answer = 0, None
            self.statuses[status] += 1
            if status not in {0, 201, 503}:
                self.faults.append(f"{kind} was answered {status}: {answer}")
                self.stopped.set()
                return None
            if status == 201:
                return answer["receipt" if kind == "receipts" else "slip"]["id"]
            time.sleep(0.05)

    def _body(self, kind):
        bags = {"material_id": self.store["material_id"], "pack_id": self.store["pack_id"]}
        if kind == "receipts":
            whole = {name: self.store[name] for name in ("site_id", "supplier_id")}
            return whole | {
                "happened_at": THEN,
                "sure_of_time": True,
                "lines": [bags | {"stated": 2, "found": 2}],
            }
        return {
            "pour_id": self.store["pour_id"],
            "happened_at": THEN,
            "sure_of_time": True,
            "lines": [bags | {"amount": 1}],
        }

    def _post(self, path, body, key):
        connection = http.client.HTTPConnection("127.0.0.1", self.service.port, timeout=20)
        headers = {
            "Content-Type": "application/json",
            "Idempotency-Key": key,
            "Cookie": f"sessionid={self.store['session']}; csrftoken={TOKEN}",
            "X-CSRFToken": TOKEN,
        }
        try:
            connection.request("POST", path, json.dumps(body), headers)
            answer = connection.getresponse()
            content = answer.read()
            return answer.status, json.loads(content) if answer.status != 500 else content
        finally:
            connection.close()


@pytest.fixture
def service(tmp_path):
    """The service on SQLite, or on a database of its own on the PostgreSQL of this test run."""
    server = os.environ.get("DATABASE_URL")
    url = _fresh_database(server, f"killed_{os.getpid()}") if server else ""
    made = Service(tmp_path, url)
    made.migrate()
    yield made
    for name in list(made.running):
        made.kill(name)
    if server:
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"DROP DATABASE killed_{os.getpid()} WITH (FORCE)")


@pytest.mark.worker
@pytest.mark.data
@pytest.mark.long
def test_nothing_is_lost_or_doubled_though_web_and_worker_are_killed(service, full_size):
    rounds = 50 if full_size else 6
    seed = int(os.environ.get("POURTALLY_SEED") or time.time())
    sys.stdout.write(f"POURTALLY_SEED={seed} repeats the moments of the kills\n")
    chance = random.Random(seed)  # noqa: S311 - moments of kills, repeatable by their seed
    store = service.ask("store.make()")
    service.start("web")
    service.start("worker")
    phones = [
        Phone(f"{n}", service=service, store=store, chance=random.Random(seed + n))  # noqa: S311 - as above
        for n in range(PHONES)
    ]
    for phone in phones:
        phone.start()

    for number in range(rounds):
        before = sum(len(phone.answered) for phone in phones)
        _wait_until(
            lambda: sum(len(phone.answered) for phone in phones) > before,  # noqa: B023 - called at once
            what="a record",
        )
        assert [fault for phone in phones for fault in phone.faults] == []
        time.sleep(chance.uniform(0.1, 1.2))
        names = ("web", "worker", "web") if number % 3 == 0 else (chance.choice(("web", "worker")),)
        for name in set(names):
            service.kill(name)
        for name in set(names):
            service.start(name)
    _stop(phones)
    _wait_until(lambda: service.ask("store.tell()")["open_jobs"] == 0, what="all jobs to be done")

    _check(service.ask("store.tell()"), phones=phones)


def _check(told, *, phones):
    """Compare what the phones were answered with what is on record."""
    answered = {key: pk for phone in phones for key, pk in phone.answered.items()}
    slips = sum(1 for key in answered if int(key.rpartition("-")[2]) % 4 == 3)
    receipts = len(answered) - slips
    statuses = sum((phone.statuses for phone in phones), Counter())
    sys.stdout.write(
        f"{receipts} receipts and {slips} issues recorded; answers by status: {dict(statuses)}\n"
    )

    assert [key for phone in phones for key in phone.contradicted] == []
    assert told["results"] == answered
    assert (told["receipts"], told["slips"], told["movements"]) == (receipts, slips, receipts + slips)
    assert told["bags"] == 2 * receipts - slips
    assert len(set(told["numbers"])) == receipts + 1
    assert told["numbers"][-1].rpartition("-")[2] == f"{_of_this_year(told['numbers']):04d}"
    assert (told["differences"], told["failed_jobs"], told["whole"]) == ([], [], True)
    assert [fault for phone in phones for fault in phone.faults] == []


def _of_this_year(numbers):
    """How many of the numbers are of the last one's year: without gaps, it is the last number."""
    year = numbers[-1].split("-")[1]
    return sum(1 for number in numbers if number.split("-")[1] == year)


def _stop(phones):
    for phone in phones:
        phone.stopped.set()
    for phone in phones:
        phone.join(timeout=LIMIT_SECONDS)
        assert not phone.is_alive(), f"phone {phone.name} was never answered"


def _fresh_database(server, name):
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    before, mark, query = server.partition("?")
    return f"{before.rpartition('/')[0]}/{name}{mark}{query}"


def _wait_until(probe, *, what):
    end = time.monotonic() + LIMIT_SECONDS
    while time.monotonic() < end:
        if probe():
            return
        time.sleep(0.05)
    pytest.fail(f"waited {LIMIT_SECONDS} s in vain for {what}")
