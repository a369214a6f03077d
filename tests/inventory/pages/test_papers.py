import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import Receipt, ReceiptPaper
from tests.factories import inventory_stock as made
from tests.factories import pictures
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def send(client, receipt, content, *, shows="note"):
    url = reverse("inventory:receipt_papers", args=[receipt.pk])
    file = SimpleUploadedFile("photo.jpg", content)
    return client.post(url, sheet(client, url) | {"shows": shows, "file": file})


def test_photo_sent_from_a_phone_is_shown_to_who_sees_the_receipt(at, bob):
    receipt = made.receive(at)

    assert send(bob, receipt, pictures.from_phone()).url == reverse("inventory:receipt", args=[receipt.pk])

    paper = ReceiptPaper.objects.get()
    shown = bob.get(reverse("inventory:receipt_paper", args=[paper.pk]))
    assert (shown.status_code, shown["Content-Type"]) == (200, "image/jpeg")
    assert shown["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in shown["Content-Security-Policy"]
    assert (
        reverse("inventory:receipt_paper", args=[paper.pk])
        in bob.get(reverse("inventory:receipt", args=[receipt.pk])).text
    )
    assert signed_in("charlie").get(reverse("inventory:receipt_paper", args=[paper.pk])).status_code == 404


def test_pdf_comes_back_as_a_file_to_keep(at, bob):
    receipt = made.receive(at)
    send(bob, receipt, pictures.pdf(), shows="certificate")

    shown = bob.get(reverse("inventory:receipt_paper", args=[ReceiptPaper.objects.get().pk]))

    assert shown.content == pictures.pdf()
    assert shown["Content-Disposition"].startswith("attachment;")


@pytest.mark.parametrize(
    ("content", "words"),
    [(bytes(50_000_000), "larger than 12 MB"), (b"hello", "no photo"), (b"", "No file came")],
)
def test_photo_of_50_mb_and_what_is_no_photo_are_answered_in_words(at, bob, content, words):
    answer = send(bob, made.receive(at), content)

    assert answer.status_code == 422
    assert words in answer.text


def test_photo_goes_with_the_receipt_and_a_bad_one_does_not_hold_it_up(at, bob):
    url = reverse("inventory:receipt_of_order", args=[made.ordered(at).pk])
    for content, kept in ((pictures.png(), 1), (b"hello", 1)):
        typed = sheet(bob, url) | {"found_1": "4", "photo": SimpleUploadedFile("note.jpg", content)}

        answer = bob.post(url, typed, follow=True)

        assert ReceiptPaper.objects.count() == kept
    assert Receipt.objects.count() == 2
    assert "The photo was not kept" in answer.text
