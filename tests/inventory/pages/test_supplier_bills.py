"""A supplier's bill from its entry to its payment, on the pages.

100 bags are ordered at 410.00, 95 come, and the bill asks for 100.
"""

import uuid
from datetime import date

import pytest

from inventory.models import Payment, SupplierBill
from projects.models import Person
from tests.factories import inventory_orders as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def came():
    people = cast()
    bags = make.cement(people.firm.pk)
    supplier = make.supplier(people.firm.pk)
    pour = make.pour(people.site)
    act = make.order_act(
        people.site, by=supplier, lines=(make.line_of(bags, packs=100, price=410_000_000, pour=pour),)
    )
    make.received(people.bob, order=make.ordered(people.alice, act=act), packs=(95,))
    return supplier


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _text(answer):
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(page.split())


def _typed(**changes):
    typed = {"key": str(uuid.uuid4()), "number": "B-7", "dated": "2026-05-04", "tax_recoverable": "on"}
    return typed | changes


def _enter(client, supplier, **changes):
    return _as(client, "alice").post(f"/suppliers/{supplier.pk}/bills/new/", _typed(**changes))


def test_the_form_is_filled_with_what_came_and_asks_for_the_amount(client, came):
    page = _as(client, "alice").get(f"/suppliers/{came.pk}/bills/new/").content.decode()
    assert 'name="billed_1" value="95"' in page
    assert 'name="amount_1" value' not in page


def test_a_bill_as_received_is_accepted_and_paid(client, came):
    answer = _enter(client, came, billed_1="95", amount_1="38,950", total_minor="38950.00")
    bill = SupplierBill.objects.get()
    assert (answer.status_code, answer.url, bill.state) == (302, f"/supplier-bills/{bill.pk}/", "accepted")
    typed = {"key": str(uuid.uuid4()), "amount_minor": "38950", "paid_date": "2026-05-05"}
    assert client.post(f"/supplier-bills/{bill.pk}/pay/", typed).status_code == 302
    assert Payment.objects.get().parts.get().amount_minor == 3_895_000
    assert "Nothing was paid" not in _text(client.get(f"/suppliers/{came.pk}/payments/"))


def test_a_bill_of_more_than_came_is_held_and_the_owner_settles_it(client, came):
    _enter(client, came, billed_1="100", amount_1="41000", total_minor="41000")
    bill = SupplierBill.objects.get()
    page = _text(_as(client, "olga").get(f"/supplier-bills/{bill.pk}/"))
    assert "more than was received" in page
    assert "95 bags" in page
    assert "held" in _text(client.get("/supplier-bills/"))
    typed = {"key": str(uuid.uuid4()), "decision": "reject", "reason": "Five bags never came."}
    client.post(f"/supplier-bills/{bill.pk}/settle/", typed)
    bill.refresh_from_db()
    assert (bill.state, bill.settle_reason) == ("rejected", "Five bags never came.")


def test_a_total_that_does_not_add_up_shows_the_difference_and_keeps_what_was_typed(client, came):
    answer = _enter(client, came, billed_1="95", amount_1="38950", total_minor="39000")
    page = _text(answer)
    assert answer.status_code == 422
    assert "5000 between them" in page
    assert 'value="B-7"' in page
    assert not SupplierBill.objects.exists()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "Enter the amount of at least one material"),
        ({"amount_1": "10", "billed_1": ""}, "Enter the quantity that is billed."),
        ({"amount_2": "10"}, "Choose what it is."),
    ],
)
def test_a_row_half_filled_is_asked_for(client, came, changes, said):
    answer = _enter(client, came, total_minor="10", **changes)
    assert answer.status_code == 422
    assert said in _text(answer)


def test_something_that_was_not_received_can_stand_on_the_bill(client, came):
    material = came.bills.model._meta.apps.get_model("estimates", "Material").objects.get()
    pack = material.packs.get()
    row = {"what_2": f"{material.pk}:p{pack.pk}", "billed_2": "5", "amount_2": "2050"}
    _enter(client, came, total_minor="2050", **row)
    bill = SupplierBill.objects.get()
    assert (bill.state, bill.lines.get().causes) == ("held", ["not_received"])


def test_a_credit_note_is_entered_on_its_bill(client, came):
    _enter(client, came, billed_1="95", amount_1="38950", total_minor="38950")
    bill = SupplierBill.objects.get()
    typed = _typed(kind="credit", number="CN-1", billed_1="5", amount_1="2050", total_minor="2050")
    assert client.post(f"/supplier-bills/{bill.pk}/note/", typed).status_code == 302
    assert "Credit note CN-1" in _text(client.get(f"/supplier-bills/{bill.pk}/"))
    assert "36,900.00" in _text(client.get("/supplier-bills/"))


def test_an_advance_settles_a_bill_later(client, came):
    _as(client, "alice")
    typed = {"key": str(uuid.uuid4()), "amount_minor": "40000", "paid_date": date(2026, 5, 2)}
    client.post(f"/suppliers/{came.pk}/payments/new/", typed)
    _enter(client, came, billed_1="95", amount_1="38950", total_minor="38950")
    bill, payment = SupplierBill.objects.get(), Payment.objects.get()
    address = f"/supplier-bills/{bill.pk}/advance/{payment.pk}/"
    assert address in client.get(f"/supplier-bills/{bill.pk}/").content.decode()
    client.post(address, {"key": str(uuid.uuid4()), "amount_minor": "38950"})
    assert payment.parts.get().amount_minor == 3_895_000
    client.post(f"/payments/{payment.pk}/take-back/", {"key": str(uuid.uuid4()), "reason": "wrong bank"})
    assert "taken back: wrong bank" in _text(client.get(f"/suppliers/{came.pk}/payments/"))
