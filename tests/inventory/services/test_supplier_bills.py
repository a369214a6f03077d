"""Suppliers' bills: matched, held, settled; what a dearer bill does to store and slab.

100 bags are ordered at 410.00 and 95 come: 38,950.00. 60 of them go to the slab.
"""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from inventory.models import Payment, Place, Stock, SupplierBill
from inventory.queries import supplier_bills as rows
from inventory.services import bill_lines, deliveries, payments, quarantine, rebuilding, suppliers
from inventory.services import supplier_bills as bills
from inventory.services.bill_lines import BilledLineAct
from inventory.services.payments import PartAct, PaymentAct, TakeBackAct, UseAdvanceAct
from inventory.services.supplier_bills import OwnerAct, SettleAct, SupplierBillAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

DAY = date(2026, 5, 4)
RUPEE = 100


@pytest.fixture
def came():
    people = cast()
    bags = make.cement(people.firm.pk)
    supplier = make.supplier(people.firm.pk)
    pour = make.pour(people.site)
    act = make.order_act(
        people.site, by=supplier, lines=(make.line_of(bags, packs=100, price=410_000_000, pour=pour),)
    )
    order = make.ordered(people.alice, act=act)
    receipt = make.received(people.bob, order=order, packs=(95,))
    return people, bags, supplier, pour, receipt


def line(came, *, bags=95, amount=38_950 * RUPEE, receipt=True):
    _, cement, _, _, found = came
    return BilledLineAct(
        material_id=cement.material.pk,
        quantity=Decimal(bags),
        amount_minor=amount,
        receipt_line_id=found.lines.get().pk if receipt else None,
        pack_id=cement.pack.pk,
    )


def a_bill(came, *lines, number="B-1", **changes):
    lines = lines or (line(came),)
    total = (
        sum(one.amount_minor for one in lines) + changes.get("freight_minor", 0) + changes.get("tax_minor", 0)
    )
    values = {"supplier_id": came[2].pk, "number": number, "dated": DAY, "lines": lines, "total_minor": total}
    return SupplierBillAct(**{**values, **changes})


def record(came, act, key="b1", by=None):
    return bills.record(actor=by or came[0].alice, act=act, key=key, now=NOW)


def settle(came, bill, *, accept=True, reason="Agreed by telephone.", key="s1"):
    act = SettleAct(bill_id=bill.pk, accept=accept, reason=reason)
    return bills.settle(actor=came[0].olga, act=act, key=key, now=NOW)


def value(came, *, kind, slab=None):
    place = Place.objects.get(kind=kind, site=came[0].site) if slab is None else slab.places.get(kind=kind)
    return Stock.objects.get(place=place, material=came[1].material).value_minor


def test_a_bill_as_delivered_and_ordered_is_accepted_at_once(came):
    bill = record(came, a_bill(came))
    assert (bill.state, bill.due_date, bill.lines.get().causes) == ("accepted", DAY, [])
    assert value(came, kind="store") == 38_950 * RUPEE


def test_the_suppliers_credit_days_make_the_due_date(came):
    people, _, supplier, _, _ = came
    change = suppliers.SupplierChange(supplier_id=supplier.pk, name=supplier.name, credit_days=30)
    suppliers.change(actor=people.alice, act=change, key="c", now=NOW)
    assert record(came, a_bill(came)).due_date == DAY + timedelta(days=30)


@pytest.mark.parametrize("days", [-1, 366])
def test_credit_days_out_of_reason_are_refused(came, days):
    people, _, supplier, _, _ = came
    change = suppliers.SupplierChange(supplier_id=supplier.pk, name=supplier.name, credit_days=days)
    with pytest.raises(suppliers.BadCredit):
        suppliers.change(actor=people.alice, act=change, key="c", now=NOW)


def test_a_bill_of_more_bags_than_came_is_held(came):
    bill = record(came, a_bill(came, line(came, bags=100, amount=41_000 * RUPEE)))
    assert (bill.state, bill.lines.get().causes) == ("held", ["more_than_received"])
    assert (bill.lines.get().received, bill.lines.get().expected_minor) == (95 * 50_000, 41_000 * RUPEE)
    assert bill.owner == people_of(came, "alice")
    assert value(came, kind="store") == 38_950 * RUPEE


def people_of(came, username):
    return came[0].firm.memberships.get(person__username=username).person


