from datetime import date

import pytest

from estimates.models import Pack
from inventory.models import PurchaseOrder
from inventory.services import orders
from inventory.services.orders import LineAct, StepAct
from projects.errors import NotAllowed, NotFound, Refused
from projects.models import AuditEntry, Outbox
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _setting(*, limit=0, email=""):
    people = cast(approval_limit_minor=limit)
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email=email)
    return people, bags, by


def _drafted(people, bags, by, *, packs=100):
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=packs),))
    return orders.draft(actor=people.alice, act=act, key="d1", now=NOW)


def _step(verb, actor, order, *, key, reason=""):
    return verb(actor=actor, act=StepAct(order_id=order.pk, reason=reason), key=key, now=NOW)


def test_draft_prices_whole_packs():
    # 108 bags at 397.50: 397.50 is 39,750 minor units, 397,500,000 of 1/10,000; 108 x 39,750 = 4,293,000.
    people, bags, by = _setting()
    line = make.line_of(bags, packs=108, price=397_500_000)
    act = make.order_act(people.site, by=by, lines=(line,))
    order = orders.draft(actor=people.alice, act=act, key="d1", now=NOW)
    row = order.lines.get()
    assert (order.number, order.state, order.total_minor) == ("PO-2026-0001", "draft", 4_293_000)
    assert (row.quantity, row.amount_minor) == (108 * 50_000, 4_293_000)


def test_draft_sent_twice_is_one_order():
    people, bags, by = _setting()
    assert _drafted(people, bags, by).pk == _drafted(people, bags, by).pk
    assert PurchaseOrder.objects.count() == 1


@pytest.mark.parametrize(
    ("line", "code"),
    [({"packs": 0}, "bad_line"), ({"pack_price": -1}, "bad_line"), ({"packs": 1_000_001}, "bad_line")],
)
def test_draft_refuses_a_bad_line(line, code):
    people, bags, by = _setting()
    figures = {
        "material_id": bags.material.pk,
        "pack_id": bags.pack.pk,
        "packs": 1,
        "pack_price": 1,
        "pour_id": None,
    }
    act = make.order_act(people.site, by=by, lines=(LineAct(**(figures | line)),))
    with pytest.raises(Refused) as refused:
        orders.draft(actor=people.alice, act=act, key="d1", now=NOW)
    assert (refused.value.code, PurchaseOrder.objects.count()) == (code, 0)


@pytest.mark.parametrize(("content", "price"), [(10**13, 0), (50_000, 10**15)], ids=["quantity", "amount"])
def test_draft_refuses_a_line_that_no_database_can_add_up(content, price):
    people, bags, by = _setting()
    Pack.objects.filter(pk=bags.pack.pk).update(content=content)
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=1_000_000, price=price),))
    with pytest.raises(orders.BadLine):
        orders.draft(actor=people.alice, act=act, key="d1", now=NOW)


def test_draft_refuses_a_pour_of_another_site():
    people, bags, by = _setting()
    elsewhere = make.pour(people.other_site)
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=1, pour=elsewhere),))
    with pytest.raises(orders.BadLine):
        orders.draft(actor=people.alice, act=act, key="d1", now=NOW)


def test_draft_refuses_a_pack_of_another_material():
    people, bags, by = _setting()
    loads = make.sand(people.firm.pk)
    mixed = LineAct(material_id=bags.material.pk, pack_id=loads.pack.pk, packs=1, pack_price=1)
    with pytest.raises(orders.BadLine):
        orders.draft(
            actor=people.alice, act=make.order_act(people.site, by=by, lines=(mixed,)), key="d1", now=NOW
        )


def test_draft_refuses_nothing_a_day_gone_and_an_ended_supplier():
    people, bags, by = _setting()
    lines = (make.line_of(bags, packs=1),)
    acts = [make.order_act(people.site, by=by, lines=())]
    acts.append(make.order_act(people.site, by=by, lines=lines, on=date(2026, 5, 3)))
    ended = make.supplier(people.firm.pk, name="Old Quarry")
    ended.ended_date = date(2026, 5, 1)
    ended.save()
    acts.append(make.order_act(people.site, by=ended, lines=lines))
    codes = []
    for act in acts:
        with pytest.raises(Refused) as refused:
            orders.draft(actor=people.alice, act=act, key="d1", now=NOW)
        codes.append(refused.value.code)
    assert codes == ["no_lines", "date_gone", "supplier_ended"]


def test_draft_is_for_the_office_and_for_ones_own_firm():
    people, bags, by = _setting()
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=1),))
    for actor in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            orders.draft(actor=actor, act=act, key="d1", now=NOW)
    with pytest.raises(NotFound):
        orders.draft(actor=people.charlie, act=act, key="d1", now=NOW)


def test_approving_ones_own_order_is_marked():
    people, bags, by = _setting()
    order = _drafted(people, bags, by)
    approved = _step(orders.approve, people.alice, order, key="a1")
    assert (approved.state, approved.self_approved, approved.approved_by_id) == (
        "approved",
        True,
        people.alice.person_id,
    )


def test_an_order_above_the_limit_waits_for_the_owner():
    # 100 bags at 4.00 are 40,000 minor units; the office may approve up to 39,999.
    people, bags, by = _setting(limit=39_999)
    order = _drafted(people, bags, by)
    with pytest.raises(orders.OverLimit) as refused:
        _step(orders.approve, people.alice, order, key="a1")
    assert (refused.value.code, PurchaseOrder.objects.get().state) == ("over_limit", "draft")
    approved = _step(orders.approve, people.olga, order, key="a2")
    assert (approved.state, approved.self_approved) == ("approved", False)


