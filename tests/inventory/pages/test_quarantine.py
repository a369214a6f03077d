import io
from decimal import Decimal

import pytest
from django.urls import reverse
from pypdf import PdfReader

from tests.factories import inventory_stock as made
from tests.factories.looking import constant, sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def test_check_that_does_not_pass_holds_the_load_until_it_is_released(at, bob):
    line = made.receive(at).lines.get()
    url = reverse("inventory:line_check", args=[line.pk])
    typed = sheet(bob, url) | {
        "c_mark": "pass",
        "c_bags": "hold",
        "why_bags": "torn and damp",
        "c_certificate": "",
    }

    answer = bob.post(url, typed, follow=True)

    assert "torn and damp" in answer.text
    assert "torn and damp" in bob.get(reverse("inventory:held")).text
    url = reverse("inventory:line_release", args=[line.pk])
    bob.post(url, sheet(bob, url) | {"reason": "restacked and looked at again"})
    assert "Nothing is held back" in bob.get(reverse("inventory:held")).text
    assert made.balance("store", of=at.cement)[0] == 100 * 50_000


def test_load_is_held_back_from_the_receipt_form(at, bob):
    url = reverse("inventory:receipt_of_order", args=[made.ordered(at).pk])

    bob.post(url, sheet(bob, url) | {"found_1": "80", "hold_1": "no certificate with it"})

    assert made.balance("quarantine", of=at.cement)[0] == 80 * 50_000


def test_verdict_without_a_word_is_asked_for_and_the_rest_is_kept(at, bob):
    line = made.receive(at).lines.get()
    url = reverse("inventory:line_check", args=[line.pk])

    answer = bob.post(url, sheet(bob, url) | {"c_mark": "reject", "why_bags": "torn"})

    assert answer.status_code == 422
    assert "Say what was seen." in answer.text
    assert 'value="torn"' in answer.text


def test_part_goes_back_and_stands_on_the_shortage_note(at, bob):
    line = made.receive(at, packs=60, found=Decimal(58), hold_reason="lumps").lines.get()
    url = reverse("inventory:line_send_back", args=[line.pk])

    bob.post(url, sheet(bob, url) | {"amount": "3", "reason": "hard lumps"})

    note = bob.get(reverse("inventory:shortage", args=[line.receipt_id])).text
    pdf = bob.get(reverse("inventory:shortage_pdf", args=[line.receipt_id]))
    read = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.content)).pages)
    for words in ("hard lumps", "58", "60"):
        assert words in note
        assert words in read
    assert pdf["Content-Type"] == "application/pdf"


def test_list_of_what_waits_asks_a_constant_number_of_queries(at, bob):
    made.receive(at, packs=1, hold_reason="x")

    constant(
        lambda: bob.get(reverse("inventory:held")),
        more=lambda: [made.receive(at, packs=1, hold_reason="x") for _n in range(3)],
    )