def test_a_dearer_bill_is_held_and_once_accepted_revalues_store_and_slab(came):
    """95 bags at 420.00 are 39,900.00, 950.00 more: 35 are on hand, 60 went to the slab."""
    people, bags, _, pour, _ = came
    make.issue(people.bob, to=pour, of=bags, packs=60)
    bill = record(came, a_bill(came, line(came, amount=39_900 * RUPEE)))
    assert (bill.state, bill.lines.get().causes) == ("held", ["dearer"])
    assert value(came, kind="store") == 35 * 410 * RUPEE
    assert settle(came, bill).state == "accepted"
    assert value(came, kind="store") == 35 * 420 * RUPEE
    assert value(came, kind="slab", slab=pour.slab) == 60 * 420 * RUPEE
    assert rebuilding.compare(people.firm.pk) == []


def test_a_dearer_bill_for_what_waits_is_borne_where_it_waits(came):
    """5 bags of an earlier load lie in the store; the 95 that wait take their 950.00 along when released."""
    people, bags, _, _, receipt = came
    lot = receipt.lines.get()
    held = quarantine.HoldAct(line_id=lot.pk, reason="certificate missing")
    quarantine.hold(actor=people.bob, act=held, key="h", now=NOW)
    make.in_store(people.alice, site=people.site, of=bags, packs=5, value_minor=5 * 400 * RUPEE)
    settle(came, record(came, a_bill(came, line(came, amount=39_900 * RUPEE))))
    assert value(came, kind="quarantine") == 95 * 420 * RUPEE
    assert value(came, kind="store") == 5 * 400 * RUPEE
    passed = quarantine.ReleaseAct(line_id=lot.pk, reason="certificate came")
    quarantine.release(actor=people.bob, act=passed, key="r", now=NOW)
    assert value(came, kind="store") == (95 * 420 + 5 * 400) * RUPEE
    assert rebuilding.compare(people.firm.pk) == []


def test_freight_and_lost_tax_are_part_of_what_the_material_costs(came):
    act = a_bill(
        came,
        line(came, amount=38_000 * RUPEE),
        freight_minor=500 * RUPEE,
        tax_minor=450 * RUPEE,
        tax_recoverable=False,
    )
    bill = record(came, act)
    assert (bill.state, bill.lines.get().landed_minor) == ("accepted", 38_950 * RUPEE)


def test_tax_that_is_recovered_is_no_cost(came):
    act = a_bill(came, freight_minor=0, tax_minor=7_000 * RUPEE)
    bill = record(came, act)
    assert (bill.state, bill.lines.get().landed_minor, bill.total_minor) == (
        "accepted",
        38_950 * RUPEE,
        45_950 * RUPEE,
    )


def test_a_small_difference_passes_and_is_booked(came):
    bill = record(came, a_bill(came, line(came, amount=39_000 * RUPEE)))
    assert bill.state == "accepted"
    assert value(came, kind="store") == 39_000 * RUPEE
    assert value(came, kind="supplier") == -39_000 * RUPEE


def test_a_line_without_a_delivery_is_held(came):
    bill = record(came, a_bill(came, line(came, receipt=False)))
    assert (bill.state, bill.lines.get().causes) == ("held", ["not_received"])
    settle(came, bill)
    assert value(came, kind="store") == 38_950 * RUPEE


def test_part_bills_share_a_delivery(came):
    record(came, a_bill(came, line(came, bags=50, amount=50 * 410 * RUPEE)))
    [left] = rows.unbilled(came[0].alice, supplier_id=came[2].pk)
    assert (left.left, left.expected_minor) == (45 * 50_000, 45 * 410 * RUPEE)
    second = record(came, a_bill(came, line(came, bags=45, amount=45 * 410 * RUPEE), number="B-2"), key="b2")
    assert second.state == "accepted"
    assert rows.unbilled(came[0].alice, supplier_id=came[2].pk) == ()
    third = record(came, a_bill(came, line(came, bags=1, amount=410 * RUPEE), number="B-3"), key="b3")
    assert third.lines.get().causes == ["more_than_received"]


@pytest.mark.parametrize("number", ["B-1", "b-1", " B -1 "])
def test_the_same_number_in_a_year_is_not_entered_twice(came, number):
    first = record(came, a_bill(came))
    with pytest.raises(bills.BilledTwice) as refused:
        record(came, a_bill(came, number=number), key="again")
    assert refused.value.params["bill_id"] == first.pk


def test_a_bill_sent_back_frees_its_number_and_its_delivery(came):
    bill = record(came, a_bill(came, line(came, amount=50_000 * RUPEE)))
    assert settle(came, bill, accept=False).state == "rejected"
    assert value(came, kind="store") == 38_950 * RUPEE
    assert record(came, a_bill(came), key="right").state == "accepted"


