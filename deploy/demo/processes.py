"""The two processes of the demo, run side by side; when one ends, both do."""

import os
import shlex
import sys
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from honcho import manager as honcho_manager
from honcho.manager import Manager

from deploy.demo.tls import Files

_STOP_SECONDS = 10  # a job at work gets this long to end; one that does not is done again later
_AS_ROOT = "You're running the worker with superuser privileges"  # no surprise on a bare container
_STOPPED_BY_HAND = {130, 143}  # what the runner reports after Ctrl-C and after SIGTERM


@dataclass(frozen=True)
class Place:
    """Where the web server listens, and with which certificate."""

    host: str
    port: int
    names: tuple[str, ...] = ("localhost", "127.0.0.1")
    tls: Files | None = None

    @property
    def url(self) -> str:
        """The address to type into a browser."""
        return f"{'https' if self.tls else 'http'}://{self.names[0]}:{self.port}/"


def manager(place: Place) -> Manager:
    """Web and worker, ready to be started. The worker keeps the clock too."""
    (settings.RUN / "tmp").mkdir(parents=True, exist_ok=True)
    made = Manager()
    for name, command in (("web", web(place)), ("worker", worker())):
        made.add_process(name, f"exec {shlex.join(command)}", env=surroundings(place), cwd=str(settings.ROOT))
    return made


def run(made: Manager) -> int:
    """Run until one process ends or somebody stops us; 0 when it was somebody."""
    honcho_manager.KILL_WAIT = _STOP_SECONDS
    made.loop()
    code = int(made.returncode or 0)
    return 0 if code in _STOPPED_BY_HAND else code


def web(place: Place) -> list[str]:
    """The web server's command: threads, since most of a request is waiting for the disk."""
    command = [sys.executable, "-m", "gunicorn", "deploy.wsgi:application"]
    command += ["--bind", f"{place.host}:{place.port}", "--worker-class", "gthread"]
    command += ["--workers", "2", "--threads", "4", "--graceful-timeout", "4", "--no-control-socket"]
    command += ["--log-level", "warning"]
    if place.tls:
        command += ["--certfile", str(place.tls.chain), "--keyfile", str(place.tls.key)]
    return command


def worker() -> list[str]:
    """The worker's command, with the clock inside. The schedule is kept in memory: the outbox remembers."""
    command = [sys.executable, "-W", f"ignore:{_AS_ROOT}", "-m", "celery", "--app", "deploy.celery"]
    command += ["--quiet", "worker"]
    command += ["--beat", "--scheduler", "celery.beat:Scheduler", "--concurrency", "1"]
    command += ["--without-gossip", "--without-mingle", "--without-heartbeat", "--loglevel", "warning"]
    return command


def surroundings(place: Place) -> dict[str, str]:
    """What the processes find in their environment. Their scratch files stay on the run folder's disk."""
    return {
        **os.environ,
        "PYTHONUNBUFFERED": "1",
        "POURTALLY_DEMO": "1",
        "TMPDIR": str(Path(settings.RUN) / "tmp"),
        "POURTALLY_HOSTS": ",".join(place.names),
        "POURTALLY_ADDRESS": place.url.rstrip("/"),
        "POURTALLY_TLS": "1" if place.tls else "0",
    }
