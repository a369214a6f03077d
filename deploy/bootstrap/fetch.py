"""Fetches the installer that the lock names, and refuses anything else."""

import hashlib
import io
import os
import time
import urllib.error
import urllib.request
import zipfile
from pathlib import Path

from deploy.bootstrap.lock import Wheel

_TRIES = 3
_TIMEOUT_SECONDS = 60


class FetchError(RuntimeError):
    """The file did not arrive, or it is not the one that the lock names."""


def installer(wheel: Wheel, *, folder: Path) -> Path:
    """The installer's program, fetched at first use into a folder of its version."""
    program = folder / f"uv-{wheel.version}" / "uv"
    if program.is_file():
        return program
    content = verified(download(wheel.url), wheel=wheel)
    program.parent.mkdir(parents=True, exist_ok=True)
    draft = program.with_name(f"uv.{os.getpid()}")
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        inside = [name for name in archive.namelist() if name.endswith(".data/scripts/uv")]
        if len(inside) != 1:
            raise FetchError(f"{wheel.name} holds {len(inside)} programs of the expected name, not one")
        draft.write_bytes(archive.read(inside[0]))
    draft.chmod(0o755)
    draft.replace(program)
    return program


def download(url: str) -> bytes:
    """The bytes at the address, with a few tries, through whatever proxy the environment names."""
    for attempt in range(1, _TRIES + 1):
        try:
            with urllib.request.urlopen(url, timeout=_TIMEOUT_SECONDS) as answer:  # noqa: S310 - from the lock file
                return bytes(answer.read())
        except (OSError, urllib.error.URLError) as fault:
            if attempt == _TRIES:
                raise FetchError(
                    f"{url} could not be fetched after {_TRIES} tries: {fault}{_hint(fault)}"
                ) from fault
            time.sleep(attempt)
    raise AssertionError("unreachable: the loop returns or raises")


def _hint(fault: OSError) -> str:
    """What to do about a machine that trusts no certificate authority, as a bare system does."""
    unknown = "CERTIFICATE_VERIFY_FAILED" in str(fault)
    return "\nOn Debian: apt-get install ca-certificates" if unknown else ""


def verified(content: bytes, *, wheel: Wheel) -> bytes:
    """The content, when it is what the lock names."""
    digest = hashlib.sha256(content).hexdigest()
    if digest != wheel.sha256:
        raise FetchError(
            f"{wheel.name} has SHA-256 {digest}; the lock file says {wheel.sha256}. Nothing was run."
        )
    return content
