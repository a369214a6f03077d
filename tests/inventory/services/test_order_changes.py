from datetime import date, timedelta

import pytest
from django.core import mail

from inventory import tasks
from inventory.models import OrderAmendment, OrderDate, PurchaseOrder
from inventory.queries import orders as rows
from inventory.services import order_changes, orders
from inventory.services.order_changes import AmendAct, ExpectAct, LineChange, TellAct
from inventory.services.orders import StepAct
from projects.errors import NotAllowed, NotFound, Refused
from projects.models import Outbox
from tests.factories import buying
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _setting(*, limit=0, email="orders@karsa.example", packs=100):
    """A sent order of 100 bags at 4.00."""
    people = cast(approval_limit_minor=limit)
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email=email)
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=packs),))
    order = make.ordered(people.alice, act=act)
    orders.send(actor=people.alice, act=StepAct(order_id=order.pk), key="send", now=NOW)
    order.refresh_from_db()
    return people, bags, order


def _amend(actor, order, *, packs=None, price=None, key=None, **more):
    line = order.lines.order_by("position").first()
    lines = () if packs is None else (LineChange(line.pk, packs, price),)
    act = AmendAct(**({"order_id": order.pk, "reason": "the slab grew", "lines": lines} | more))
    return order_changes.amend(actor=actor, act=act, key=key or buying.key(), now=NOW)


def _mail_all():
    for job in Outbox.objects.filter(job="inventory.send_order").order_by("id"):
        tasks.send_order(**job.payload, key=job.key, now=NOW)


def test_an_amendment_is_a_new_version_with_its_difference():
    people, bags, order = _setting()
    more = make.line_of(bags, packs=10, price=5_000_000)
    changed = _amend(people.alice, order, packs=120, added=(more,))
    # 120 × 4.00 + 10 × 5.00 = 530.00
    assert (changed.version, changed.total_minor, changed.state) == (2, 53_000, "sent")
    row = OrderAmendment.objects.get()
    assert (row.reason, row.total_before_minor, row.total_after_minor) == ("the slab grew", 40_000, 53_000)
    assert [(c["material"], c["packs"]) for c in row.changes] == [("Cement", [100, 120]), ("Cement", [0, 10])]
    quantities = changed.lines.order_by("position").values_list("quantity", flat=True)
    assert list(quantities) == [6_000_000, 500_000]


def test_the_same_amendment_sent_twice_is_one_version():
    people, _bags, order = _setting()
    for _time in range(2):
        _amend(people.alice, order, packs=120, key="a1")
    assert PurchaseOrder.objects.get().version == 2


def test_the_supplier_is_told_of_each_version_once():
    people, _bags, order = _setting()
    _mail_all()
    _amend(people.alice, order, packs=120)
    for _time in range(2):
        _mail_all()
    first, second = mail.outbox
    assert second.subject == "Order PO-2026-0001 from Orchard Lane Builders, amended: version 2"
    assert "- Cement, bag: 120 instead of 100\n" in second.body
    assert first.extra_headers["Message-ID"] != second.extra_headers["Message-ID"]


def test_an_order_amended_before_its_mail_leaves_is_mailed_as_it_stands():
    people, _bags, order = _setting()
    _amend(people.alice, order, packs=120)
    _mail_all()
    assert [letter.subject[-9:] for letter in mail.outbox] == ["version 2"]


def test_nothing_is_amended_below_what_has_come():
    people, _bags, order = _setting()
    make.received(people.alice, order=order, packs=(60,))
    with pytest.raises(order_changes.BelowReceived) as refused:
        _amend(people.alice, order, packs=59)
    assert (refused.value.params["least"], refused.value.field) == (60, "packs")
    assert _amend(people.alice, order, packs=60).state == "closed"


def test_steel_by_mass_is_amended_by_the_mass_that_has_come():
    people, _bags, _order = _setting()
    bars = make.steel(people.firm.pk)
    tonne = make.pack(bars.material, name="tonne", content=1_126_126)
    tonne.mass_g = 1_000_000
    tonne.save()
    by = make.supplier(people.firm.pk, name="Tamrin Steel")
    line = make.line_of(make.Bought(bars.material, tonne), packs=3)
    order = make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=(line,)))
    make.received(people.alice, order=order, packs=(2,))
    with pytest.raises(order_changes.BelowReceived):
        _amend(people.alice, order, packs=1)
    assert _amend(people.alice, order, packs=2).lines.get().mass_g == 2_000_000


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"packs": 100}, "nothing_changed"),
        ({"packs": 0}, "nothing_left"),
        ({"packs": -1}, "bad_line"),
        ({"packs": 5, "price": -1}, "bad_line"),
        ({"packs": 5, "reason": "  "}, "reason_missing"),
        ({"expected_date": TODAY - timedelta(days=1)}, "date_gone"),
        ({"lines": (LineChange(10**9, 5),)}, "bad_line"),
    ],
)
def test_an_amendment_that_cannot_be_is_refused(change, code):
    people, _bags, order = _setting()
    with pytest.raises(Refused) as refused:
        _amend(people.alice, order, **change)
    assert (refused.value.code, PurchaseOrder.objects.get().version) == (code, 1)


