"""A transfer on the pages: sent from one store, received at the other, called back."""

import uuid

import pytest

from inventory.models import Transfer
from projects.models import Person
from tests.factories import inventory_orders as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def yard():
    people = cast()
    bags = make.cement(people.firm.pk)
    make.in_store(people.alice, site=people.site, of=bags, packs=40, value_minor=1_600_000)
    return people, bags


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _text(answer):
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(page.split())


def _send(client, yard, **changes):
    people, bags = yard
    typed = {
        "key": str(uuid.uuid4()),
        "to_site_id": people.other_site.pk,
        f"amount_{bags.material.pk}": "12",
    }
    return client.post(f"/stores/{people.site.pk}/send/", typed | changes)


def test_bags_are_sent_and_received_with_two_lost(client, yard):
    people, _ = yard
    answer = _send(_as(client, "bob"), yard)
    transfer = Transfer.objects.get()
    assert (answer.status_code, answer.url) == (302, f"/stores/transfers/{transfer.pk}/")
    assert "on the road" in _text(client.get(answer.url))
    _as(client, "alice")
    assert transfer.number in _text(client.get(f"/stores/{people.other_site.pk}/"))
    form = client.get(f"/stores/transfers/{transfer.pk}/receive/").content.decode()
    assert 'name="found_1" value="12"' in form
    typed = {"key": str(uuid.uuid4()), "found_1": "10", "lost_reason_1": ""}
    answer = client.post(f"/stores/transfers/{transfer.pk}/receive/", typed)
    assert answer.status_code == 422
    assert "Say what happened to the rest." in _text(answer)
    typed |= {"key": str(uuid.uuid4()), "lost_reason_1": "two bags burst"}
    client.post(f"/stores/transfers/{transfer.pk}/receive/", typed)
    page = _text(client.get(f"/stores/transfers/{transfer.pk}/"))
    assert "received" in page
    assert "two bags burst" in page
    assert "10 bags" in page


def test_freight_is_asked_of_those_who_see_money(client, yard):
    people, _ = yard
    address = f"/stores/{people.site.pk}/send/"
    assert "freight_minor" not in _as(client, "bob").get(address).content.decode()
    assert "freight_minor" in _as(client, "alice").get(address).content.decode()
    _send(client, yard, freight_minor="600")
    assert Transfer.objects.get().freight_minor == 60_000


def test_a_transfer_is_called_back_with_a_word_on_why(client, yard):
    _send(_as(client, "bob"), yard)
    transfer = Transfer.objects.get()
    typed = {"key": str(uuid.uuid4()), "reason": "the lorry broke down"}
    client.post(f"/stores/transfers/{transfer.pk}/call-back/", typed)
    assert "the lorry broke down" in _text(client.get(f"/stores/transfers/{transfer.pk}/"))
    assert "called back" in _text(client.get("/stores/transfers/"))


def test_more_than_is_there_is_refused_at_its_box(client, yard):
    _, bags = yard
    answer = _send(_as(client, "bob"), yard, **{f"amount_{bags.material.pk}": "41"})
    assert answer.status_code == 422
    assert "you asked for" in _text(answer)
