"""Photos and papers of a delivery: proven, made anew and kept beside its receipt."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.models import OfflineEntry, Receipt, ReceiptPaper
from inventory.services import deliveries, offline
from inventory.services.deliveries import ReceiptAct
from inventory.services.offline import OfflineAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.services import attachments, photos
from projects.services.acts import business_act
from projects.services.photos import Ready

MOST_FILES = 6
MOST_OF_RECEIPT = 30
"""Files of one act, and of one receipt."""

SHOWS = tuple(ReceiptPaper.Shows.values)


class TooManyFiles(Refused):
    """More files than one act, or one receipt, may have."""

    code = "too_many_files"


class BadSubject(Refused):
    """What the file shows is not one of the known things."""

    code = "bad_subject"


@dataclass(frozen=True)
class SentFile:
    """One file as sent."""

    name: str
    content: bytes


@dataclass(frozen=True)
class PapersAct:
    """Photos or papers of a delivery; `shows` is note, goods, certificate or weighing."""

    receipt_id: int
    files: tuple[SentFile, ...]
    shows: str = "note"


@dataclass(frozen=True)
class _ReadyFile:
    name: str
    ready: Ready


@dataclass(frozen=True)
class _HeldPhotoAct:
    entry_id: int
    file: _ReadyFile


@dataclass(frozen=True)
class _KeepAct:
    receipt_id: int
    shows: str
    files: tuple[_ReadyFile, ...]


def attach(*, actor: Actor, act: PapersAct, key: str, now: datetime) -> Receipt:
    """Keep photos and papers of a delivery, then or later; a file that is there already is not kept twice.

    Not a business act itself: files are unpacked before the transaction of `_keep` begins, since that takes
    longer than a transaction should. Refused are files that are no photo or PDF, too large or too many, and
    then none is kept.
    """
    actor.require(Permission.RECORD_RECEIPTS)
    if act.shows not in SHOWS:
        message = _("A file shows one of these: %(known)s. Choose one.")
        raise BadSubject(message % {"known": ", ".join(SHOWS)}, field="shows")
    if not act.files:
        raise photos.EmptyFile(_("No file came with it. Take a photo or choose a file."), field="files")
    if len(act.files) > MOST_FILES:
        message = _("%(count)s files came; at most %(most)s are sent at once. Send the others after them.")
        raise TooManyFiles(message % {"count": len(act.files), "most": MOST_FILES}, field="files")
    scope.get(Receipt.objects.all(), actor, pk=act.receipt_id)
    made = tuple(_ReadyFile(file.name, photos.ready(file.content)) for file in act.files)
    return _keep(actor=actor, act=_KeepAct(act.receipt_id, act.shows, made), key=key, now=now)


def record_with_photo(
    *, actor: Actor, act: ReceiptAct, photo: SentFile | None, key: str, now: datetime
) -> tuple[Receipt, Refused | None]:
    """Record a delivery, and then the photo that came with it, as two acts.

    The receipt stands whatever becomes of its photo: why one was not kept is returned beside it.
    """
    receipt = deliveries.record(actor=actor, act=act, key=key, now=now)
    if photo is None:
        return receipt, None
    papers = PapersAct(receipt_id=receipt.pk, files=(photo,))
    try:
        attach(actor=actor, act=papers, key=f"{key}-photo", now=now)
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return receipt, refused
    return receipt, None


def record_offline(
    *, actor: Actor, act: OfflineAct, photo: SentFile | None, key: str, now: datetime
) -> tuple[OfflineEntry, Refused | None]:
    """Take in what was written offline, and then its photo: to the receipt, or held with the entry.

    The entry stands whatever becomes of its photo: why one was not kept is returned beside it.
    """
    entry = offline.record(actor=actor, act=act, key=key, now=now)
    if photo is None:
        return entry, None
    try:
        if entry.receipt_id is not None:
            papers = PapersAct(receipt_id=entry.receipt_id, files=(photo,))
            attach(actor=actor, act=papers, key=f"{key}-photo", now=now)
        elif entry.photo_id is None:
            held = _HeldPhotoAct(entry.pk, _ReadyFile(photo.name, photos.ready(photo.content)))
            _hold(actor=actor, act=held, key=f"{key}-photo", now=now)
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return entry, refused
    return entry, None


@business_act(result=OfflineEntry)
def _hold(*, actor: Actor, act: _HeldPhotoAct, key: str, now: datetime) -> OfflineEntry:
    del key
    rows = OfflineEntry.objects.select_for_update(of=("self",)).select_related("site")
    entry = scope.get(rows, actor, pk=act.entry_id)
    entry.photo = attachments.keep(act.file.ready, name=act.file.name, actor=actor, site=entry.site, now=now)
    entry.save(update_fields=["photo"])
    return entry


@business_act(result=Receipt)
def _keep(*, actor: Actor, act: _KeepAct, key: str, now: datetime) -> Receipt:
    del key
    rows = Receipt.objects.select_for_update(of=("self",)).select_related("site")
    receipt = scope.get(rows, actor, pk=act.receipt_id)
    known = set(receipt.papers.values_list("attachment__digest", flat=True))
    for file in act.files:
        digest = hashlib.sha256(file.ready.content).hexdigest()
        if digest in known:
            continue
        known.add(digest)
        if len(known) > MOST_OF_RECEIPT:
            message = _("%(number)s has %(most)s files, which is the most that one receipt keeps.")
            params = {"number": receipt.number, "most": MOST_OF_RECEIPT}
            raise TooManyFiles(message % params, field="files", most=MOST_OF_RECEIPT)
        row = attachments.keep(file.ready, name=file.name, actor=actor, site=receipt.site, now=now)
        ReceiptPaper.objects.create(receipt=receipt, attachment=row, shows=act.shows)
    return receipt
