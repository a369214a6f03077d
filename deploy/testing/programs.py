"""The one door through which the tests' set-up starts other programs."""

import signal
import subprocess
from pathlib import Path
from typing import Any

_END_SECONDS = 30


def run(command: list[str], *, quiet: bool = False, **options: Any) -> int:
    """Run a program to its end and return its code. When we are ended first, it may clean up after itself."""
    if quiet:
        options |= {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    process = subprocess.Popen(command, **options)  # noqa: S603 - commands of our own making
    try:
        return process.wait()
    finally:
        end(process)


def start(command: list[str], *, log: Path, **options: Any) -> "subprocess.Popen[bytes]":
    """Start a server that writes its output to a log."""
    with log.open("wb") as stream:
        return subprocess.Popen(command, stdout=stream, stderr=stream, **options)  # noqa: S603 - as above


def end(process: "subprocess.Popen[bytes]") -> None:
    """Ask a program that still runs to end, as Ctrl-C does, and kill it when it does not."""
    if process.poll() is not None:
        return
    process.send_signal(signal.SIGINT)
    try:
        process.wait(timeout=_END_SECONDS)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
