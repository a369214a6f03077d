"""The one door through which the tests' set-up starts other programs."""

import subprocess
from pathlib import Path
from typing import Any


def run(command: list[str], *, quiet: bool = False, **options: Any) -> int:
    """Run a program to its end and return its code."""
    if quiet:
        options |= {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    return subprocess.run(command, check=False, **options).returncode  # noqa: S603 - commands of our own making


def start(command: list[str], *, log: Path, **options: Any) -> "subprocess.Popen[bytes]":
    """Start a server that writes its output to a log."""
    with log.open("wb") as stream:
        return subprocess.Popen(command, stdout=stream, stderr=stream, **options)  # noqa: S603 - as above