def test_a_struck_line_stays_on_paper_and_asks_for_nothing():
    people, bags, order = _setting()
    changed = _amend(people.alice, order, packs=0, added=(make.line_of(bags, packs=10),))
    line = rows.lines(people.alice, changed)[0]
    assert (line.row.packs, line.left, changed.total_minor) == (0, 0, 4_000)
    assert [row.packs for row in rows.letter_of(rows.one(people.alice, order.pk)).lines] == [10]


def test_only_the_owner_amends_above_the_limit():
    people, _bags, order = _setting(limit=40_000)
    with pytest.raises(orders.OverLimit):
        _amend(people.alice, order, packs=101)
    assert _amend(people.olga, order, packs=101).total_minor == 40_400


def test_orders_are_amended_by_the_office_and_within_the_firm():
    people, _bags, order = _setting()
    with pytest.raises(NotAllowed):
        _amend(people.bob, order, packs=5)
    with pytest.raises(NotFound):
        _amend(people.charlie, order, packs=5)


def test_every_move_of_the_day_stays_on_record():
    people, _bags, order = _setting()
    moves = [
        (people.alice, date(2026, 5, 10), "depot: truck broken"),
        (people.bob, date(2026, 5, 12), "driver"),
    ]
    for n, (who, day, why) in enumerate(moves):
        act = ExpectAct(order_id=order.pk, expected_date=day, reason=why)
        order_changes.expect(actor=who, act=act, key=f"x{n}", now=NOW)
    kept = OrderDate.objects.order_by("id").values_list("was_date", "expected_date", "reason", "changed_by")
    assert list(kept) == [
        (date(2026, 5, 8), date(2026, 5, 10), "depot: truck broken", people.alice.person_id),
        (date(2026, 5, 10), date(2026, 5, 12), "driver", people.bob.person_id),
    ]


@pytest.mark.parametrize(
    ("day", "reason", "code"),
    [
        (date(2026, 5, 8), "same", "nothing_changed"),
        (date(2026, 5, 3), "gone", "date_gone"),
        (date(2026, 5, 9), " ", "reason_missing"),
    ],
)
def test_a_day_that_cannot_be_expected_is_refused(day, reason, code):
    people, _bags, order = _setting()
    act = ExpectAct(order_id=order.pk, expected_date=day, reason=reason)
    with pytest.raises(Refused) as refused:
        order_changes.expect(actor=people.alice, act=act, key="x1", now=NOW)
    assert refused.value.code == code


def test_a_late_order_is_found_as_late():
    people, _bags, order = _setting()
    wanted = rows.Wanted(late_on=date(2026, 5, 10))
    assert [row.pk for row in rows.listing(people.alice, wanted=wanted)] == [order.pk]
    assert rows.how_many_late(people.alice, today=date(2026, 5, 8)) == 0
    assert rows.late_days(order, today=date(2026, 5, 10)) == 2


def test_an_order_by_telephone_is_sent_and_no_mail_leaves():
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk, email="orders@karsa.example")
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=5),))
    order = make.ordered(people.alice, act=act)
    told = TellAct(order_id=order.pk, way="phone", told_to="R. Karsa")
    row = order_changes.tell(actor=people.alice, act=told, key="t1", now=NOW)
    assert (row.state, row.way, row.told_to) == ("sent", "phone", "R. Karsa")
    assert not Outbox.objects.filter(job="inventory.send_order").exists()


@pytest.mark.parametrize(("way", "told_to"), [("pigeon", "R. Karsa"), ("phone", " ")])
def test_who_took_an_order_by_telephone_is_asked_for(way, told_to):
    people, _bags, order = _setting()
    act = TellAct(order_id=order.pk, way=way, told_to=told_to)
    with pytest.raises(orders.ReasonMissing):
        order_changes.tell(actor=people.alice, act=act, key="t1", now=NOW)


def test_cancelling_after_part_delivery_closes_the_rest_and_tells_the_supplier():
    people, _bags, order = _setting()
    _mail_all()
    make.received(people.alice, order=order, packs=(60,))
    act = StepAct(order_id=order.pk, reason="the pour is put off")
    ended = orders.cancel(actor=people.alice, act=act, key="c1", now=NOW)
    assert (ended.state, ended.end_reason) == ("closed", "the pour is put off")
    for _time in range(2):
        _mail_all()
    assert [letter.subject for letter in mail.outbox][1:] == [
        "Order PO-2026-0001 from Orchard Lane Builders is ended"
    ]
    assert "deliver nothing more of this order: the pour is put off" in mail.outbox[1].body
