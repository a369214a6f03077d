"""What a phone wrote offline, as the office finds it: on Today, in the list, posted or given up."""

from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import OfflineEntry
from inventory.services import deliveries, offline
from inventory.services.offline import OfflineAct
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def held(at):
    slip = replace(made.issue_act(at, packs=400), happened_at=timezone.now())
    now = timezone.now()
    return offline.record(actor=at.cast.bob, act=OfflineAct(written=slip), key=made.key(), now=now)


def _text(answer):
    return answer.text.replace("\N{NO-BREAK SPACE}", " ")


def test_held_entry_stands_on_today_and_is_posted_once_corrected(at, held):
    made.receive(at, packs=45)
    alice = signed_in("alice")
    url = reverse("inventory:offline_post", args=[held.pk])

    today = alice.get("/")
    found = alice.get(reverse("inventory:offline_entry", args=[held.pk]))
    short = alice.post(url, sheet(alice, url))
    unsaid = alice.post(url, sheet(alice, url) | {"amount_1": "40"})
    posted = alice.post(url, sheet(alice, url) | {"amount_1": "40", "reason": "a nought too many"})

    assert "1 entry that a phone wrote offline is held" in _text(today)
    assert "you asked for 20,000 kg (400 × bag)" in _text(found)
    assert (short.status_code, "Count the store" in short.text) == (422, True)
    assert (unsaid.status_code, set(unsaid.context["form"].errors)) == (422, {"reason"})
    assert posted.status_code == 302
    entry = OfflineEntry.objects.get()
    assert (entry.state, entry.slip.lines.get().quantity) == ("posted", 2_000_000)
    assert "is held" not in _text(alice.get("/"))


def test_held_entry_is_given_up_with_a_reason(at, held):
    alice = signed_in("alice")
    url = reverse("inventory:offline_give_up", args=[held.pk])

    answer = alice.post(url, sheet(alice, url) | {"reason": "written for another pour"})

    assert answer.status_code == 302
    assert "written for another pour" in _text(alice.get(answer.url))
    assert held.number in _text(alice.get(reverse("inventory:offline_entries")))
    assert held.number not in _text(alice.get(reverse("inventory:offline_entries") + "?state=held"))


def test_slip_of_a_month_ago_asks_whether_it_was_really_then(at):
    made.receive(at, packs=45)
    bob = signed_in("bob")
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    typed = sheet(bob, url) | {f"amount_{at.cement.material.pk}": "4", "happened_at": "2026-03-03T10:00"}

    asked = bob.post(url, typed)
    told = bob.post(url, typed | {"sure_of_time": "on"})

    assert (asked.status_code, "It was really then" in asked.text) == (422, True)
    assert told.status_code == 302


def test_refused_slip_offers_a_count(at):
    made.receive(at, packs=4)
    bob = signed_in("bob")
    url = reverse("inventory:issue_new", args=[at.pour.pk])

    refused = bob.post(url, sheet(bob, url) | {f"amount_{at.cement.material.pk}": "9"})

    assert reverse("inventory:count_new", args=[at.cast.site.pk]) in refused.text


def test_held_receipt_asks_whether_it_is_the_same_load_and_keeps_the_answer(at):
    now = timezone.now()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=4), note_number="B-7", happened_at=now)
    first = deliveries.record(actor=at.cast.bob, act=act, key=made.key(), now=now)
    entry = offline.record(actor=at.cast.bob, act=OfflineAct(written=act), key=made.key(), now=now)
    alice = signed_in("alice")
    url = reverse("inventory:offline_post", args=[entry.pk])

    found = _text(alice.get(reverse("inventory:offline_entry", args=[entry.pk])))
    unanswered = alice.post(url, sheet(alice, url))
    posted = alice.post(url, sheet(alice, url) | {"same_note_answer": "second truck"})

    assert f"also of {first.number}" in found
    assert at.supplier.name in found
    assert "Count the store" not in found
    assert (unanswered.status_code, "if it is another load" in unanswered.text) == (422, True)
    assert posted.status_code == 302
    receipt = OfflineEntry.objects.get().receipt
    assert receipt.same_note_answer == "second truck"
    assert receipt.number in _text(alice.get(posted.url))


@pytest.mark.parametrize("form", ["receipt", "transfer"])
def test_receipt_and_transfer_of_a_month_ago_ask_whether_it_was_really_then(at, form):
    made.receive(at, packs=45)
    other = at.cast.other_site.pk
    alice = signed_in("alice")
    named = "receipt_new" if form == "receipt" else "transfer_new"
    url = reverse(f"inventory:{named}", args=[] if form == "receipt" else [at.cast.site.pk])
    what = {"site_id": at.cast.site.pk, "supplier_id": at.supplier.pk, "found_1": "4"}
    what["what_1"] = f"{at.cement.material.pk}:p{at.cement.pack.pk}"
    load = {f"amount_{at.cement.material.pk}": "4", "to_site_id": other}
    typed = sheet(alice, url) | (what if form == "receipt" else load) | {"happened_at": "2026-03-03T10:00"}

    asked = alice.post(url, typed)
    told = alice.post(url, typed | {"sure_of_time": "on"})

    assert (asked.status_code, "It was really then" in asked.text) == (422, True)
    assert told.status_code == 302
