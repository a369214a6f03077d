"""The pages of suppliers and orders, by role, and with what they do."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models import Offer, PurchaseOrder, Supplier
from projects.models import Person
from tests.factories import inventory_orders as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]
KEY = "6f0f7c5e-5d0c-4d1b-8a5a-0f6a7f1a2b3c"
KEY_2 = "6f0f7c5e-5d0c-4d1b-8a5a-0f6a7f1a2b3d"


@pytest.fixture
def setting():
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email="orders@hillfoot.example")
    make.offer(by, of=bags, pack_price=397_500_000)
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=108, price=397_500_000),))
    order = make.ordered(people.alice, act=act)
    return people, bags, by, order


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _addresses(by, order):
    return [
        "/suppliers/",
        f"/suppliers/{by.pk}/",
        "/suppliers/new/",
        f"/suppliers/{by.pk}/change/",
        f"/suppliers/{by.pk}/offers/new/",
        "/orders/",
        "/orders/new/",
        f"/orders/{order.pk}/",
        f"/orders/{order.pk}/cancel/",
        f"/orders/{order.pk}/close/",
    ]


@pytest.mark.parametrize(
    ("username", "codes"),
    [
        ("alice", [200, 200, 200, 200, 200, 200, 200, 200, 200, 200]),
        ("bob", [403, 403, 403, 403, 403, 200, 403, 200, 403, 403]),
        ("olga", [200, 200, 403, 403, 403, 200, 403, 200, 403, 403]),
        ("charlie", [200, 404, 200, 404, 404, 200, 200, 404, 404, 404]),
    ],
)
def test_who_sees_what(setting, client, username, codes):
    _people, _bags, by, order = setting
    _as(client, username)
    assert [client.get(address).status_code for address in _addresses(by, order)] == codes


def test_a_stranger_is_asked_to_sign_in(setting, client):
    _people, _bags, by, order = setting
    for address in _addresses(by, order):
        answer = client.get(address)
        assert (answer.status_code, answer["Location"]) == (302, f"/sign-in/?next={address}")


def test_the_site_manager_sees_orders_without_money_and_only_of_his_site(setting, client):
    people, bags, by, order = setting
    other = make.ordered(
        people.alice, act=make.order_act(people.other_site, by=by, lines=(make.line_of(bags, packs=5),))
    )
    page = _as(client, "bob").get("/orders/").content.decode()
    assert (order.number in page, other.number in page, "42,930" in page) == (True, False, False)
    assert "42,930" not in client.get(f"/orders/{order.pk}/").content.decode()
    assert client.get(f"/orders/{other.pk}/").status_code == 404
    assert "42,930.00" in _as(client, "alice").get(f"/orders/{order.pk}/").content.decode()


def test_charlie_sees_nothing_of_the_other_firms_orders_and_suppliers(setting, client):
    _people, _bags, by, order = setting
    _as(client, "charlie")
    pages = [client.get(address).content.decode() for address in ("/orders/", "/suppliers/", "/orders/new/")]
    assert [(order.number in page, by.name in page) for page in pages] == [(False, False)] * 3


def test_adding_a_supplier_and_a_price_goes_on_to_their_page(setting, client):
    people, bags, _by, _order = setting
    _as(client, "alice")
    answer = client.post("/suppliers/new/", {"key": KEY, "name": "Quarry End", "phone": "", "email": ""})
    added = Supplier.objects.get(name="Quarry End")
    assert (answer.status_code, answer["Location"]) == (302, f"/suppliers/{added.pk}/")
    typed = {
        "key": KEY_2,
        "pack_id": bags.pack.pk,
        "pack_price": "₹ 410.25".removeprefix("₹ "),
        "from_date": "2026-05-01",
        "minimum_packs": "10",
        "lead_days": "3",
    }
    answer = client.post(f"/suppliers/{added.pk}/offers/new/", typed)
    offer = Offer.objects.get(supplier=added)
    # 410.25 is 41,025 minor units, 410,250,000 of 1/10,000.
    assert (answer.status_code, offer.pack_price, offer.minimum_packs, offer.lead_days) == (
        302,
        410_250_000,
        10,
        3,
    )
    assert people.firm.pk == offer.material.firm_id


def test_a_refused_supplier_keeps_what_was_typed(setting, client):
    _people, _bags, by, _order = setting
    _as(client, "alice")
    answer = client.post("/suppliers/new/", {"key": KEY, "name": by.name, "phone": "044 17", "email": ""})
    page = answer.content.decode()
    assert (answer.status_code, "044 17" in page, "There is already a supplier called" in page) == (
        422,
        True,
        True,
    )


def _typed(people, by, bags, **more):
    day = timezone.localdate() + timedelta(days=3)
    return {
        "key": KEY,
        "site_id": people.site.pk,
        "supplier_id": by.pk,
        "expected_date": day.isoformat(),
        "pack_1": bags.pack.pk,
        "packs_1": "12",
        "price_1": "",
        "pour_1": "",
    } | more


def test_writing_an_order_takes_the_suppliers_price_where_none_is_typed(setting, client):
    people, bags, by, _order = setting
    pour = make.pour(people.site)
    typed = _typed(people, by, bags, pour_1=pour.pk)
    answer = _as(client, "alice").post("/orders/new/", typed)
    made = PurchaseOrder.objects.get(state="draft")
    # 12 x 397.50 = 4,770.00
    assert (answer.status_code, made.total_minor, made.lines.get().pour_id) == (302, 477_000, pour.pk)
    assert answer["Location"] == f"/orders/{made.pk}/"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"packs_1": ""}, "Say how many packs."),
        ({"pack_1": ""}, "Choose what it is."),
        ({"price_2": "397.50"}, "Choose what it is."),
        ({"pack_1": "", "packs_1": ""}, "Add what to buy."),
        ({"expected_date": "2020-01-01"}, "Give a day from today on."),
        ({"packs_1": "a few"}, "is not a number"),
    ],
)
def test_a_refused_order_says_why_and_keeps_the_day(setting, client, more, words):
    people, bags, by, _order = setting
    typed = _typed(people, by, bags, **more)
    answer = _as(client, "alice").post("/orders/new/", typed)
    page = answer.content.decode()
    assert (answer.status_code, words in page, typed["expected_date"] in page) == (422, True, True)
    assert PurchaseOrder.objects.count() == 1


def test_approve_send_and_close_from_the_orders_page(setting, client):
    people, bags, by, _order = setting
    _as(client, "alice").post("/orders/new/", _typed(people, by, bags))
    made = PurchaseOrder.objects.get(state="draft")
    states = []
    for step, more in (("approve", {}), ("send", {}), ("close", {"reason": "the rest is not needed"})):
        answer = client.post(f"/orders/{made.pk}/{step}/", {"key": KEY[:-1] + str(len(states)), **more})
        made.refresh_from_db()
        states.append((answer.status_code, made.state))
    assert states == [(302, "approved"), (302, "sent"), (302, "closed")]


def test_a_step_out_of_turn_shows_the_order_with_the_reason(setting, client):
    _people, _bags, _by, order = setting
    answer = _as(client, "alice").post(f"/orders/{order.pk}/approve/", {"key": KEY})
    assert (answer.status_code, "is approved by now" in answer.content.decode()) == (409, True)


def test_an_order_above_the_limit_tells_the_office_who_decides(client):
    people = cast(approval_limit_minor=100)
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    make.offer(by, of=bags)
    _as(client, "alice").post("/orders/new/", _typed(people, by, bags))
    made = PurchaseOrder.objects.get()
    answer = client.post(f"/orders/{made.pk}/approve/", {"key": KEY_2})
    assert (answer.status_code, "it waits for the owner" in answer.content.decode()) == (403, True)
    assert _as(client, "olga").post(f"/orders/{made.pk}/approve/", {"key": KEY_2}).status_code == 302


@pytest.mark.parametrize("count", [1, 3])
def test_lists_ask_a_fixed_number_of_queries(setting, client, django_assert_num_queries, count):
    people, bags, _by, _order = setting
    for n in range(1, count):
        extra = make.supplier(people.firm.pk, name=f"Supplier {n}")
        make.ordered(
            people.alice, act=make.order_act(people.site, by=extra, lines=(make.line_of(bags, packs=n),))
        )
    _as(client, "alice")
    with django_assert_num_queries(7):
        assert client.get("/orders/").status_code == 200
    with django_assert_num_queries(5):
        assert client.get("/suppliers/").status_code == 200


@pytest.mark.parametrize("count", [1, 3])
def test_an_order_asks_a_fixed_number_of_queries(setting, client, django_assert_num_queries, count):
    people, bags, by, _order = setting
    lines = tuple(
        make.line_of(bags, packs=n, pour=make.pour(people.site, slab=f"S{n}")) for n in range(1, count + 1)
    )
    order = make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=lines))
    _as(client, "alice")
    with django_assert_num_queries(11):
        assert client.get(f"/orders/{order.pk}/").status_code == 200
