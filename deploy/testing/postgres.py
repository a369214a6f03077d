"""A PostgreSQL server of the test run's own: no port, no password, gone when the run is over."""

import os
import pwd
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from deploy.testing import programs

# What is in it lives as long as the run, so it need not survive a power cut.
_FAST = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "shared_buffers=64MB")


class StartError(RuntimeError):
    """The server did not start; the message holds the end of its log."""


def program(name: str) -> str | None:
    """A program of the newest PostgreSQL on this machine; Debian keeps them out of the PATH."""
    versions = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), key=lambda path: int(path.parts[-3]))
    return str(versions[-1]) if versions else shutil.which(name)


@contextmanager
def server(folder: Path) -> Iterator[str]:
    """Run a server in the folder and give its URL; it listens on a socket in the folder alone."""
    home = folder / "postgres"
    home.mkdir()
    owner = _owner(home)
    data, log = home / "data", home / "log"
    make = [_must("initdb"), "--pgdata", str(data), "--username", "pourtally", "--auth", "trust"]
    make += ["--encoding", "UTF8", "--locale", "C.UTF-8", "--no-sync"]
    if programs.run(make, quiet=True, cwd=home, **owner):
        raise StartError(f"PostgreSQL could not set up a database folder: {' '.join(make)}")
    settings = [part for setting in _FAST for part in ("-c", setting)]
    serve = [_must("postgres"), "-D", str(data), "-k", str(home), "-h", "", *settings]
    process = programs.start(serve, log=log, cwd=home, **owner)
    try:
        _wait(process, home=home, log=log)
        yield f"postgresql://pourtally@/postgres?host={home}"
    finally:
        programs.end(process)  # for PostgreSQL a fast stop: no waiting for clients


def _owner(home: Path) -> dict[str, Any]:
    """PostgreSQL refuses to run as root; then its own user, made by its package, runs it."""
    if os.geteuid() != 0:
        return {}
    user = pwd.getpwnam("postgres")
    home.parent.chmod(0o755)
    os.chown(home, user.pw_uid, user.pw_gid)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}


def _wait(process: "subprocess.Popen[bytes]", *, home: Path, log: Path) -> None:
    ready = [_must("pg_isready"), "--quiet", "--host", str(home), "--username", "pourtally"]
    for _ in range(300):
        if process.poll() is None and programs.run(ready, cwd=home) == 0:
            return
        if process.poll() is not None:
            break
        time.sleep(0.1)
    raise StartError(f"PostgreSQL did not start:\n{log.read_text(errors='replace')[-2000:]}")


def _must(name: str) -> str:
    found = program(name)
    if found is None:
        raise StartError(f"PostgreSQL's program {name} is not there")
    return found
