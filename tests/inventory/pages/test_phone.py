"""What a phone keeps, and what it sends afterwards: taken in once, under the person who wrote it."""

import re
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from inventory.models import OfflineEntry, Receipt
from projects.models import AuditEntry
from tests.factories import inventory_stock as made
from tests.factories import pictures
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def written_at():
    return timezone.now() - timedelta(hours=6)


def said(at, written_at, *, by=None):
    """What the phone adds to the form as it was written."""
    person = (by or at.cast.bob).person_id
    return {"person": person, "written_at": written_at.isoformat(), "sent_at": timezone.now().isoformat()}


def send(client, url, typed):
    return client.post(url, typed, headers={"Phone": "offline"})


def of_order(order):
    return reverse("inventory:receipt_of_order", args=[order.pk])


def test_receipt_as_ordered_that_was_kept_is_recorded_when_it_was_written(at, written_at):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | {"as_ordered": "1"} | said(at, written_at)

    first = send(bob, of_order(order), typed)
    again = send(bob, of_order(order), typed | said(at, written_at))

    assert (first.status_code, first.json()["state"]) == (200, "posted")
    assert again.json() == first.json()
    receipt = Receipt.objects.get()
    assert (receipt.happened_at, receipt.order_id) == (written_at, order.pk)
    assert first.json()["url"] == reverse("inventory:receipt", args=[receipt.pk])
    assert AuditEntry.objects.get(act="offline.record").device.endswith("written offline")


def test_entry_whose_first_try_went_through_counts_once(at, written_at):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | {"as_ordered": "1", "note_number": "B-7"}

    online = bob.post(of_order(order), typed, headers={"Phone": "online"})
    afterwards = send(bob, of_order(order), typed | said(at, written_at))

    assert afterwards.json()["url"] == online.json()["url"]
    assert Receipt.objects.count() == 1


def test_slip_that_does_not_fit_is_held_and_the_phone_is_told_why(at, written_at):
    made.receive(at, packs=4)
    bob = signed_in("bob")
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    typed = sheet(bob, url) | {f"amount_{at.cement.material.pk}": "10"} | said(at, written_at)

    told = send(bob, url, typed).json()

    entry = OfflineEntry.objects.get()
    assert (told["state"], told["number"]) == ("held", entry.number)
    assert "Count the store" in told["message"]
    assert (entry.happened_at, entry.kind) == (written_at, "issue")


def test_form_that_cannot_be_read_is_told_box_by_box_and_nothing_is_kept(at, written_at):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | {"found_1": "ten"} | said(at, written_at)

    answer = send(bob, of_order(order), typed)

    assert answer.status_code == 422
    assert answer.json()["faults"][0]["label"] == "Found"
    assert "“ten” is not a number" in answer.json()["faults"][0]["message"]
    assert OfflineEntry.objects.count() == 0


def test_material_that_the_form_no_longer_has_is_not_dropped(at, written_at):
    made.receive(at, packs=4)
    bob = signed_in("bob")
    url = reverse("inventory:waste_new", args=[at.cast.site.pk])
    typed = sheet(bob, url) | {f"amount_{at.cement.material.pk}": "1", "amount_987": "3", "reason": "wet"}

    answer = send(bob, url, typed | said(at, written_at))

    assert (answer.status_code, OfflineEntry.objects.count()) == (422, 0)


@pytest.mark.parametrize("missing", ["person", "written_at", "sent_at"])
def test_entry_that_does_not_say_who_and_when_is_refused(at, written_at, missing):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | said(at, written_at)
    del typed[missing]

    assert send(bob, of_order(order), typed).status_code == 422


def test_entry_of_another_person_is_left_to_them(at, written_at):
    order = made.ordered(at, packs=10)
    alice = signed_in("alice")
    typed = sheet(alice, of_order(order)) | {"as_ordered": "1"} | said(at, written_at)

    answer = send(alice, of_order(order), typed)

    assert (answer.status_code, answer.json()["code"]) == (409, "other_person")
    assert OfflineEntry.objects.count() == 0


def test_other_entry_under_the_same_key_is_refused_in_words(at, written_at):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | said(at, written_at)
    send(bob, of_order(order), typed)

    answer = send(bob, of_order(order), typed | {"found_1": "3"})

    assert (answer.status_code, answer.json()["code"]) == (422, "key_reused")
    assert answer.json()["faults"][0]["message"]


@pytest.mark.parametrize("note", ["B-7", "B-8"])
def test_photo_goes_to_the_receipt_or_is_held_until_it_is_posted(at, written_at, note):
    order = made.ordered(at, packs=10)
    bob, alice = signed_in("bob"), signed_in("alice")
    bob.post(of_order(order), sheet(bob, of_order(order)) | {"found_1": "4", "note_number": "B-7"})
    typed = sheet(bob, of_order(order)) | {"found_1": "2", "note_number": note} | said(at, written_at)
    photo = SimpleUploadedFile("note.png", pictures.png(), content_type="image/png")

    told = send(bob, of_order(order), typed | {"photo": photo}).json()

    entry = OfflineEntry.objects.get()
    if note == "B-7":
        assert told["state"] == "held"
        shown = alice.get(reverse("inventory:offline_photo", args=[entry.pk]))
        assert shown["Content-Type"] == "image/jpeg"
        url = reverse("inventory:offline_post", args=[entry.pk])
        alice.post(url, sheet(alice, url) | {"same_note_answer": "second truck"})
        entry.refresh_from_db()
    assert entry.receipt.papers.count() == 1


def test_photo_that_is_none_leaves_the_entry_and_says_so(at, written_at):
    order = made.ordered(at, packs=10)
    bob = signed_in("bob")
    typed = sheet(bob, of_order(order)) | said(at, written_at)
    text = SimpleUploadedFile("note.jpg", b"not a picture", content_type="image/jpeg")

    told = send(bob, of_order(order), typed | {"photo": text}).json()

    assert (told["state"], "The photo was not kept" in told["message"]) == ("posted", True)


def test_pages_that_may_be_kept_say_for_whom_and_others_do_not(at):
    order = made.ordered(at, packs=10)
    made.receive(at, packs=4)
    bob = signed_in("bob")
    home = bob.get(reverse("inventory:phone"))
    paths = re.findall(r'data-keep href="([^"]+)"', home.text)

    assert of_order(order) in paths
    assert reverse("inventory:issue_new", args=[at.pour.pk]) in paths
    for path in [reverse("inventory:phone"), *paths]:
        assert bob.get(path)["Kept-For"] == str(at.cast.bob.person_id)
    assert "Kept-For" not in bob.get("/")
    assert "₹" not in home.text


def test_phone_asks_who_is_signed_in(at):
    state = signed_in("bob").get(reverse("inventory:phone_state")).json()

    assert state["person"] == at.cast.bob.person_id
    assert state["token"]


def test_worker_lies_at_the_root_and_is_asked_for_anew(client):
    answer = client.get("/worker.js")

    assert answer["Content-Type"] == "text/javascript; charset=utf-8"
    assert answer["Cache-Control"] in {"no-cache", "no-store"}
