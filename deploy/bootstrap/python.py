"""Finds a Python 3.11. Written so that any Python from 3.6 on can read it."""

import glob
import os
import shutil
import subprocess
import sys

WANTED = (3, 11)
_GUARD = "POURTALLY_PYTHON_FOUND"
_TEST = "import sys; sys.exit(0 if sys.version_info[:2] == (3, 11) else 1)"


def is_right(version: "tuple[int, ...]" = tuple(sys.version_info[:2])) -> bool:
    """Say whether this is the Python that the project runs on."""
    return version[:2] == WANTED


def go_on_in_right_one() -> None:
    """Start the same command again under Python 3.11, or end with a message that says what to install."""
    found = None if os.environ.get(_GUARD) else find(candidates())
    if found is None:
        sys.exit(
            f"Pourtally needs Python 3.11; this is Python {sys.version_info[0]}.{sys.version_info[1]}, "
            "and no python3.11 was found.\n"
            f"Install it (on Debian 12: apt-get install python3) and run: python3.11 {' '.join(sys.argv)}"
        )
    os.environ[_GUARD] = "1"
    os.execv(found, [found] + sys.argv)  # noqa: S606, RUF005 - the same command in the Python that was found


def candidates() -> "list[str]":
    """Places where a Python 3.11 may be, best first."""
    named = [shutil.which("python3.11"), "/usr/bin/python3.11", "/usr/local/bin/python3.11"]
    by_version_manager = glob.glob(os.path.expanduser("~/.pyenv/versions/3.11.*/bin/python3.11"))  # noqa: PTH111, PTH207 - as above
    return [path for path in named + sorted(by_version_manager) if path]


def find(paths: "list[str]") -> "str | None":
    """The first path that really is a Python 3.11; a shim of a version manager may only look like one."""
    for path in paths:
        try:
            ended = subprocess.call(
                [path, "-c", _TEST], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=20
            )
        except (OSError, subprocess.TimeoutExpired):
            continue
        if ended == 0:
            return path
    return None
