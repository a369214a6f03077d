"""The page of what a new bill touches, and the way to it from the difference of two bills."""

import pytest

from projects.models import Person
from tests.factories import estimates as estimates_make
from tests.factories import inventory_orders as make
from tests.factories import two_slabs
from tests.factories.cast import cast
from tests.factories.inventory_orders import BAG_G, Priced

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _text(client, username, address):
    client.force_login(Person.objects.get(username=username))
    page = client.get(address).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(page.split())


def _smaller(made):
    """A bill of 160 bags after the one of 200: 180 are ordered, 175 came."""
    line = Priced(material=made.bags.material, net=160 * BAG_G, allowance=0, rate=1, amount_minor=1)
    return make.bill(made.roof.slab, [line])


def test_the_page_says_what_to_stop_and_what_lies_here(client):
    made = two_slabs.build()
    page = _text(client, "alice", f"/bills/{_smaller(made).pk}/touches/")
    assert "take 5 bags off the open orders" in page
    assert "15 bags here already and not needed by it" in page
    assert made.order.number in page


def test_a_first_bill_touches_nothing(client):
    made = two_slabs.build()
    first = made.roof.slab.designs.get().bills.get()
    assert "nothing was bought for an earlier one" in _text(client, "bob", f"/bills/{first.pk}/touches/")


def test_the_difference_of_two_bills_shows_the_marks_and_leads_to_the_orders(client):
    people = cast()
    estimates_make.with_rates(people.alice)
    first = estimates_make.billed_slab(people.alice, site=people.site)
    bars = [{**estimates_make.SHEET["bars"][0], "dimensions": {"A": 3060}}, estimates_make.SHEET["bars"][1]]
    revision = {**estimates_make.SHEET["drawing"], "revision": "B"}
    design = estimates_make.design(people.alice, on=first.design.slab, bars=bars, drawing=revision)
    bill = estimates_make.bill(people.alice, of=design)
    page = _text(client, "alice", f"/bills/{bill.pk}/difference/")
    assert '27 × 2,960 mm <span class="soft">of 10 mm, straight' in page
    assert '27 × 3,060 mm <span class="soft">of 10 mm, straight' in page
    assert "no longer fit" in page
    assert f"/bills/{bill.pk}/touches/" in page