def test_an_order_at_the_limit_is_the_offices_to_approve():
    people, bags, by = _setting(limit=40_000)
    order = _drafted(people, bags, by)
    assert _step(orders.approve, people.alice, order, key="a1").state == "approved"


def test_send_asks_for_the_mail_once_and_only_with_an_address():
    people, bags, by = _setting(email="orders@hillfoot.example")
    order = _drafted(people, bags, by)
    _step(orders.approve, people.alice, order, key="a1")
    sent = _step(orders.send, people.alice, order, key="s1")
    _step(orders.send, people.alice, order, key="s1")
    job = Outbox.objects.get(job="inventory.send_order")
    assert (sent.state, sent.sent_at) == ("sent", NOW)
    assert job.payload == {"firm_id": people.firm.pk, "order_id": order.pk}


def test_send_without_an_address_asks_for_no_mail():
    people, bags, by = _setting()
    order = _drafted(people, bags, by)
    _step(orders.approve, people.alice, order, key="a1")
    assert _step(orders.send, people.alice, order, key="s1").state == "sent"
    assert not Outbox.objects.filter(job="inventory.send_order").exists()


@pytest.mark.parametrize(
    ("verb", "state"),
    [
        *((orders.approve, state) for state in ("approved", "sent", "part", "closed", "cancelled")),
        *((orders.send, state) for state in ("draft", "sent", "part", "closed", "cancelled")),
        *((orders.cancel, state) for state in ("closed", "cancelled")),
        *((orders.close, state) for state in ("draft", "closed", "cancelled")),
    ],
)
def test_a_step_out_of_turn_is_stale_and_says_what_the_order_is(verb, state):
    people, bags, by = _setting()
    order = _drafted(people, bags, by)
    PurchaseOrder.objects.update(state=state)
    with pytest.raises(orders.WrongState) as refused:
        _step(verb, people.alice, order, key="x1", reason="no longer wanted")
    shown = PurchaseOrder.objects.get().get_state_display()
    assert refused.value.params == {"state": state}
    assert refused.value.message.startswith(f"{order.number} is {shown} by now")


@pytest.mark.parametrize(("verb", "state"), [(orders.cancel, "cancelled"), (orders.close, "closed")])
def test_ending_an_order_asks_for_the_reason_and_keeps_it(verb, state):
    people, bags, by = _setting()
    order = make.ordered(
        people.alice, act=make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=1),))
    )
    with pytest.raises(orders.ReasonMissing):
        _step(verb, people.alice, order, key="x1", reason=" ")
    ended = _step(verb, people.alice, order, key="x2", reason="pour put off")
    assert (ended.state, ended.end_reason, ended.ended_at) == (state, "pour put off", NOW)


def test_deliveries_move_the_order_and_a_receipt_taken_back_moves_it_again():
    people, bags, by = _setting()
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=100),))
    order = make.ordered(people.alice, act=act)
    make.received(people.bob, order=order, packs=(60,))
    assert _state(order) == "part"
    last = make.received(people.bob, order=order, packs=(40,))
    assert _state(order) == "closed"
    make.taken_back(people.bob, receipt=last)
    assert _state(order) == "part"


def test_what_comes_on_a_cancelled_order_leaves_it_cancelled():
    people, bags, by = _setting()
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=100),))
    order = make.ordered(people.alice, act=act)
    _step(orders.cancel, people.alice, order, key="c1", reason="pour put off")
    make.received(people.bob, order=order, packs=(100,))
    assert _state(order) == "cancelled"


def test_every_step_is_on_record_with_who_took_it():
    people, bags, by = _setting()
    order = _drafted(people, bags, by)
    _step(orders.approve, people.olga, order, key="a1")
    entries = AuditEntry.objects.filter(act__startswith="orders.").order_by("id")
    assert list(entries.values_list("act", "signed", "subject_id")) == [
        ("orders.draft", "Alice", order.pk),
        ("orders.approve", "Olga", order.pk),
    ]


def test_steps_on_another_firms_order_are_not_found():
    people, bags, by = _setting()
    order = _drafted(people, bags, by)
    for verb in (orders.approve, orders.send, orders.cancel, orders.close):
        with pytest.raises(NotFound):
            _step(verb, people.charlie, order, key="x1", reason="mine")


def _state(order):
    return PurchaseOrder.objects.get(pk=order.pk).state


def test_a_line_without_a_price_takes_what_the_supplier_asks_today():
    people, bags, by = _setting()
    make.offer(by, of=bags, pack_price=4_100_000, from_date=date(2026, 5, 1))
    make.offer(by, of=bags, pack_price=9_900_000, from_date=date(2026, 5, 5))
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=10, price=None),))
    order = orders.draft(actor=people.alice, act=act, key="d1", now=NOW)
    assert (order.lines.get().pack_price, order.total_minor) == (4_100_000, 4_100)


def test_a_line_without_a_price_anywhere_is_refused():
    people, bags, by = _setting()
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=10, price=None),))
    with pytest.raises(orders.PriceMissing):
        orders.draft(actor=people.alice, act=act, key="d1", now=NOW)


def test_a_receipt_of_nothing_good_leaves_a_sent_order_sent():
    people, bags, by = _setting()
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=100),))
    order = make.ordered(people.alice, act=act)
    _step(orders.send, people.alice, order, key="s1")
    only = make.received(people.bob, order=order, packs=(40,))
    make.taken_back(people.bob, receipt=only)
    assert _state(order) == "sent"
