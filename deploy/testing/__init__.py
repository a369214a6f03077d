"""`manage.py test`: sets up what the tests need, runs every check, and cleans up after itself."""

import signal
import sys
import tempfile
from pathlib import Path
from types import FrameType

from deploy.testing import packages, postgres, steps

_USAGE = """usage: python3 manage.py test [--full] [-- PYTEST ARGUMENTS]

  --full   run the long checks in their full size
  --       what follows goes to pytest, as in: python3 manage.py test -- -k stock"""


def run(arguments: list[str]) -> int:
    """Run everything; 0 when all of it passed."""
    own, for_pytest = _split(arguments)
    if unknown := [word for word in own if word != "--full"]:
        sys.stderr.write(f"unknown: {' '.join(unknown)}\n{_USAGE}\n")
        return 2
    signal.signal(signal.SIGTERM, _end)
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background job starts without it
    try:
        packages.require()
    except packages.MissingError as fault:
        sys.stderr.write(f"{fault}\n")
        return 1
    with tempfile.TemporaryDirectory(prefix="pourtally-servers-") as name:
        folder, full = Path(name), "--full" in own
        with postgres.server(folder) as url:
            return steps.run(database_url=url, folder=folder, full=full, for_pytest=for_pytest)


def _split(arguments: list[str]) -> tuple[list[str], list[str]]:
    if "--" not in arguments:
        return arguments, []
    at = arguments.index("--")
    return arguments[:at], arguments[at + 1 :]


def _end(number: int, frame: FrameType | None) -> None:
    """Turn the signal into an exit, so that servers are stopped and folders removed."""
    del frame
    sys.exit(128 + number)
