import re
from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Receipt, StockCount, StockSlip
from inventory.models.ledger import Movement
from inventory.services import places
from projects.models import Person, Pour
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


def signed_in(name):
    client = Client()
    client.force_login(Person.objects.get(username=name))
    return client


@pytest.fixture
def bob(at):
    return signed_in("bob")


def ordered(at, *, packs=80, of=None):
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(of or at.cement, packs=packs),))
    return goods.ordered(at.cast.alice, act=act)


def sheet(client, url):
    """Get a form page and return its address with the values that it carries."""
    page = client.get(url)
    assert page.status_code == 200
    typed = {}
    for tag in re.findall(r"<input[^>]*>", page.text):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and name.group(1) != "csrfmiddlewaretoken":
            typed[name.group(1)] = value.group(1) if value else ""
    return typed


# Receipts


def test_delivery_as_ordered_takes_one_tap_on_its_sheet(at, bob):
    order = ordered(at)
    url = reverse("inventory:receipt_of_order", args=[order.pk])
    typed = sheet(bob, url)

    answer = bob.post(url, typed | {"as_ordered": "1"}, follow=True)

    receipt = Receipt.objects.get()
    assert answer.redirect_chain == [(reverse("inventory:receipt", args=[receipt.pk]), 302)]
    assert made.balance("store", of=at.cement)[0] == 80 * BAG
    assert receipt.match == "ordered"


def test_same_sheet_sent_twice_counts_once(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"as_ordered": "1"}

    first = bob.post(url, typed)
    again = bob.post(url, typed)

    assert (first.status_code, again.status_code) == (302, 302)
    assert first.url == again.url
    assert Receipt.objects.count() == 1


def test_other_quantities_with_note_lot_and_rejection(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {
        "found_1": "78",
        "stated_1": "80",
        "rejected_1": "2",
        "why_1": "wet",
        "made_1": "2026-04-20",
        "note_number": "B-7",
    }

    bob.post(url, typed)

    line = Receipt.objects.get().lines.get()
    assert (line.stated_thousandths, line.found_thousandths, line.rejected_thousandths) == (
        80_000,
        78_000,
        2_000,
    )
    assert (line.lot.made_date, line.order_line is not None) == (date(2026, 4, 20), True)
    assert Receipt.objects.get().note_number == "B-7"


def test_all_as_ordered_beside_a_changed_figure_is_refused(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"found_1": "79", "as_ordered": "1"}

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert "Figures below were changed" in answer.text
    assert 'value="79"' in answer.text
    assert Receipt.objects.count() == 0


def test_note_used_before_asks_and_keeps_what_was_typed(at, bob):
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=1), note_number="B-7")
    made.deliveries.record(actor=at.cast.bob, act=act, key="k", now=made.NOW)
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"note_number": "B-7", "as_ordered": "1"}

    asked = bob.post(url, typed)
    answered = bob.post(url, typed | {"same_note_answer": "second truck"})

    assert asked.status_code == 422
    assert "is recorded already" in asked.text
    assert 'name="same_note_answer"' in asked.text
    assert answered.status_code == 302


def test_fault_of_a_line_stands_at_its_box(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"found_1": "80", "rejected_1": "81", "why_1": "wet"}

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert answer.context["form"]["rejected_1"].errors


@pytest.mark.parametrize("typed", ["eighty", "-1", "0.0001"])
def test_figure_that_is_none_keeps_what_was_typed(at, bob, typed):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])

    answer = bob.post(url, sheet(bob, url) | {"found_1": typed})

    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.text


def test_delivery_that_was_not_ordered(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_1": "12",
        "what_3": f"{at.sand.material.pk}:m3",
        "found_3": "4.5",
    }

    answer = bob.post(url, typed)

    assert answer.status_code == 302
    lines = Receipt.objects.get().lines.order_by("position")
    assert [(line.material.code, line.accepted) for line in lines] == [
        ("cement", 600_000),
        ("sand", 4_500_000),
    ]


def test_row_without_figure_or_without_material_is_asked_for(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_2": "3",
    }

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"found_1", "what_2"}


