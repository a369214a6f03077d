"""What was open when a firm began: orders, bills and half-cast slabs, alone and together."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from inventory.models import OrderLine, Payment, PurchaseOrder, StockSlip, SupplierBill
from inventory.queries import comparison, slab_bills, spend, supplier_bills
from inventory.services import opening, opening_bills, opening_book, opening_orders, orders, usage
from inventory.services import supplier_bills as bills
from inventory.services.opening import OpeningAct, OpeningLineAct
from inventory.services.opening_bills import OwedBillAct
from inventory.services.opening_book import BookAct, UsedAct
from inventory.services.opening_orders import EarlierLineAct, EarlierOrderAct
from projects.errors import KeyReused, NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
PRICE = 410_000_000
ORDERED = date(2026, 4, 20)


@pytest.fixture
def at():
    return made.yard()


def order_act(at, **facts):
    line = EarlierLineAct(
        material_id=at.cement.material.pk,
        pack_id=at.cement.pack.pk,
        packs=200,
        packs_before=120,
        pack_price=PRICE,
        pour_id=at.pour.pk,
    )
    said = {"number": "K-7", "ordered_date": ORDERED, "expected_date": date(2026, 5, 2), "lines": (line,)}
    return EarlierOrderAct(site_id=at.cast.site.pk, supplier_id=at.supplier.pk, **(said | facts))


def ordered(at, *, by=None, key=None, **facts):
    act = order_act(at, **facts)
    return opening_orders.record(actor=by or at.cast.alice, act=act, key=key or made.key(), now=NOW)


def bill_act(at, **facts):
    said = {"number": "K-311", "dated": date(2026, 3, 2), "total_minor": 4_100_000, "paid_minor": 1_000_000}
    return OwedBillAct(supplier_id=at.supplier.pk, **(said | facts))


def owed(at, *, by=None, key=None, **facts):
    act = bill_act(at, **facts)
    return opening_bills.record(actor=by or at.cast.alice, act=act, key=key or made.key(), now=NOW)


def line(at, *, packs=60, value=2_400_000, **facts):
    return OpeningLineAct(
        material_id=at.cement.material.pk,
        amount=Decimal(packs),
        value_minor=value,
        pack_id=at.cement.pack.pk,
        **facts,
    )


def used(at, *lines, by=None, pour=None):
    act = OpeningAct(
        site_id=at.cast.site.pk,
        happened_at=None,
        lines=lines or (line(at),),
        pour_id=(pour or at.pour).pk,
    )
    return opening.record(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


def test_order_from_before_is_a_sent_order_of_what_is_to_come_and_late_ones_too(at):
    at.supplier.email = "yard@weir.example"
    at.supplier.save()
    order = ordered(at)
    row = order.lines.get()

    assert (order.state, order.earlier_number, order.sent_at.date()) == ("sent", "K-7", ORDERED)
    assert (row.packs, row.packs_before, order.total_minor) == (80, 120, 80 * 41_000)
    assert (order.approved_by, order.self_approved) == (None, False)
    assert not Outbox.objects.filter(job=orders.SEND_JOB).exists()
    assert spend.of_slab(at.cast.olga, at.pour.slab_id, today=TODAY).amounts.committed == 80 * 41_000

    goods.received(at.cast.bob, order=order, packs=(80,))
    order.refresh_from_db()
    assert order.state == "closed"


def test_order_above_the_limit_was_given_and_waits_for_nobody(at):
    at.cast.firm.approval_limit_minor = 1
    at.cast.firm.save()
    assert ordered(at).state == "sent"


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"number": " "}, "number"),
        ({"ordered_date": TODAY + timedelta(days=1)}, "ordered_date"),
        ({"expected_date": ORDERED - timedelta(days=1)}, "expected_date"),
    ],
)
def test_order_that_cannot_be_is_refused_at_its_field(at, facts, field):
    with pytest.raises(opening_orders.BadEarlierOrder) as refused:
        ordered(at, **facts)
    assert (refused.value.field, PurchaseOrder.objects.exists()) == (field, False)


@pytest.mark.parametrize("before", [-1, 200, 201])
def test_line_of_which_nothing_is_to_come_is_refused(at, before):
    lines = (replace(order_act(at).lines[0], packs_before=before),)
    with pytest.raises(opening_orders.BadEarlierOrder) as refused:
        ordered(at, lines=lines)
    assert (refused.value.field, refused.value.params["line"]) == ("packs_before", 1)


def test_number_of_an_earlier_order_is_entered_once_for_a_supplier(at):
    first = ordered(at)
    with pytest.raises(opening_orders.OrderedBefore) as refused:
        ordered(at)
    assert refused.value.params["order_id"] == first.pk
    second = ordered(at, number="K-8")
    with pytest.raises(IntegrityError, match="earlier_number"), transaction.atomic():
        PurchaseOrder.objects.filter(pk=second.pk).update(earlier_number="K-7")


def test_unpaid_bill_is_owed_and_aged_and_changes_no_stock(at):
    # Dated 2 March, paid within its day: 63 days late on 4 May, so in the group of 61 to 90 days.
    bill = owed(at)

    owing = supplier_bills.owed(at.cast.alice, today=TODAY)[0]
    assert (bill.state, bill.opening, bill.lines.count()) == ("accepted", True, 0)
    assert owing.groups == (0, 0, 0, 3_100_000, 0)
    assert Payment.objects.get().reference == "paid before the opening"
    assert supplier_bills.one(at.cast.alice, bill_id=bill.pk).row.open_minor == 3_100_000
    assert spend.of_firm(at.cast.olga, today=TODAY).whereabouts.bought == 0


def test_bills_and_payments_still_add_up(at):
    owed(at)
    owed(at, number="K-312", paid_minor=0)
    found = spend.of_firm(at.cast.olga, today=TODAY)
    assert (found.for_no_slab.billed, found.for_no_slab.paid) == (8_200_000, 1_000_000)
    assert found.standing == slab_bills.Standing(bills=8_200_000, held=0, payments=1_000_000, in_advance=0)
    assert spend.of_firm(at.cast.charlie, today=TODAY).for_no_slab.billed == 0


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"total_minor": 0}, "total_minor"),
        ({"total_minor": 10**15 + 1}, "total_minor"),
        ({"paid_minor": 4_100_000}, "paid_minor"),
        ({"paid_minor": -1}, "paid_minor"),
    ],
)
def test_bill_of_which_nothing_is_owed_is_refused(at, facts, field):
    with pytest.raises(opening_bills.BadOwed) as refused:
        owed(at, **facts)
    assert (refused.value.field, SupplierBill.objects.exists()) == (field, False)


def test_number_of_a_bill_is_entered_once_and_not_of_the_future(at):
    owed(at)
    with pytest.raises(bills.BilledTwice):
        owed(at)
    with pytest.raises(bills.BadBill):
        owed(at, number="K-9", dated=date(2026, 6, 1))


def test_slab_in_progress_has_its_cost_and_its_use_from_then_on(at):
    net = 100 * BAG
    priced = goods.Priced(
        material=at.cement.material, net=net, allowance=0, rate=8_000_000, amount_minor=4_000_000
    )
    goods.bill(at.pour.slab, [priced])
    slip = used(at)

    money = spend.of_slab(at.cast.olga, at.pour.slab_id, today=TODAY)
    row = comparison.of_slab(at.cast.alice, at.pour.slab_id).rows[0]

    assert (money.amounts.used, money.materials[0].figures.used) == (2_400_000, 60 * BAG)
    assert money.amounts.to_come == 40 * 40_000
    assert (row.judged.used, slip.pour) == (60 * BAG, at.pour)
    assert made.balance("opening", of=at.cement) == (-60 * BAG, -2_400_000)
    made.assert_sound()

    usage.reverse(
        actor=at.cast.alice, act=usage.ReverseAct(slip_id=slip.pk, reason="twice"), key="r", now=NOW
    )
    assert spend.of_slab(at.cast.olga, at.pour.slab_id, today=TODAY).amounts.used == 0


def test_what_is_in_a_slab_has_no_lot_and_is_of_a_pour_of_the_site(at):
    with pytest.raises(opening.LotOfNobody):
        used(at, line(at, supplier_id=at.supplier.pk, lot_label="W-9"))
    with pytest.raises(opening.PourElsewhere) as refused:
        used(at, pour=goods.pour(at.cast.other_site, slab="Depot roof"))
    assert refused.value.field == "pour_id"


def book(at, **facts):
    said = {
        "stock": (line(at, packs=10, value=400_000),),
        "orders": (order_act(at),),
        "bills": (bill_act(at),),
        "used": (UsedAct(pour_id=at.pour.pk, lines=(line(at),)),),
    }
    return BookAct(site_id=at.cast.site.pk, **(said | facts))


def test_whole_opening_is_one_act_and_comes_once(at):
    for _again in range(2):
        opening_book.record(actor=at.cast.alice, act=book(at), key="once", now=NOW)

    assert (StockSlip.objects.count(), OrderLine.objects.count(), SupplierBill.objects.count()) == (2, 1, 1)
    assert made.balance("store", of=at.cement) == (10 * BAG, 400_000)
    made.assert_sound()
    with pytest.raises(KeyReused):
        opening_book.record(actor=at.cast.alice, act=book(at, bills=()), key="once", now=NOW)


def test_nothing_of_an_opening_is_kept_when_one_part_is_refused(at):
    owed(at)
    with pytest.raises(bills.BilledTwice) as refused:
        opening_book.record(actor=at.cast.alice, act=book(at), key="once", now=NOW)
    assert (refused.value.params["subject"], refused.value.params["part"]) == ("bills", 1)
    assert (StockSlip.objects.exists(), PurchaseOrder.objects.exists()) == (False, False)


def test_stranger_finds_nothing_and_only_the_office_opens(at):
    for act, service in (
        (order_act(at), opening_orders.record),
        (bill_act(at), opening_bills.record),
        (book(at), opening_book.record),
    ):
        with pytest.raises(NotFound):
            service(actor=at.cast.charlie, act=act, key=made.key(), now=NOW)
        for actor in (at.cast.bob, at.cast.olga):
            with pytest.raises(NotAllowed):
                service(actor=actor, act=act, key=made.key(), now=NOW)


def test_same_key_counts_once(at):
    assert ordered(at, key="o") == ordered(at, key="o")
    assert owed(at, key="b") == owed(at, key="b")
