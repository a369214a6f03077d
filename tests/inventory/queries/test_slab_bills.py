"""What was billed and paid for a slab adds up to the suppliers' bills and payments, worked out by hand.

10 bags are ordered for a slab and 5 for stock, at 400.00; all come. The bill says 4,000.00 and 2,000.00,
freight 100.01 and recoverable tax 1,098.00: 7,198.01. Freight falls 66.67 on the first line and 33.34 on the
second, so they cost 4,066.67 and 2,033.34 landed. 7,198.01 x 406,667 / 610,001 = 4,798.6694, so 4,798.67 are
for the slab and 2,399.34 for stock. Of 1,000.00 paid 600.00 settle it: 400.00 (399.9997) and 200.00; 400.00
are in advance.
"""

from datetime import date
from decimal import Decimal

import pytest

from inventory.calc.spend import Papers
from inventory.models import SupplierBill
from inventory.queries import slab_bills, spend
from inventory.services import payments, supplier_bills
from inventory.services.bill_lines import BilledLineAct
from inventory.services.payments import PartAct, PaymentAct
from inventory.services.supplier_bills import SettleAct, SupplierBillAct
from projects.models import Firm
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, actor, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

DAY = date(2026, 5, 4)


@pytest.fixture
def came():
    people = cast()
    bags = make.cement(people.firm.pk)
    supplier = make.supplier(people.firm.pk)
    pour = make.pour(people.site)
    lines = (
        make.line_of(bags, packs=10, price=400_000_000, pour=pour),
        make.line_of(bags, packs=5, price=400_000_000),
    )
    order = make.ordered(people.alice, act=make.order_act(people.site, by=supplier, lines=lines))
    receipt = make.received(people.bob, order=order, packs=(10, 5))
    return people, bags, supplier, pour, receipt


def _bill(came, *, amounts, number="B-1", key="b1", **more):
    people, bags, supplier, _pour, receipt = came
    found = receipt.lines.order_by("position")
    lines = tuple(
        BilledLineAct(
            material_id=bags.material.pk,
            quantity=Decimal(packs),
            amount_minor=amount,
            receipt_line_id=line.pk,
            pack_id=bags.pack.pk,
        )
        for line, packs, amount in zip(found, (10, 5), amounts, strict=False)
    )
    total = sum(amounts) + more.get("freight_minor", 0) + more.get("tax_minor", 0)
    act = SupplierBillAct(
        supplier_id=supplier.pk, number=number, dated=DAY, lines=lines, total_minor=total, **more
    )
    bill = supplier_bills.record(actor=people.alice, act=act, key=key, now=NOW)
    if bill.state == SupplierBill.State.HELD:
        agreed = SettleAct(bill_id=bill.pk, accept=True, reason="Agreed by telephone.")
        supplier_bills.settle(actor=people.olga, act=agreed, key=f"{key}-s", now=NOW)
    return bill


def _pay(came, *, amount, bill, part):
    act = PaymentAct(
        supplier_id=came[2].pk,
        paid_date=DAY,
        amount_minor=amount,
        parts=(PartAct(bill_id=bill.pk, amount_minor=part),),
    )
    return payments.pay(actor=came[0].alice, act=act, key="p1", now=NOW)


def test_bill_is_shared_by_what_its_lines_cost_landed_and_paid_in_the_same_parts(came):
    bill = _bill(came, amounts=(400_000, 200_000), freight_minor=10_001, tax_minor=109_800)
    _pay(came, amount=100_000, bill=bill, part=60_000)

    found = spend.of_firm(came[0].olga, today=TODAY)

    assert (found.total.billed, found.total.paid) == (479_867, 40_000)
    assert found.for_no_slab == Papers(billed=239_934, paid=20_000)
    assert found.standing == slab_bills.Standing(bills=719_801, held=0, payments=100_000, in_advance=40_000)
    assert [(one.site.name, one.amounts.billed) for one in found.by_site] == [("Mill Yard", 479_867)]
    slab = spend.of_slab(came[0].olga, came[3].slab_id, today=TODAY)
    assert (slab.amounts.billed, slab.amounts.paid) == (479_867, 40_000)


def test_credit_note_takes_off_and_what_is_held_stands_apart(came):
    bill = _bill(came, amounts=(400_000, 200_000))
    _bill(came, amounts=(30_000,), number="C-1", key="c1", kind="credit", of_bill_id=bill.pk)
    people, bags, supplier, _pour, _receipt = came
    more = BilledLineAct(
        material_id=bags.material.pk, quantity=Decimal(1), amount_minor=7_777, pack_id=bags.pack.pk
    )
    act = SupplierBillAct(supplier_id=supplier.pk, number="B-2", dated=DAY, lines=(more,), total_minor=7_777)
    assert supplier_bills.record(actor=people.alice, act=act, key="b2", now=NOW).state == "held"

    found = spend.of_firm(people.olga, today=TODAY)

    assert found.total.billed == 370_000
    assert found.standing.held == 7_777
    assert found.total.billed + found.for_no_slab.billed + found.standing.held == found.standing.bills
    assert found.total.paid + found.for_no_slab.paid + found.standing.in_advance == found.standing.payments


def test_manager_of_one_site_does_not_see_how_the_firms_bills_stand(came):
    _bill(came, amounts=(400_000, 200_000))
    Firm.objects.filter(pk=came[0].firm.pk).update(site_sees_money=True)

    found = spend.of_firm(actor("bob"), today=TODAY)

    assert (found.total.billed, found.for_no_slab, found.standing) == (400_000, Papers(), None)
    assert spend.of_firm(came[0].charlie, today=TODAY).standing == slab_bills.Standing(
        bills=0, held=0, payments=0, in_advance=0
    )