def test_the_same_key_enters_once(came):
    assert record(came, a_bill(came)) == record(came, a_bill(came))
    assert SupplierBill.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        ({"total_minor": 1}, bills.DoesNotAddUp),
        ({"number": "  "}, bills.BadBill),
        ({"dated": date(2026, 7, 1)}, bills.BadBill),
        ({"due_date": date(2026, 5, 1)}, bills.BadBill),
        ({"lines": (), "total_minor": 0}, bills.BadBill),
        ({"freight_minor": -1}, bills.BadBill),
        ({"retained_minor": 100}, bills.BadBill),
        ({"kind": "gift"}, bills.BadBill),
        ({"kind": "credit"}, bills.BadBill),
        ({"of_bill_id": 1}, bills.BadBill),
    ],
)
def test_a_bill_that_cannot_be_is_refused_and_nothing_is_kept(came, changes, error):
    with pytest.raises(error):
        record(came, a_bill(came, **changes))
    assert not SupplierBill.objects.exists()


def test_a_delivery_of_another_supplier_is_refused(came):
    other = make.supplier(came[0].firm.pk, name="Hillfoot Sand Pit")
    with pytest.raises(bill_lines.OtherDelivery) as refused:
        record(came, a_bill(came, supplier_id=other.pk))
    assert refused.value.params["line"] == 1


def test_one_delivery_stands_in_one_line(came):
    with pytest.raises(bill_lines.DeliveredTwice):
        record(came, a_bill(came, line(came, bags=1), line(came, bags=2)))


@pytest.mark.parametrize(("bags", "amount"), [(0, 1), (1, -1)])
def test_a_line_of_nothing_or_below_is_refused(came, bags, amount):
    with pytest.raises(bill_lines.measures.BadQuantity):
        record(came, a_bill(came, line(came, bags=bags, amount=amount), line(came, receipt=False)))


def test_a_billed_receipt_is_not_taken_back(came):
    record(came, a_bill(came))
    act = deliveries.ReverseAct(receipt_id=came[4].pk, reason="miscounted")
    with pytest.raises(deliveries.BilledAlready):
        deliveries.reverse(actor=came[0].bob, act=act, key="r", now=NOW)


def test_settling_needs_a_reason_and_a_held_bill(came):
    held = record(came, a_bill(came, line(came, amount=50_000 * RUPEE)))
    with pytest.raises(bills.ReasonNeeded):
        settle(came, held, reason=" ")
    settle(came, held)
    with pytest.raises(bills.NotHeld):
        settle(came, held, key="s2")


def test_a_held_bill_is_given_to_a_person(came):
    held = record(came, a_bill(came, line(came, amount=50_000 * RUPEE)))
    olga = people_of(came, "olga")
    act = OwnerAct(bill_id=held.pk, person_id=olga.pk)
    assert bills.give(actor=came[0].alice, act=act, key="g", now=NOW).owner == olga


def test_who_may_do_what(came):
    people = came[0]
    with pytest.raises(NotAllowed):
        record(came, a_bill(came), by=people.bob)
    with pytest.raises(NotAllowed):
        record(came, a_bill(came), by=people.olga)
    with pytest.raises(NotFound):
        record(came, a_bill(came), by=people.charlie)
    with pytest.raises(NotAllowed):
        rows.listing(people.bob, wanted=rows.Wanted())
    assert rows.listing(people.charlie, wanted=rows.Wanted()) == ()


def test_a_credit_note_takes_value_off_and_lessens_what_is_owed(came):
    bill = record(came, a_bill(came))
    note = record(
        came,
        a_bill(came, line(came, bags=5, amount=205_000), number="CN-1", kind="credit", of_bill_id=bill.pk),
        key="cn",
    )
    assert note.state == "accepted"
    assert value(came, kind="store") == 38_950 * RUPEE - 205_000
    assert rows.one(came[0].alice, bill_id=bill.pk).row.open_minor == 38_950 * RUPEE - 205_000
    with pytest.raises(bills.BadBill, match="more than the bill"):
        record(
            came,
            a_bill(came, line(came, amount=10**8), number="CN-2", kind="credit", of_bill_id=bill.pk),
            key="cn2",
        )
    with pytest.raises(bills.BadBill, match="accepted bill"):
        record(came, a_bill(came, number="CN-3", kind="debit", of_bill_id=note.pk), key="cn3")


def pay(came, amount, *parts, key="p1", day=DAY):
    act = PaymentAct(
        supplier_id=came[2].pk,
        paid_date=day,
        amount_minor=amount,
        parts=tuple(PartAct(bill_id=bill.pk, amount_minor=part) for bill, part in parts),
    )
    return payments.pay(actor=came[0].alice, act=act, key=key, now=NOW)


