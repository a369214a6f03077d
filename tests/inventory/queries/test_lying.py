"""Balances by place, and the ledger of one lot, down to the movements."""

from datetime import timedelta

import pytest
from django.urls import reverse

from inventory.models import Lot, LotStock, Place
from inventory.queries import lying, movements, spend
from inventory.queries.movements import Question
from projects.errors import NotFound
from tests.factories import inventory_stock as made
from tests.factories import two_slabs
from tests.factories.cast import TODAY
from tests.factories.looking import signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


def _value(actor, group):
    return sum(row.value_minor for row in lying.balances(actor, group=group).rows)


def test_each_sum_of_value_is_the_sum_of_its_balances():
    olga = two_slabs.build().people.olga
    where = spend.of_firm(olga, today=TODAY).whereabouts

    assert _value(olga, "slab") == where.on_slabs
    assert _value(olga, "stores") == where.in_stores
    assert _value(olga, "lost") == where.wasted_for_slabs + where.lost_otherwise
    assert _value(olga, "bought") == -where.bought


def test_balances_are_the_actors_own_and_come_in_pages(django_assert_num_queries):
    people = two_slabs.build().people

    with django_assert_num_queries(1):
        first = lying.balances(people.olga, count=2)
        shown = [str(row.stock.place) + row.stock.material.name for row in first.rows]

    second = lying.balances(people.olga, start=2)
    assert (len(shown), first.more, second.more) == (2, True, False)
    assert {row.value_minor for row in lying.balances(people.bob).rows} == {None}
    assert {row.stock.place.site_id for row in lying.balances(people.bob).rows} == {people.site.pk}
    assert lying.balances(people.charlie).rows == ()


def test_ledger_of_a_lot_ends_at_what_lies_of_it():
    at = made.yard(shelf_days=None)
    for days, packs in ((10, 20), (5, 30)):
        made.receive(at, packs=packs, made_date=TODAY - timedelta(days=days))
    made.issue(at, packs=25)
    store = Place.objects.get(kind="store", site=at.cast.site)

    for lot in Lot.objects.all():
        question = Question(place_id=store.pk, material_id=at.cement.material.pk, lot_id=lot.pk)
        found = movements.ledger(at.cast.alice, question=question)
        left = LotStock.objects.get(place=store, lot=lot).quantity
        assert (found.opening.quantity, found.closing.quantity) == (0, left)
        assert found.closing.value_minor is None
        assert {entry.movement.lot_id for entry in found.entries} == {lot.pk}
    question = Question(place_id=store.pk, material_id=at.sand.material.pk, lot_id=lot.pk)
    with pytest.raises(NotFound):
        movements.ledger(at.cast.alice, question=question)


def test_figures_lead_to_their_movements():
    at = made.yard()
    made.receive(at, packs=20, made_date=TODAY)
    act = made.count_act(at.cast.site, (at.cement, "20"))
    count = made.counts.record(actor=at.cast.alice, act=act, key="c", now=made.NOW)
    alice, store = signed_in("alice"), Place.objects.get(kind="store", site=at.cast.site)
    ledger = reverse("inventory:ledger", args=[store.pk, at.cement.material.pk])
    lot = Lot.objects.get()

    for page in (f"/stores/{at.cast.site.pk}/", "/stores/places/", f"/stores/counts/{count.pk}/"):
        assert f'href="{ledger}' in alice.get(page).text, page
    assert f"{ledger}?lot={lot.pk}" in alice.get(f"/stores/{at.cast.site.pk}/").text
    assert lot.label in alice.get(f"{ledger}?lot={lot.pk}").text
    assert alice.get(f"{ledger}?lot=x").status_code == 422
