"""The comparison and spend pages, by role."""

import pytest

from projects.models import Firm, Person
from tests.factories import inventory_orders as make
from tests.factories import two_slabs

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _text(answer):
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(page.split())


@pytest.mark.parametrize(
    ("username", "codes"),
    [
        ("alice", [200, 200, 200, 200, 200]),
        ("bob", [200, 404, 403, 403, 403]),
        ("olga", [200, 200, 200, 200, 200]),
        ("charlie", [404, 404, 200, 404, 404]),
    ],
)
def test_who_sees_what(client, username, codes):
    made = two_slabs.build()
    roof, stair = made.roof.slab_id, made.stair.slab_id
    addresses = [
        f"/slabs/{roof}/comparison/",
        f"/slabs/{stair}/comparison/",
        "/spend/",
        f"/spend/slabs/{roof}/",
        f"/spend/slabs/{stair}/",
    ]
    _as(client, username)
    assert [client.get(address).status_code for address in addresses] == codes


def test_the_comparison_says_what_is_short_in_quantity_day_and_money(client):
    made = two_slabs.build()
    page = _text(_as(client, "alice").get(f"/slabs/{made.roof.slab_id}/comparison/"))
    assert "short by 20 bags on 18 May" in page
    assert "₹8,000.00 at the estimate" in page
    assert "the notes say 180 bags, 5 bags less were accepted" in page


def test_the_comparison_says_what_is_over(client):
    made = two_slabs.build()
    page = _text(_as(client, "olga").get(f"/slabs/{made.stair.slab_id}/comparison/"))
    assert "over by 3 bags" in page
    assert "₹1,200.00 at the estimate" in page


def test_the_site_manager_compares_without_money(client):
    made = two_slabs.build()
    page = _text(_as(client, "bob").get(f"/slabs/{made.roof.slab_id}/comparison/"))
    assert ("short by 20 bags" in page, "₹" in page, "at the estimate" in page) == (True, False, False)


def test_the_owners_sheet_names_the_slabs_over_budget(client):
    two_slabs.build()
    page = _text(_as(client, "olga").get("/spend/"))
    assert "Roof</a> will cost ₹1,800.00 more than its budget." in page
    # All slabs: budget 88,000.00, used 71,160.00, forecast 91,460.00, as worked out in two_slabs.
    for figure in ("88,000.00", "71,160.00", "91,460.00"):
        assert figure in page
    # Everything bought: 84,350.00.
    assert "84,350.00" in page


def test_a_slabs_cost_by_material_adds_up(client):
    made = two_slabs.build()
    page = _text(_as(client, "olga").get(f"/spend/slabs/{made.stair.slab_id}/"))
    for figure in ("8,000.00", "9,660.00", "1,200.00", "460.00"):
        assert figure in page
    assert "It cost ₹9,660.00." in page


def test_a_firm_may_let_its_sites_see_money(client):
    made = two_slabs.build()
    Firm.objects.filter(pk=made.people.firm.pk).update(site_sees_money=True)
    page = _text(_as(client, "bob").get("/spend/"))
    assert ("Roof" in page, "Stair" in page) == (True, False)


def test_an_empty_firm_is_told_what_to_do(client):
    two_slabs.build()
    assert "No slab yet." in _text(_as(client, "charlie").get("/spend/"))


def test_orders_for_no_pour_stand_below_the_sheet(client):
    made = two_slabs.build()
    assert "for no pour" not in _text(_as(client, "olga").get("/spend/"))
    line = make.line_of(made.bags, packs=10, price=420_000_000)
    act = make.order_act(made.people.site, by=made.order.supplier, lines=(line,))
    make.ordered(made.people.alice, act=act)
    assert "4,200.00 more are committed to stock that is for no pour." in _text(client.get("/spend/"))