def test_a_payment_settles_a_bill_and_the_rest_is_an_advance(came):
    bill = record(came, a_bill(came))
    payment = pay(came, 4_000_000, (bill, 3_000_000))
    assert rows.one(came[0].olga, bill_id=bill.pk).row.open_minor == 3_895_000 - 3_000_000
    [owed] = rows.owed(came[0].olga, today=DAY)
    assert (owed.total_minor, owed.advance_minor) == (895_000, 1_000_000)
    act = UseAdvanceAct(payment_id=payment.pk, parts=(PartAct(bill_id=bill.pk, amount_minor=895_000),))
    payments.use_advance(actor=came[0].alice, act=act, key="u", now=NOW)
    [owed] = rows.owed(came[0].olga, today=DAY)
    assert (owed.total_minor, owed.advance_minor) == (0, 105_000)


def test_no_more_is_paid_than_is_open(came):
    bill = record(came, a_bill(came))
    with pytest.raises(payments.NotPayable):
        pay(came, 5_000_000, (bill, 3_895_001))
    with pytest.raises(payments.BadPayment, match="are left"):
        pay(came, 100, (bill, 101))
    assert not Payment.objects.exists()


def test_a_held_bill_is_not_paid(came):
    held = record(came, a_bill(came, line(came, amount=50_000 * RUPEE)))
    with pytest.raises(payments.NotPayable):
        pay(came, 100, (held, 100))


@pytest.mark.parametrize(("amount", "day"), [(0, DAY), (1, date(2026, 7, 1))])
def test_a_payment_that_cannot_be_is_refused(came, amount, day):
    with pytest.raises(payments.BadPayment):
        pay(came, amount, day=day)


def test_a_payment_taken_back_opens_the_bill_again(came):
    bill = record(came, a_bill(came))
    payment = pay(came, 3_895_000, (bill, 3_895_000))
    act = TakeBackAct(payment_id=payment.pk, reason="The cheque came back.")
    payments.take_back(actor=came[0].alice, act=act, key="t", now=NOW)
    assert rows.one(came[0].olga, bill_id=bill.pk).row.open_minor == 3_895_000
    with pytest.raises(payments.BadPayment):
        payments.take_back(actor=came[0].alice, act=act, key="t2", now=NOW)
    use = UseAdvanceAct(payment_id=payment.pk, parts=())
    with pytest.raises(payments.BadPayment):
        payments.use_advance(actor=came[0].alice, act=use, key="u", now=NOW)


def test_a_payment_is_taken_back_with_a_reason(came):
    payment = pay(came, 100)
    with pytest.raises(payments.BadPayment):
        payments.take_back(
            actor=came[0].alice, act=TakeBackAct(payment_id=payment.pk, reason=""), key="t", now=NOW
        )


def test_what_is_owed_stands_by_age_and_retention_apart(came):
    """38,950.00 billed on 4 May, 1,000.00 kept back until August; on 20 June it is 47 days past due."""
    record(came, a_bill(came, retained_minor=100_000, retained_until=date(2026, 8, 1)))
    [owed] = rows.owed(came[0].olga, today=date(2026, 6, 20))
    assert owed.groups == (0, 0, 3_795_000, 0, 0)
    assert owed.retained_minor == 100_000
    [later] = rows.owed(came[0].olga, today=date(2026, 8, 1))
    assert (later.groups, later.retained_minor) == ((0, 0, 0, 3_895_000, 0), 0)


def test_the_number_of_queries_does_not_grow(came, django_assert_num_queries):
    record(came, a_bill(came, line(came, bags=1, amount=410 * RUPEE)))
    olga = came[0].olga
    with django_assert_num_queries(1):
        rows.listing(olga, wanted=rows.Wanted())
    for number in range(2, 5):
        act = a_bill(came, line(came, bags=1, amount=410 * RUPEE), number=f"B-{number}")
        record(came, act, key=f"b{number}")
    with django_assert_num_queries(1):
        assert len(rows.listing(olga, wanted=rows.Wanted(state="accepted", supplier_id=came[2].pk))) == 4
    with django_assert_num_queries(2):
        rows.owed(olga, today=DAY)
    with django_assert_num_queries(1):
        rows.unbilled(olga, supplier_id=came[2].pk)
    bill = SupplierBill.objects.first()
    with django_assert_num_queries(4):
        rows.one(olga, bill_id=bill.pk)
