"""Pages of a supplier's terms, of price breaks and of holidays, and what the plan says of them."""

from datetime import date

import pytest

from inventory.models import Offer, Suggestion
from inventory.services import planning, supplier_terms
from inventory.services.supplier_terms import SupplierTermsAct
from projects.access import actor as actors
from projects.models import Holiday, Person
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]
KEY = "6f0f7c5e-5d0c-4d1b-8a5a-0f6a7f1a2b3c"
BAG = make.BAG_G


@pytest.fixture
def setting(client):
    people = cast()
    client.force_login(Person.objects.get(username="alice"))
    return people, make.cement(people.firm.pk), make.supplier(people.firm.pk)


def test_terms_are_typed_and_shown(client, setting):
    _people, _bags, by = setting
    typed = {"key": KEY, "trip_minor": "900", "truck_kg": "9000", "delivery_days": ["1", "4"]}
    answer = client.post(f"/suppliers/{by.pk}/terms/", typed, follow=True)
    by.refresh_from_db()
    assert (by.trip_minor, by.truck_kg, by.delivery_days) == (90_000, 9_000, [1, 4])
    assert b"Tuesday, Friday" in answer.content
    refused = client.post(f"/suppliers/{by.pk}/terms/", typed | {"truck_kg": "0"})
    assert (refused.status_code, b"too small" in refused.content) == (422, True)


def test_an_offer_is_typed_with_its_breaks_and_its_last_day(client, setting):
    _people, bags, by = setting
    typed = {
        "key": KEY,
        "pack_id": bags.pack.pk,
        "pack_price": "400",
        "from_date": "2026-05-01",
        "minimum_packs": "1",
        "lead_days": "2",
        "valid_until": "2026-05-03",
        "break_packs_1": "50",
        "break_price_1": "380.50",
    }
    half = client.post(f"/suppliers/{by.pk}/offers/new/", typed | {"break_price_1": ""})
    assert (half.status_code, b"Say what a pack costs then" in half.content) == (422, True)
    answer = client.post(f"/suppliers/{by.pk}/offers/new/", typed, follow=True)
    offer = Offer.objects.get()
    assert [(one.from_packs, one.pack_price) for one in offer.breaks.all()] == [(50, 380_500_000)]
    assert (offer.valid_until, offer.incremental, offer.truck_packs) == (date(2026, 5, 3), False, None)
    assert b"380.50 from 50" in answer.content
    assert b"over: not planned with" in answer.content


def test_the_plan_says_on_which_terms(client, setting):
    people, bags, by = setting
    make.offer(by, of=bags)
    act = SupplierTermsAct(supplier_id=by.pk, trip_minor=90_000, delivery_days=(1, 4))
    supplier_terms.set_terms(actor=people.alice, act=act, key="t", now=NOW)
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=planning.PlanAct(), key="p", now=NOW)
    page = client.get(f"/plan/{Suggestion.objects.get().pk}/").content.decode()
    assert "One truck brings it, for" in page
    assert "They deliver on: Tuesday, Friday." in page


def test_a_holiday_is_added_listed_and_taken_out(client, setting):
    del setting
    page = client.post("/holidays/", {"key": KEY, "day": "2199-08-15", "name": "Harvest"}, follow=True)
    row = Holiday.objects.get()
    assert b"Harvest" in page.content
    client.post(f"/holidays/{row.pk}/take-out/", {"key": KEY.replace("6", "7")})
    row.refresh_from_db()
    assert row.worked
