from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.models import Payment, PurchaseOrder, Receipt, Stock, Supplier, SupplierBill
from inventory.queries import slab_bills, spend, supplier_bills
from inventory.services import cash, deliveries, orders, payments, suppliers
from inventory.services.cash import CashAct, CashLineAct
from inventory.services.suppliers import OfferAct, SupplierAct
from projects.errors import NotAllowed, NotFound, Refused
from projects.models import Firm, Outbox
from projects.services import limits
from projects.services.limits import LimitsAct
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _setting(*, limit=200_000):
    people = cast()
    bags = make.cement(people.firm.pk)
    Firm.objects.filter(pk=people.firm.pk).update(cash_limit_minor=limit)
    return people, bags


def _buy(actor, site, of, *, packs=3, paid=120_001, key="c1", now=NOW, **more):
    line = CashLineAct(material_id=of.material.pk, pack_id=of.pack.pk, packs=packs, paid_minor=paid)
    act = CashAct(**({"site_id": site.pk, "lines": (line,), "shop": "Lane Hardware"} | more))
    return cash.buy(actor=actor, act=act, key=key, now=now)


def test_one_act_orders_receives_and_pays():
    # 3 bags for 1,200.01: the third of it does not go into minor units, the sum must.
    people, bags = _setting()
    order = _buy(people.bob, people.site, bags, note_number="L-7")
    receipt, payment = Receipt.objects.get(), Payment.objects.get()
    assert (order.state, order.way, order.total_minor) == ("closed", "cash", 120_001)
    assert (receipt.order_id, receipt.note_number, receipt.match) == (order.pk, "L-7", "ordered")
    stock = Stock.objects.get(place__site=people.site, place__kind="store", material=bags.material)
    assert (stock.quantity, stock.value_minor) == (150_000, 120_001)
    assert (payment.amount_minor, payment.reference) == (120_001, "cash, PO-2026-0001")
    assert Supplier.objects.get().name == "Lane Hardware"
    assert not Outbox.objects.filter(job="inventory.send_order").exists()


def test_sent_twice_it_is_bought_once():
    people, bags = _setting()
    for _time in range(2):
        _buy(people.bob, people.site, bags)
    counted = [model.objects.count() for model in (PurchaseOrder, Receipt, Payment)]
    assert counted == [1, 1, 1]


def test_the_limit_is_of_the_site_and_the_day():
    people, bags = _setting()
    _buy(people.bob, people.site, bags)
    with pytest.raises(cash.OverCash) as refused:
        _buy(people.bob, people.site, bags, packs=2, paid=80_000, key="c2")
    assert refused.value.params["left_minor"] == 79_999
    assert "Mill Yard may buy for cash for 799.99 INR more today" in refused.value.message
    assert PurchaseOrder.objects.count() == 1
    _buy(people.alice, people.other_site, bags, key="c3")
    _buy(people.bob, people.site, bags, key="c4", now=NOW + timedelta(days=1))


def test_without_a_limit_nothing_is_bought_for_cash():
    people, bags = _setting(limit=0)
    with pytest.raises(cash.OverCash):
        _buy(people.bob, people.site, bags, packs=1, paid=1)


def test_a_shop_that_is_known_is_not_added_again():
    people, bags = _setting()
    known = make.supplier(people.firm.pk, name="lane hardware")
    assert _buy(people.bob, people.site, bags).supplier_id == known.pk


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"packs": 0}, "packs"),
        ({"packs": 5_001}, "packs"),
        ({"paid": 0}, "paid_minor"),
        ({"shop": " "}, "shop"),
        ({"lines": ()}, "lines"),
    ],
)
def test_a_purchase_of_nothing_is_refused(change, field):
    people, bags = _setting()
    with pytest.raises(Refused) as refused:
        _buy(people.bob, people.site, bags, **change)
    assert (refused.value.code, refused.value.field) == ("bad_cash_purchase", field)
    assert PurchaseOrder.objects.count() == 0


def test_it_is_for_the_site_and_the_office_of_the_firm():
    people, bags = _setting()
    with pytest.raises(NotAllowed):
        _buy(people.olga, people.site, bags)
    with pytest.raises(NotFound):
        _buy(people.bob, people.other_site, bags)
    with pytest.raises(NotFound):
        _buy(people.charlie, people.site, bags)


