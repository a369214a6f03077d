from datetime import date

import pytest

from inventory.models import Offer, Supplier
from inventory.services import suppliers
from inventory.services.suppliers import OfferAct, SupplierAct, SupplierChange
from projects.errors import KeyReused, NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_add_writes_a_supplier_of_the_firm():
    people = cast()
    row = suppliers.add(
        actor=people.alice,
        act=SupplierAct(name=" Hillfoot ", phone="044 555 0101", email="orders@hillfoot.example"),
        key="s1",
        now=NOW,
    )
    assert (row.firm_id, row.name, row.email) == (people.firm.pk, "Hillfoot", "orders@hillfoot.example")


def test_add_sent_twice_adds_one():
    people = cast()
    act = SupplierAct(name="Hillfoot")
    first = suppliers.add(actor=people.alice, act=act, key="s1", now=NOW)
    second = suppliers.add(actor=people.alice, act=act, key="s1", now=NOW)
    assert (first.pk, Supplier.objects.count()) == (second.pk, 1)


def test_add_with_a_used_key_and_other_contents_is_refused():
    people = cast()
    suppliers.add(actor=people.alice, act=SupplierAct(name="Hillfoot"), key="s1", now=NOW)
    with pytest.raises(KeyReused):
        suppliers.add(actor=people.alice, act=SupplierAct(name="Quarry End"), key="s1", now=NOW)


@pytest.mark.parametrize(
    ("act", "code", "field"),
    [
        (SupplierAct(name="  "), "name_missing", "name"),
        (SupplierAct(name="hillfoot"), "name_taken", "name"),
        (SupplierAct(name="Quarry End", email="orders at quarry"), "bad_email", "email"),
    ],
)
def test_add_refuses_bad_details_and_writes_nothing(act, code, field):
    people = cast()
    make.supplier(people.firm.pk, name="Hillfoot")
    with pytest.raises(suppliers.Refused) as refused:
        suppliers.add(actor=people.alice, act=act, key="s1", now=NOW)
    assert (refused.value.code, refused.value.field, Supplier.objects.count()) == (code, field, 1)


def test_add_is_for_the_office():
    people = cast()
    for actor in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            suppliers.add(actor=actor, act=SupplierAct(name="Hillfoot"), key="s1", now=NOW)


def test_two_firms_may_both_have_a_supplier_of_one_name():
    people = cast()
    make.supplier(people.other_firm.pk, name="Hillfoot")
    suppliers.add(actor=people.alice, act=SupplierAct(name="Hillfoot"), key="s1", now=NOW)
    assert Supplier.objects.filter(name="Hillfoot").count() == 2


def test_change_keeps_its_own_name_and_ends_the_buying():
    people = cast()
    row = make.supplier(people.firm.pk, name="Hillfoot")
    act = SupplierChange(supplier_id=row.pk, name="Hillfoot", phone="1", ended_date=date(2026, 6, 1))
    changed = suppliers.change(actor=people.alice, act=act, key="c1", now=NOW)
    assert (changed.phone, changed.ended_date) == ("1", date(2026, 6, 1))
    assert Outbox.objects.filter(job="inventory.plan", firm=people.firm).count() == 1


def test_change_of_another_firms_supplier_is_not_found():
    people = cast()
    row = make.supplier(people.firm.pk, name="Hillfoot")
    act = SupplierChange(supplier_id=row.pk, name="Mine now")
    with pytest.raises(NotFound):
        suppliers.change(actor=people.charlie, act=act, key="c1", now=NOW)


def _offer(people, *, pack_price=4_000_000, **figures):
    bought = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    return OfferAct(
        supplier_id=by.pk,
        material_id=bought.material.pk,
        pack_id=bought.pack.pk,
        from_date=date(2026, 5, 1),
        pack_price=pack_price,
        **({"lead_days": 2, "minimum_packs": 20} | figures),
    )


def test_set_offer_writes_it_and_asks_for_a_plan():
    people = cast()
    offer = suppliers.set_offer(actor=people.alice, act=_offer(people), key="o1", now=NOW)
    assert (offer.pack_price, offer.minimum_packs, offer.lead_days) == (4_000_000, 20, 2)
    assert Outbox.objects.filter(job="inventory.plan", payload={"firm_id": people.firm.pk}).count() == 1


def test_set_offer_of_the_same_date_corrects_it():
    people = cast()
    act = _offer(people)
    suppliers.set_offer(actor=people.alice, act=act, key="o1", now=NOW)
    corrected = OfferAct(**(vars(act) | {"pack_price": 4_100_000}))
    suppliers.set_offer(actor=people.alice, act=corrected, key="o2", now=NOW)
    assert list(Offer.objects.values_list("pack_price", flat=True)) == [4_100_000]


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"pack_price": -1}, "pack_price"),
        ({"minimum_packs": 0}, "minimum_packs"),
        ({"lead_days": 366}, "lead_days"),
    ],
)
def test_set_offer_refuses_figures_out_of_bounds(figures, field):
    people = cast()
    with pytest.raises(suppliers.BadOffer) as refused:
        suppliers.set_offer(actor=people.alice, act=_offer(people, **figures), key="o1", now=NOW)
    assert (refused.value.code, refused.value.field) == ("bad_offer", field)


def test_set_offer_refuses_a_pack_of_another_material():
    people = cast()
    act = _offer(people)
    other = make.sand(people.firm.pk)
    with pytest.raises(suppliers.PackOfOther):
        suppliers.set_offer(
            actor=people.alice, act=OfferAct(**(vars(act) | {"pack_id": other.pack.pk})), key="o1", now=NOW
        )


def test_set_offer_for_a_strangers_material_is_not_found():
    people = cast()
    act = _offer(people)
    theirs = make.cement(people.other_firm.pk)
    changed = OfferAct(**(vars(act) | {"material_id": theirs.material.pk, "pack_id": theirs.pack.pk}))
    with pytest.raises(NotFound):
        suppliers.set_offer(actor=people.alice, act=changed, key="o1", now=NOW)
