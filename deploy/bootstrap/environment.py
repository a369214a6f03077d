"""The environment `.venv`: made from `uv.lock`, again when the lock changes, else used at once."""

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from deploy.bootstrap import fetch, lock
from deploy.bootstrap.start import ROOT

SERVICE = "service"  # what running the service needs
EVERYTHING = "everything"  # and what the tests and tools need as well

VENV = ROOT / ".venv"
RUN = ROOT / ".run"
LOCK_FILE = ROOT / "uv.lock"


class SetUpError(RuntimeError):
    """The environment could not be made; the message says why and what to do."""


def make_ready(wanted: str) -> None:
    """Make the environment hold what is wanted, if it does not yet. An interrupted set-up starts afresh."""
    if is_ready(wanted):
        return
    with _one_at_a_time():
        if is_ready(wanted):
            return
        began = time.monotonic()
        _say("Setting up the Python environment in .venv, as uv.lock says (once; a minute or so) …")
        try:
            _make(EVERYTHING if held() == EVERYTHING else wanted)
        except (OSError, lock.LockError, fetch.FetchError, subprocess.CalledProcessError) as fault:
            raise SetUpError(f"{fault}\nRun the same command again; it starts where it can.") from fault
        _say(f"The environment is ready after {time.monotonic() - began:.0f} s.")


def is_ready(wanted: str) -> bool:
    """Whether the environment is the lock's, whole, and wide enough."""
    if not python().exists() or _unfinished().exists():
        return False
    return stamp() in {stamp_for(EVERYTHING), stamp_for(wanted)}


def stamp_for(wanted: str) -> str:
    """What a finished environment carries: the lock's hash, the Python version and its width."""
    digest = hashlib.sha256(LOCK_FILE.read_bytes()).hexdigest()
    return f"{digest} python3.11 {wanted}"


def stamp() -> str:
    """What the environment carries now; empty when it was never finished."""
    path = VENV / "pourtally-stamp"
    return path.read_text(encoding="ascii").strip() if path.is_file() else ""


def held() -> str:
    """The width of the environment as it stands, for whichever lock it was made."""
    return stamp().rpartition(" ")[2]


def python() -> Path:
    """The environment's own Python."""
    return VENV / "bin" / "python"


def is_inside() -> bool:
    """Whether this process already runs in the environment."""
    return Path(sys.prefix).resolve() == VENV.resolve()


def go_inside() -> None:
    """Go on with the same command in the environment; this process is replaced."""
    os.environ.pop("PYTHONHOME", None)
    os.execv(python(), [str(python()), *sys.argv])  # noqa: S606 - our own environment


def _make(wanted: str) -> None:
    """Fetch the installer and let it bring the environment to what the lock says."""
    wheel = lock.pick(lock.installer_wheels(LOCK_FILE), lock.Machine.here())
    program = fetch.installer(wheel, folder=RUN / "tools")
    broken = _unfinished().exists() or not python().exists()
    if broken and VENV.exists():
        _say("An earlier set-up did not finish; it is done again from the start.")
        shutil.rmtree(VENV)
    (VENV / "pourtally-stamp").unlink(missing_ok=True)
    _unfinished().touch()
    _sync(program, wanted=wanted)
    (VENV / "pourtally-stamp").write_text(stamp_for(wanted) + "\n", encoding="ascii")
    _unfinished().unlink()


def _sync(program: Path, *, wanted: str) -> None:
    """Run the installer. It needs neither pip nor ensurepip, which Debian packages apart."""
    command = [str(program), "sync", "--frozen", "--no-python-downloads"]
    if wanted == SERVICE:
        command += ["--no-dev", "--inexact"]
    if not VENV.exists():
        command += ["--python", str(getattr(sys, "_base_executable", sys.executable))]
    surroundings = {key: value for key, value in os.environ.items() if key != "VIRTUAL_ENV"}
    surroundings |= {"UV_PROJECT_ENVIRONMENT": str(VENV)}
    subprocess.run(command, cwd=ROOT, env=surroundings, check=True)


@contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Two commands started together wait for each other; the kernel drops the lock of one that dies."""
    RUN.mkdir(exist_ok=True)
    with (RUN / "setup.lock").open("w") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def _unfinished() -> Path:
    """Lies there while a set-up is at work, and afterwards only when it was interrupted."""
    return RUN / "setup.unfinished"


def _say(text: str) -> None:
    print(text, flush=True)