def test_only_the_owner_sets_the_limits():
    people, _bags = _setting()
    act = LimitsAct(approval_limit_minor=7_500_000, cash_limit_minor=50_000)
    with pytest.raises(NotAllowed):
        limits.set_limits(actor=people.alice, act=act, key="l1", now=NOW)
    firm = limits.set_limits(actor=people.olga, act=act, key="l2", now=NOW)
    assert (firm.approval_limit_minor, firm.cash_limit_minor) == (7_500_000, 50_000)
    bad = LimitsAct(approval_limit_minor=-1, cash_limit_minor=0)
    with pytest.raises(limits.BadLimit) as refused:
        limits.set_limits(actor=people.olga, act=bad, key="l3", now=NOW)
    assert refused.value.field == "approval_limit_minor"


def _client(people):
    act = SupplierAct(name="The client", is_client=True)
    return suppliers.add(actor=people.alice, act=act, key="s1", now=NOW)


def test_the_clients_own_material_comes_in_at_nil_value():
    people, bags = _setting()
    client = _client(people)
    line = deliveries.ReceiptLineAct(
        material_id=bags.material.pk, pack_id=bags.pack.pk, stated=Decimal(10), found=Decimal(10)
    )
    act = deliveries.ReceiptAct(site_id=people.site.pk, supplier_id=client.pk, happened_at=NOW, lines=(line,))
    receipt = deliveries.record(actor=people.bob, act=act, key="r1", now=NOW)
    assert (receipt.lines.get().accepted, receipt.lines.get().value_minor) == (500_000, 0)


def test_an_order_to_the_client_costs_nothing_and_so_does_an_offer():
    people, bags = _setting()
    client = _client(people)
    lines = (make.line_of(bags, packs=5, price=4_000_000),)
    order = orders.draft(
        actor=people.alice, act=make.order_act(people.site, by=client, lines=lines), key="d1", now=NOW
    )
    assert order.total_minor == 0
    act = OfferAct(
        supplier_id=client.pk,
        material_id=bags.material.pk,
        pack_id=bags.pack.pk,
        from_date=TODAY,
        pack_price=1,
        lead_days=1,
    )
    with pytest.raises(suppliers.BadOffer):
        suppliers.set_offer(actor=people.alice, act=act, key="o1", now=NOW)


def test_the_shops_bill_is_entered_and_paid_so_that_bills_and_payments_add_up():
    people, bags = _setting()
    order = _buy(people.bob, people.site, bags)
    bill = SupplierBill.objects.get()
    assert (bill.number, bill.state, bill.total_minor) == (order.number, "accepted", 120_001)
    line = bill.lines.get()
    assert (line.receipt_line.receipt.order, line.landed_minor, line.causes) == (order, 120_001, [])
    assert payments.open_minor(bill) == 0
    found = spend.of_firm(people.olga, today=TODAY)
    assert (found.for_no_slab.billed, found.for_no_slab.paid) == (120_001, 120_001)
    assert found.standing == slab_bills.Standing(bills=120_001, held=0, payments=120_001, in_advance=0)
    assert supplier_bills.unbilled(people.alice, supplier_id=order.supplier_id) == ()


def test_a_purchase_taken_back_takes_its_bill_and_its_payment_along():
    people, bags = _setting()
    _buy(people.bob, people.site, bags)
    act = deliveries.ReverseAct(receipt_id=Receipt.objects.get().pk, reason="bought for another firm")
    deliveries.reverse(actor=people.bob, act=act, key="r", now=NOW)
    bill, payment = SupplierBill.objects.get(), Payment.objects.get()
    assert (bill.state, bill.settle_reason) == ("rejected", "bought for another firm")
    assert (payment.reversed_at, payment.reverse_reason) == (NOW, "bought for another firm")
    found = spend.of_firm(people.olga, today=TODAY)
    assert found.standing == slab_bills.Standing(bills=0, held=0, payments=0, in_advance=0)
    assert found.whereabouts.bought == 0


def test_what_has_no_value_is_held_for_the_office_and_its_payment_stands_in_advance():
    people, bags = _setting()
    client = _client(people)
    _buy(people.bob, people.site, bags, supplier_id=client.pk)
    assert SupplierBill.objects.get().state == "held"
    found = spend.of_firm(people.olga, today=TODAY).standing
    assert (found.held, found.payments, found.in_advance) == (120_001, 120_001, 120_001)
