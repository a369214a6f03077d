import hashlib

import pytest
from django.core.files.storage import default_storage

from inventory.models import Receipt, ReceiptPaper
from inventory.services import papers
from inventory.services.papers import PapersAct, SentFile
from projects.errors import NotAllowed, NotFound
from projects.models import AuditEntry
from projects.queries import attachments
from projects.services import photos
from tests.factories import inventory_stock as made
from tests.factories import pictures
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


def attach(receipt, *contents, by, key=None, **more):
    files = tuple(SentFile(f"IMG {n}.jpg", content) for n, content in enumerate(contents))
    act = PapersAct(receipt_id=receipt.pk, files=files, **more)
    return papers.attach(actor=by, act=act, key=key or made.key(), now=NOW)


def test_photo_is_kept_beside_its_receipt_as_made_anew(at):
    receipt = made.receive(at)

    attach(receipt, pictures.from_phone(), by=at.cast.bob, shows="goods")

    paper = ReceiptPaper.objects.get()
    kept = attachments.content(paper.attachment)
    assert (paper.receipt, paper.shows, paper.attachment.kind) == (receipt, "goods", "photo")
    assert paper.attachment.digest == hashlib.sha256(kept).hexdigest()
    assert (paper.attachment.site, paper.attachment.received_by_id) == (at.cast.site, at.cast.bob.person_id)
    assert kept == photos.ready(pictures.from_phone()).content
    assert default_storage.path(paper.attachment.stored).endswith(f"{paper.attachment.digest}.jpg")


def test_act_sent_twice_and_the_same_photo_again_are_kept_once(at):
    receipt = made.receive(at)

    attach(receipt, pictures.png(), by=at.cast.bob, key="first-photo")
    attach(receipt, pictures.png(), by=at.cast.bob, key="first-photo")
    attach(receipt, pictures.png(), by=at.cast.bob)

    assert ReceiptPaper.objects.count() == 1


def test_one_file_at_fault_refuses_all(at):
    receipt = made.receive(at)

    with pytest.raises(photos.NotAPhoto):
        attach(receipt, pictures.png(), b"no picture", by=at.cast.bob)

    assert not ReceiptPaper.objects.exists()


@pytest.mark.parametrize(
    ("count", "shows", "refused"), [(7, "note", papers.TooManyFiles), (1, "x", papers.BadSubject)]
)
def test_too_many_files_and_an_unknown_subject_are_refused(at, count, shows, refused):
    receipt = made.receive(at)

    with pytest.raises(refused):
        attach(receipt, *[pictures.png()] * count, by=at.cast.bob, shows=shows)


def test_only_who_receives_here_attaches(at):
    receipt = made.receive(at)
    elsewhere = made.elsewhere(at)

    for who, of, refused in (
        (at.cast.olga, receipt, NotAllowed),
        (at.cast.bob, elsewhere, NotFound),
        (at.cast.charlie, receipt, NotFound),
    ):
        with pytest.raises(refused):
            attach(of, pictures.png(), by=who)


def test_audit_has_the_digest_and_not_the_picture(at):
    attach(made.receive(at), pictures.png(), by=at.cast.bob)

    kept = AuditEntry.objects.get(act="papers._keep").detail["files"][0]
    assert kept["ready"]["content"].startswith("sha256:")


def test_receipt_stands_when_its_photo_is_refused(at):
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=10))

    receipt, refused = papers.record_with_photo(
        actor=at.cast.bob, act=act, photo=SentFile("note.heic", b"not a photo"), key="k", now=NOW
    )

    assert (Receipt.objects.get(), refused.code) == (receipt, "not_a_photo")
