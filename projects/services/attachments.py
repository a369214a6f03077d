"""Files beside the rows: written once under the digest of their content, before the row that names them."""

from __future__ import annotations

import hashlib
import os
import tempfile
from datetime import datetime
from pathlib import Path

from django.core.files.storage import default_storage

from projects.access.actor import Actor
from projects.models import Attachment, Site
from projects.services.photos import PAPER_TYPE, Ready

ENDINGS = {PAPER_TYPE: "pdf"}
LONGEST_NAME = 200


def keep(ready: Ready, *, name: str, actor: Actor, site: Site, now: datetime) -> Attachment:
    """Keep a file and return its row; called inside another act's transaction.

    The file is on the disk before the row is: a row without its file is never committed, while a file without
    a row, after an act that failed, is harmless and found again by its digest.
    """
    digest = hashlib.sha256(ready.content).hexdigest()
    ending = ENDINGS.get(ready.content_type, "jpg")
    stored = f"{actor.firm_id}/{digest[:2]}/{digest}.{ending}"
    _write(stored, content=ready.content)
    kind = Attachment.Kind.PAPER if ending == "pdf" else Attachment.Kind.PHOTO
    return Attachment.objects.create(
        firm_id=actor.firm_id,
        site=site,
        kind=kind,
        name=_plain(name, ending=ending),
        stored=stored,
        digest=digest,
        sent_digest=ready.sent_digest,
        content_type=ready.content_type,
        size_bytes=len(ready.content),
        width_px=ready.width_px,
        height_px=ready.height_px,
        received_at=now,
        received_by_id=actor.person_id,
    )


def _write(stored: str, *, content: bytes) -> None:
    """Write a file whole or not at all: a draft beside it, forced to the disk, then renamed."""
    target = Path(default_storage.path(stored))
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=target.parent, prefix="draft-", delete=False) as draft:
        draft.write(content)
        draft.flush()
        os.fsync(draft.fileno())
    Path(draft.name).replace(target)


def _plain(name: str, *, ending: str) -> str:
    """Return the last part of a name as sent, without characters that a heading or a header cannot hold."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    plain = "".join(c if c.isprintable() and c not in '"<>|:*?' else "_" for c in last).strip(" .")
    return plain[:LONGEST_NAME] or f"file.{ending}"
