from datetime import timedelta

import pytest

from inventory.models import PurchaseOrder
from inventory.queries import agreements as rows
from inventory.services import agreements, called_off, order_changes, orders
from inventory.services.agreements import CallOffAct, EndAct
from inventory.services.order_changes import AmendAct, LineChange
from inventory.services.orders import LineAct, StepAct
from projects.errors import NotAllowed, NotFound, Refused
from tests.factories import buying
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _setting(*, limit=0, packs=100, **facts):
    people = cast(approval_limit_minor=limit)
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email="orders@karsa.example")
    made = buying.agreement(people.alice, supplier=by, of=bags, packs=packs, **facts)
    return people, bags, by, made


def _call(actor, agreement, site, *, packs, now=NOW):
    act = CallOffAct(
        agreement_id=agreement.pk, site_id=site.pk, packs=packs, expected_date=TODAY + timedelta(days=3)
    )
    return agreements.call_off(actor=actor, act=act, key=buying.key(), now=now)


def test_the_site_calls_off_at_the_agreed_rate_and_the_order_is_sent():
    people, _bags, _by, made = _setting()
    order = _call(people.bob, made, people.site, packs=40)
    line = order.lines.get()
    assert (order.state, order.total_minor, line.pack_price, line.agreement) == (
        "sent",
        16_000,
        4_000_000,
        made,
    )
    row = rows.one(people.alice, made.pk, today=TODAY)
    assert (row.called_off, row.left, row.holds) == (40, 60, True)


def test_no_more_is_called_off_than_was_agreed():
    people, _bags, _by, made = _setting()
    _call(people.bob, made, people.site, packs=60)
    with pytest.raises(called_off.AgreementSpent) as refused:
        _call(people.alice, made, people.other_site, packs=41)
    assert refused.value.params == {"left": 40, "number": "RA-2026-0001", "packs": 41}
    assert _call(people.alice, made, people.other_site, packs=40).state == "sent"


def test_a_cancelled_call_gives_back_all_and_a_closed_one_what_never_came():
    people, _bags, _by, made = _setting()
    first = _call(people.alice, made, people.site, packs=30)
    orders.cancel(actor=people.alice, act=StepAct(first.pk, "put off"), key="c1", now=NOW)
    second = _call(people.alice, made, people.site, packs=50)
    make.received(people.alice, order=second, packs=(20,))
    orders.close(actor=people.alice, act=StepAct(second.pk, "pit flooded"), key="c2", now=NOW)
    assert rows.one(people.alice, made.pk, today=TODAY).called_off == 20


@pytest.mark.parametrize("days", [-1, 31])
def test_outside_its_days_nothing_is_called_off(days):
    first = TODAY + timedelta(days=1) if days < 0 else TODAY
    people, _bags, _by, made = _setting(from_date=first)
    later = NOW if days < 0 else NOW + timedelta(days=days)
    act = CallOffAct(
        agreement_id=made.pk, site_id=people.site.pk, packs=1, expected_date=TODAY + timedelta(days=60)
    )
    with pytest.raises(called_off.AgreementOver):
        agreements.call_off(actor=people.alice, act=act, key="k1", now=later)


def test_an_ended_agreement_says_so():
    people, _bags, _by, made = _setting()
    act = EndAct(agreement_id=made.pk, reason="quality fell")
    agreements.end(actor=people.alice, act=act, key="e1", now=NOW)
    with pytest.raises(called_off.AgreementOver) as refused:
        _call(people.alice, made, people.site, packs=1)
    assert "and was ended" in refused.value.message


def test_above_the_limit_a_call_waits_for_the_owner():
    people, _bags, _by, made = _setting(limit=15_999)
    assert _call(people.bob, made, people.site, packs=40).state == "draft"


def test_an_agreement_of_one_site_or_supplier_serves_no_other():
    people, bags, by, made = _setting(site_id=None)
    other = make.supplier(people.firm.pk, name="Other Depot")
    line = LineAct(material_id=bags.material.pk, pack_id=bags.pack.pk, packs=1, agreement_id=made.pk)
    with pytest.raises(called_off.OtherAgreement):
        orders.draft(
            actor=people.alice,
            act=make.order_act(people.site, by=other, lines=(line,)),
            key="d1",
            now=NOW,
        )
    own = buying.agreement(people.alice, supplier=by, of=bags, packs=9, site_id=people.other_site.pk)
    with pytest.raises(called_off.OtherAgreement):
        _call(people.alice, own, people.site, packs=1)
    with pytest.raises(NotFound):
        _call(people.bob, own, people.other_site, packs=1)


def test_an_amendment_keeps_the_agreed_price_and_total():
    people, _bags, _by, made = _setting()
    order = _call(people.alice, made, people.site, packs=90)
    line = order.lines.get()
    codes = []
    for change in (LineChange(line.pk, 101), LineChange(line.pk, 90, 1)):
        act = AmendAct(order_id=order.pk, reason="more", lines=(change,))
        with pytest.raises(Refused) as refused:
            order_changes.amend(actor=people.alice, act=act, key=buying.key(), now=NOW)
        codes.append(refused.value.code)
    assert codes == ["agreement_spent", "bad_line"]


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"packs": 0}, "total_packs"),
        ({"pack_price": -1}, "pack_price"),
        ({"valid_until": TODAY - timedelta(days=1)}, "valid_until"),
    ],
)
def test_an_agreement_on_nothing_is_refused(facts, field):
    with pytest.raises(agreements.BadAgreement) as refused:
        _setting(**facts)
    assert refused.value.field == field


def test_rates_are_agreed_by_the_office_and_within_the_firm():
    people, bags, by, made = _setting()
    for who in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            buying.agreement(who, supplier=by, of=bags, packs=1)
    with pytest.raises(NotFound):
        _call(people.charlie, made, people.charlie_site, packs=1)
    with pytest.raises(NotAllowed):
        _call(people.olga, made, people.site, packs=1)
    assert PurchaseOrder.objects.count() == 0
