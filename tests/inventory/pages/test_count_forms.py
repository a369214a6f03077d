import re

import pytest
from django.urls import reverse

from inventory.models import StockCount
from projects.models import Pour
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def test_count_is_blind_until_a_difference_is_found(at, bob):
    made.receive(at, packs=3719)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    box = at.cement.material.pk
    first = bob.get(url)
    typed = sheet(bob, url) | {f"found_{box}": "35"}

    far = bob.post(url, typed)
    again = typed | {"recounted": "on"}
    asked = bob.post(url, again)
    told = bob.post(url, again | {f"explanation_{box}": "the rest was carried off"})

    assert not re.search(r"3.?719|185.?950", first.text + far.text)
    assert (far.status_code, "Count it again" in far.text) == (422, True)
    assert asked.status_code == 422
    assert "The book says 3,719 bags" in asked.text.replace("\N{NO-BREAK SPACE}", " ")
    assert told.status_code == 302
    count = StockCount.objects.get()
    assert (count.state, count.lines.get().explanation) == ("waiting", "the rest was carried off")


def test_count_that_waits_stands_on_the_owners_sheet_and_is_approved_there(at, bob):
    made.receive(at, packs=40)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    box = at.cement.material.pk
    bob.post(url, sheet(bob, url) | {f"found_{box}": "20", f"explanation_{box}": "stolen", "recounted": "on"})
    olga, count = signed_in("olga"), StockCount.objects.get()

    today = olga.get("/")
    listed = olga.get(reverse("inventory:counts") + "?only=waiting")
    approve = reverse("inventory:count_approve", args=[count.pk])
    answer = olga.post(approve, sheet(olga, approve))
    marked = olga.get(reverse("inventory:counts") + "?only=one_person")

    assert "1 count lies far from the book" in today.text
    assert count.number in listed.text
    assert answer.status_code == 302
    assert "Olga" in olga.get(answer.url).text
    assert count.number in marked.text
    assert made.balance("store", of=at.cement)[0] == 20 * BAG


def test_posted_count_is_taken_back_on_its_page(at):
    made.receive(at, packs=40)
    act = made.count_act(at.cast.site, (at.cement, "20"), explanation="stolen")
    count = made.counts.record(actor=at.cast.alice, act=act, key=made.key(), now=made.NOW)
    alice = signed_in("alice")
    url = reverse("inventory:count_take_back", args=[count.pk])

    answer = alice.post(url, sheet(alice, url) | {"reason": "the wrong store"})

    assert "the wrong store" in alice.get(answer.url).text
    assert made.balance("store", of=at.cement)[0] == 40 * BAG


def test_nothing_counted_is_asked_for_and_none_found_is_a_figure(at, bob):
    made.receive(at, packs=37)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    box = at.cement.material.pk

    empty = bob.post(url, sheet(bob, url))
    none = bob.post(
        url, sheet(bob, url) | {f"found_{box}": "0", f"explanation_{box}": "all gone", "recounted": "on"}
    )

    assert (empty.status_code, none.status_code) == (422, 302)


def test_reason_without_its_figure_is_asked_for_and_not_left_out(at, bob):
    made.receive(at, packs=37)
    made.receive(at, packs=2, of=at.sand)
    url = reverse("inventory:count_new", args=[at.cast.site.pk])
    boxes = {f"found_{at.cement.material.pk}": "37", f"explanation_{at.sand.material.pk}": "washed away"}

    answer = bob.post(url, sheet(bob, url) | boxes)

    assert (answer.status_code, set(answer.context["form"].errors)) == (
        422,
        {f"found_{at.sand.material.pk}"},
    )


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


def test_site_manager_and_owner_do_not_open_stock(at, bob):
    url = reverse("inventory:opening_new", args=[at.cast.site.pk])

    assert bob.get(url).status_code == 403
    assert signed_in("olga").get(url).status_code == 403
