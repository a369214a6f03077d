"""Reads a stranger's file in a process of its own: libraries of compiled code fall over on damaged files.

`python -m estimates.services.intake.apart NAME` takes the file from standard input and writes what was found,
or why nothing was, to standard output.
"""

from __future__ import annotations

import dataclasses
import json
import os
import resource
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

from estimates.calc.intake import files, limits
from estimates.calc.intake.found import LineFault, Unreadable, refuse

SECONDS: Final = 25
"""Longest that a file may take."""

_MEMORY: Final = 3_000_000_000
_ROOT: Final = Path(__file__).resolve().parents[3]
_KEPT: Final = ("PATH", "HOME", "LANG", "VIRTUAL_ENV")


def read(content: bytes, *, name: str) -> dict[str, Any]:
    """Return what a file gives, as data; refused with Unreadable and every reason.

    A file over the limit of size is refused before anything is started for it.
    """
    if len(content) > limits.FILE_BYTES:
        files.read(content, name=name)
    command = [sys.executable, "-m", "estimates.services.intake.apart", name]
    environment = {key: os.environ[key] for key in _KEPT if key in os.environ}
    try:
        done = subprocess.run(  # noqa: S603 - our own module; the name is one argument and never a command
            command,
            input=content,
            capture_output=True,
            timeout=SECONDS,
            check=False,
            cwd=_ROOT,
            env=environment,
        )
    except subprocess.TimeoutExpired:
        raise refuse(
            "too_slow", f"the file took more than {SECONDS} seconds; send the slab's own layers or sheet only"
        ) from None
    except ValueError:
        raise refuse(
            "bad_name", "the file's name holds a character that no name has; give it a plain one"
        ) from None
    if done.returncode != 0 or not done.stdout:
        raise refuse("damaged", "the file is damaged and cannot be read; save it again in its own program")
    answer: dict[str, Any] = json.loads(done.stdout)
    if "faults" in answer:
        raise Unreadable([LineFault(**fault) for fault in answer["faults"]])
    found: dict[str, Any] = answer["found"]
    return found


def main(name: str) -> None:
    """Answer for the file on standard input; what the libraries raise beyond their own errors is damage."""
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    if sys.platform == "linux":
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    content = sys.stdin.buffer.read()
    try:
        answer: dict[str, Any] = {"found": json.loads(files.to_json(files.read(content, name=name)))}
    except Unreadable as refused:
        answer = {"faults": [dataclasses.asdict(fault) for fault in refused.faults]}
    sys.stdout.write(json.dumps(answer))


if __name__ == "__main__":
    main(sys.argv[1])
