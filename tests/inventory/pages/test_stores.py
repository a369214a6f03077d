import html
import re
from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Receipt
from inventory.models.ledger import Movement
from inventory.services import places
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.inventory_stock import ordered
from tests.factories.looking import signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


@pytest.fixture
def filled(at):
    """A yard with an order on its way and one of everything else, over-age cement among it."""
    ordered(at)
    made.receive(at, packs=40, made_date=date(2026, 4, 20))
    made.receive(at, packs=5, made_date=date(2025, 12, 1))
    slip = made.issue(at, packs=3)
    count = made.counts.record(
        actor=at.cast.bob,
        act=made.count_act(at.cast.site, (at.cement, "41"), explanation="one torn"),
        key="c",
        now=made.NOW,
    )
    site, place = at.cast.site.pk, places.store(at.cast.site).pk
    return {
        "stores": reverse("inventory:stores"),
        "store": reverse("inventory:store", args=[site]),
        "movements": reverse("inventory:movements", args=[site]),
        "ledger": reverse("inventory:ledger", args=[place, at.cement.material.pk]),
        "receipts": reverse("inventory:receipts"),
        "receipt": reverse("inventory:receipt", args=[Receipt.objects.last().pk]),
        "slips": reverse("inventory:slips"),
        "slip": reverse("inventory:slip", args=[slip.pk]),
        "counts": reverse("inventory:counts"),
        "count": reverse("inventory:count", args=[count.pk]),
    }


READS = ["stores", "store", "movements", "ledger", "receipts", "receipt", "slips", "slip", "counts", "count"]


OF_A_SITE = ["store", "movements", "ledger", "receipt", "slip", "count"]


@pytest.mark.parametrize("page", READS)
@pytest.mark.parametrize("who", ["alice", "bob", "olga"])
def test_everyone_of_the_firm_reads(filled, page, who):
    assert signed_in(who).get(filled[page]).status_code == 200


@pytest.mark.parametrize("page", OF_A_SITE)
def test_stranger_finds_nothing(filled, page):
    assert signed_in("charlie").get(filled[page]).status_code == 404


@pytest.mark.parametrize("page", READS)
def test_nobody_reads_without_signing_in(filled, page):
    assert Client().get(filled[page]).status_code == 302


@pytest.mark.parametrize("page", READS)
def test_stranger_sees_nothing_of_the_firm_in_lists(filled, page):
    answer = signed_in("charlie").get(filled[page])

    assert "Mill Yard" not in answer.text
    assert "RC-2026-0001" not in answer.text


@pytest.mark.parametrize("page", ["store", "ledger", "receipt", "slip", "count", "movements"])
def test_site_manager_sees_no_money(filled, page):
    assert "₹" not in signed_in("bob").get(filled[page]).text
    assert "₹" in signed_in("alice").get(filled[page]).text


def test_over_age_is_said_in_words(filled):
    text = signed_in("bob").get(filled["store"]).text

    assert "blocked: over age" in text


def test_ledger_of_a_period_and_a_bad_day(filled):
    bob = signed_in("bob")

    assert bob.get(filled["ledger"] + "?since=2026-05-01&until=2026-05-31").status_code == 200
    assert bob.get(filled["ledger"] + "?since=soon").status_code == 422
    assert bob.get(filled["ledger"] + "?after=nonsense").status_code == 400


def test_ledger_goes_on_by_key_and_keeps_its_period(at, bob):
    for _load in range(51):
        made.receive(at, packs=1)
    place = places.store(at.cast.site).pk
    url = reverse("inventory:ledger", args=[place, at.cement.material.pk])

    first = bob.get(url, {"since": "2026-01-01"})
    later = html.unescape(re.search(r'href="(\?[^"]+)" rel="next"', first.text).group(1))
    second = bob.get(url + later)

    assert later.startswith("?since=2026-01-01&after=")
    assert second.context["ledger"].opening.quantity == 50 * BAG
    assert len(second.context["ledger"].entries) == 1


def test_list_goes_on_by_key(at, bob):
    for _load in range(51):
        made.receive(at, packs=1)

    first = bob.get(reverse("inventory:receipts"))
    later = re.search(r'href="(\?after=[^"]+)" rel="next"', first.text).group(1)
    second = bob.get(reverse("inventory:receipts") + later)

    assert "RC-2026-0001" not in first.text
    assert "RC-2026-0001" in second.text
    assert Movement.objects.count() == 51


@pytest.mark.parametrize("page", ["stores", "store", "movements", "ledger", "receipts", "slips", "counts"])
def test_page_asks_as_many_queries_for_three_rows_as_for_one(filled, at, page):
    alice = signed_in("alice")
    alice.get(filled[page])
    with CaptureQueriesContext(connection) as first:
        alice.get(filled[page])
    for _more in range(2):
        ordered(at)
        goods.pour(at.cast.site, name=f"P{_more + 2}")
        made.receive(at, packs=40, made_date=date(2026, 4, 1 + _more))
        made.receive(at, packs=1, of=at.sand)
        made.issue(at, packs=3)
        book = str(made.balance("store", of=at.cement)[0] // BAG)
        act = made.count_act(at.cast.site, (at.cement, book))
        made.counts.record(actor=at.cast.bob, act=act, key=made.key(), now=made.NOW)

    with CaptureQueriesContext(connection) as then:
        alice.get(filled[page])

    assert len(then) == len(first)


def test_receipt_is_found_by_its_note(at, bob):
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=1), note_number="B-118")
    made.deliveries.record(actor=at.cast.bob, act=act, key="k", now=made.NOW)
    made.receive(at, packs=1)

    text = bob.get(reverse("inventory:receipts"), {"note": "B-118"}).text

    assert ("RC-2026-0001" in text, "RC-2026-0002" in text) == (True, False)
