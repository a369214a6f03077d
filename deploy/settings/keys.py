"""Keys that a machine makes for itself, once, readable by its owner only."""

import os
import secrets
import tempfile
from pathlib import Path


def secret_key(path: Path) -> str:
    """The key in this file, which is made at first use. Two processes at once get the same one."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        descriptor, draft = tempfile.mkstemp(prefix=path.name, dir=path.parent)  # readable by its owner only
        with os.fdopen(descriptor, "w", encoding="ascii") as stream:
            stream.write(secrets.token_urlsafe(64))
        try:
            os.link(draft, path)
        except FileExistsError:
            pass  # the other process was first; its key is the one
        finally:
            Path(draft).unlink()
    return path.read_text(encoding="ascii")
