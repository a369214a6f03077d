"""A site manager of a firm that keeps its prices to itself finds no price anywhere."""

from __future__ import annotations

import pytest

from api.resources.plan import SuggestionInFull
from projects.models import Firm
from tests.api import addresses
from tests.api.bodies import bodies
from tests.api.calls import code

pytestmark = [pytest.mark.django_db, pytest.mark.data]

OF_MONEY_ALONE = {
    "spend/",
    "slabs/<row:slab_id>/spend/",
    "plan/",
    "plan/what-if/",
    "plan/terms/",
    "plan/roads/",
    "suggestions/<row:suggestion_id>/",
    "materials/<row:material_id>/rates/",
    "suppliers/<row:supplier_id>/offers/",
    "suppliers/<row:supplier_id>/unbilled/",
    "suppliers/<row:supplier_id>/payments/",
    "supplier-bills/",
    "supplier-bills/<row:supplier_bill_id>/",
    "owed/",
    "limits/",
    "enquiries/",
    "enquiries/<row:enquiry_id>/",
}
KEYS = {"minor", "ten_thousandths", "pack_price", "rate", "amount", "total", "price"}
WITH_MONEY = {
    "suppliers/",
    "suppliers/<row:supplier_id>/",
    "transfers/",
    "hires/",
    "hires/<row:hire_id>/",
    "transfers/<row:transfer_id>/",
    "slabs/",
    "slabs/<row:slab_id>/",
    "slabs/<row:slab_id>/bills/",
    "slabs/<row:slab_id>/comparison/",
    "slabs/<row:slab_id>/stock/",
    "designs/<row:design_id>/takeoff/",
    "bills/<row:bill_id>/",
    "materials/",
    "agreements/",
    "agreements/<row:agreement_id>/",
    "orders/",
    "orders/<row:order_id>/",
    "receipts/<row:receipt_id>/",
    "slips/<row:slip_id>/",
    "counts/<row:count_id>/",
    "sites/<row:site_id>/stock/",
    "sites/<row:site_id>/movements/",
    "places/<row:place_id>/ledger/",
} | (OF_MONEY_ALONE - {"enquiries/"})  # the list says only who was asked for what


def test_money_shows_to_the_office_and_not_to_the_site_manager(alice, bob, ours):
    for address in addresses.reads():
        if address.pattern == "design-sheet-schema/":
            continue  # names fields, and shows no figure of anybody's
        path, query = address.path(ours), address.query(ours)

        shown = KEYS & set(_keys(alice.get(path, **query).json()))
        hidden = KEYS & set(_keys(bob.get(path, **query).json()))

        assert bool(shown) == (address.pattern in WITH_MONEY), address
        assert hidden == set(), address


@pytest.mark.parametrize("address", [a for a in addresses.reads() if a.pattern in OF_MONEY_ALONE])
def test_prices_alone_are_refused_to_the_site_manager(bob, ours, address):
    assert code(bob.get(address.path(ours))) == (403, "not_allowed")


def test_site_manager_sees_money_where_the_firm_allows_it(bob, ours):
    Firm.objects.filter(pk=ours.site.firm_id).update(site_sees_money=True)

    assert "minor" in set(_keys(bob.get(f"orders/{ours.order.pk}/").json()))


def test_reason_of_a_suggestion_keeps_the_prices_to_who_sees_money(firm, ours):
    to_alice, to_bob = (_reason(ours.suggestion, shown_to=who) for who in (firm.alice, firm.bob))

    assert "pack_price" in set(_keys(to_alice))
    assert "pack_price" not in set(_keys(to_bob))
    assert to_bob["offers"] != []


def test_act_of_a_site_manager_answers_without_money(bob, ours):
    answer = bob.post("slips/issues/", bodies(ours)["slips/issues/"])

    assert answer.status_code == 201
    assert KEYS & set(_keys(answer.json())) == set()


def _reason(suggestion, *, shown_to):
    return SuggestionInFull(suggestion, context={"actor": shown_to}).data["reason"]


def _keys(data):
    if isinstance(data, dict):
        for name, value in data.items():
            yield name
            yield from _keys(value)
    elif isinstance(data, list):
        for value in data:
            yield from _keys(value)