def test_fault_in_the_third_row_stands_there_though_the_second_is_empty(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_1": "12",
        "what_3": f"{at.sand.material.pk}:m3",
        "found_3": "4",
        "rejected_3": "5",
        "why_3": "full of roots",
    }

    answer = bob.post(url, typed)

    assert set(answer.context["form"].errors) == {"rejected_3"}


def test_receipt_is_taken_back_with_a_reason(at, bob):
    receipt = made.receive(at, packs=10)
    url = reverse("inventory:receipt_take_back", args=[receipt.pk])

    refused = bob.post(url, sheet(bob, url))
    done = bob.post(url, sheet(bob, url) | {"reason": "wrong site"}, follow=True)

    assert refused.status_code == 422
    assert "was taken back; it no longer counts" in done.text
    assert made.balance("store", of=at.cement)[0] == 0


# Slips


def test_issue_to_a_pour(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    box = f"amount_{at.cement.material.pk}"

    answer = bob.post(url, sheet(bob, url) | {box: "4", "given_to": "Mason Ravi"}, follow=True)

    assert "Mason Ravi" in answer.text
    assert made.balance("slab", of=at.cement)[0] == 4 * BAG


def test_last_bags_issued_twice_with_one_sheet_count_once(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    typed = sheet(bob, url) | {f"amount_{at.cement.material.pk}": "10"}

    answers = [bob.post(url, typed).status_code for _again in range(2)]

    assert answers == [302, 302]
    assert StockSlip.objects.count() == 1


def test_issue_of_more_than_there_is_says_what_is_there(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    box = f"amount_{at.cement.material.pk}"

    answer = bob.post(url, sheet(bob, url) | {box: "11"})

    assert answer.status_code == 422
    assert "There are 500 kg (10 × bag) of Cement in the store" in answer.text
    assert answer.context["form"][box].errors


def test_heaps_are_not_issued_by_slip(at, bob):
    made.receive(at, packs=10)
    made.receive(at, packs=1, of=at.sand)

    typed = sheet(bob, reverse("inventory:issue_new", args=[at.pour.pk]))

    assert f"amount_{at.cement.material.pk}" in typed
    assert f"amount_{at.sand.material.pk}" not in typed


def test_empty_slip_asks_for_an_amount(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])

    answer = bob.post(url, sheet(bob, url))

    assert "Enter the amount of at least one material" in answer.text


def test_return_and_waste(at, bob):
    made.receive(at, packs=10)
    made.issue(at, packs=6)
    box = f"amount_{at.cement.material.pk}"
    back = reverse("inventory:return_new", args=[at.pour.pk])
    lost = reverse("inventory:waste_new", args=[at.cast.site.pk])
    spilt = reverse("inventory:pour_waste_new", args=[at.pour.pk])

    bob.post(back, sheet(bob, back) | {box: "1"})
    bob.post(lost, sheet(bob, lost) | {box: "2", "reason": "torn"})
    bob.post(spilt, sheet(bob, spilt) | {box: "0.5", "reason": "set hard"})

    assert made.balance("store", of=at.cement)[0] == 3 * BAG
    assert made.balance("slab", of=at.cement)[0] == 225_000
    assert made.balance("waste", of=at.cement)[0] == 125_000


def test_slip_is_taken_back(at, bob):
    made.receive(at, packs=10)
    slip = made.issue(at, packs=6)
    url = reverse("inventory:slip_take_back", args=[slip.pk])

    bob.post(url, sheet(bob, url) | {"reason": "other slab"})

    assert made.balance("store", of=at.cement)[0] == 10 * BAG


# Counts


def test_count_is_blind_until_a_difference_is_found(at, bob):
    made.receive(at, packs=3719)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    box = at.cement.material.pk
    first = bob.get(url)
    typed = sheet(bob, url) | {f"found_{box}": "35"}

    asked = bob.post(url, typed)
    told = bob.post(url, typed | {f"explanation_{box}": "two burst"})

    assert not re.search(r"3.?719|185.?950", first.text)
    assert asked.status_code == 422
    assert "The book says 3,719 bags" in asked.text.replace("\N{NO-BREAK SPACE}", " ")
    assert told.status_code == 302
    assert StockCount.objects.get().lines.get().explanation == "two burst"


def test_nothing_counted_is_asked_for_and_none_found_is_a_figure(at, bob):
    made.receive(at, packs=37)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    box = at.cement.material.pk

    empty = bob.post(url, sheet(bob, url))
    none = bob.post(url, sheet(bob, url) | {f"found_{box}": "0", f"explanation_{box}": "all gone"})

    assert (empty.status_code, none.status_code) == (422, 302)


def test_pour_is_closed_with_its_heaps(at, bob):
    line = goods.Priced(material=at.sand.material, net=9_000_000, allowance=0, rate=0, amount_minor=0)
    goods.bill(at.pour.slab, [line])
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)
    url = reverse("inventory:pour_close", args=[at.pour.pk])
    typed = sheet(bob, url) | {f"found_{at.sand.material.pk}": "8"}

    answers = [bob.post(url, typed).status_code for _again in range(2)]

    assert answers == [302, 302]
    assert made.balance("slab", of=at.sand)[0] == 12_000_000
    assert Pour.objects.get(pk=at.pour.pk).state == "closed"


def test_pour_without_heaps_is_closed_at_once(at, bob):
    made.placed(at)
    url = reverse("inventory:pour_close", args=[at.pour.pk])

    bob.post(url, sheet(bob, url))

    assert Pour.objects.get(pk=at.pour.pk).state == "closed"


# Opening stock


def test_opening_stock_by_the_office(at):
    alice = signed_in("alice")
    url = reverse("inventory:opening_new", args=[at.cast.site.pk])
    typed = sheet(alice, url) | {
        "what": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "amount": "20",
        "value_minor": "7,600.00",
    }

    answer = alice.post(url, typed)

    assert answer.status_code == 302
    assert made.balance("store", of=at.cement) == (1_000_000, 760_000)


# Reading


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


ACTS = [
    ("count_new", "site"),
    ("waste_new", "site"),
    ("issue_new", "pour"),
    ("return_new", "pour"),
    ("pour_waste_new", "pour"),
    ("pour_close", "pour"),
]


@pytest.mark.parametrize(("page", "of"), ACTS)
def test_forms_by_role(at, page, of):
    url = reverse(f"inventory:{page}", args=[at.cast.site.pk if of == "site" else at.pour.pk])

    answers = {who: signed_in(who).get(url).status_code for who in ("alice", "bob", "olga", "charlie")}

    assert answers == {"alice": 200, "bob": 200, "olga": 403, "charlie": 404}


def test_manager_of_another_site_finds_no_form(at, bob):
    for page in ("count_new", "waste_new", "store"):
        assert bob.get(reverse(f"inventory:{page}", args=[at.cast.other_site.pk])).status_code == 404


def test_site_manager_and_owner_do_not_open_stock(at, bob):
    url = reverse("inventory:opening_new", args=[at.cast.site.pk])

    assert bob.get(url).status_code == 403
    assert signed_in("olga").get(url).status_code == 403


def test_receiving_by_role(at):
    pages = [
        reverse("inventory:expected"),
        reverse("inventory:receipt_new"),
        reverse("inventory:receipt_of_order", args=[ordered(at).pk]),
    ]

    answers = {
        who: [signed_in(who).get(url).status_code for url in pages] for who in ("alice", "bob", "olga")
    }

    assert answers == {"alice": [200, 200, 200], "bob": [200, 200, 200], "olga": [403, 403, 403]}
    assert signed_in("charlie").get(pages[2]).status_code == 404


def test_ledger_of_a_period_and_a_bad_day(filled):
    bob = signed_in("bob")

    assert bob.get(filled["ledger"] + "?since=2026-05-01&until=2026-05-31").status_code == 200
    assert bob.get(filled["ledger"] + "?since=soon").status_code == 422
    assert bob.get(filled["ledger"] + "?after=nonsense").status_code == 400


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
