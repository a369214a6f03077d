"""The programs that the tests drive, from Debian's packages when they are missing."""

import os
import shutil
import sys
from collections.abc import Callable

from deploy.testing import postgres, programs

# package → whether what we need of it is there
NEEDED: dict[str, Callable[[], bool]] = {
    "postgresql": lambda: postgres.program("initdb") is not None,
    "redis-server": lambda: shutil.which("redis-server") is not None,
    "chromium": lambda: shutil.which("chromium") is not None,
}


class MissingError(RuntimeError):
    """Something is missing and may not be installed from here; the message holds the command to run."""


def require() -> None:
    """Install what is missing, or say how to."""
    wanted = missing()
    if not wanted:
        return
    may = right_to_install()
    if may is None:
        raise MissingError(
            f"The tests need these Debian packages: {' '.join(wanted)}\n"
            f"Run: sudo apt-get install --yes --no-install-recommends {' '.join(wanted)}"
        )
    sys.stdout.write(f"Installing {', '.join(wanted)} …\n")
    sys.stdout.flush()
    install(wanted, right=may)
    if still := missing():
        raise MissingError(f"After installing, still missing: {' '.join(still)}")


def missing() -> list[str]:
    """Packages whose programs are not there."""
    return [package for package, is_there in NEEDED.items() if not is_there()]


def right_to_install() -> list[str] | None:
    """What to put before apt-get: nothing for root, sudo when it asks no password; None when it may not."""
    if shutil.which("apt-get") is None:
        return None
    if os.geteuid() == 0:
        return []
    if shutil.which("sudo") and programs.run(["sudo", "-n", "true"], quiet=True) == 0:
        return ["sudo", "-n"]
    return None


def install(wanted: list[str], *, right: list[str]) -> None:
    """Install the packages; a list that is out of date is fetched first."""
    quietly = [*right, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "--quiet", "--quiet"]
    programs.run([*quietly, "update"])
    if programs.run([*quietly, "install", "--yes", "--no-install-recommends", *wanted]):
        raise MissingError(f"apt-get could not install {' '.join(wanted)}; its message stands above.")
