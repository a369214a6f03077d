"""A delivery written without network is kept whatever became of its order and of its note meanwhile."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from inventory.models import OfflineEntry, Receipt
from inventory.services import deliveries, offline, offline_kinds, orders, written
from inventory.services.checks import CheckAct
from inventory.services.measurings import MeasurementAct, ReadingAct, TicketAct
from inventory.services.offline import SUFFIX, CorrectedLine, GiveUpAct, OfflineAct, PostAct
from inventory.services.orders import StepAct
from inventory.services.receipt_acts import ReceiptAct
from projects.errors import KeyReused, NotAllowed, NotFound
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
MORNING = NOW - timedelta(hours=8)


@pytest.fixture
def at():
    return made.yard()


def delivery(at, *, packs="10", line=None, order=None, **more):
    facts = {} if order is None else {"order_line_id": order.lines.get().pk}
    said = made.receipt_line(at.cement, packs=packs, **(facts | (line or {})))
    whole = {"happened_at": MORNING, "order_id": order and order.pk} | more
    return made.receipt_act(at, said, **whole)


def sent(at, act, *, key="phone-1", by=None, sent_at=NOW):
    wrapped = OfflineAct(written=act, sent_at=sent_at)
    return offline.record(actor=by or at.cast.bob, act=wrapped, key=key + SUFFIX, now=NOW)


def post(at, entry, *, by=None, **more):
    act = PostAct(entry_id=entry.pk, **more)
    return offline.post(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


def in_store(at):
    return made.balance("store", of=at.cement)[0]


def test_delivery_as_ordered_is_recorded_at_once_when_it_happened(at):
    order = made.ordered(at, packs=10)

    entry = sent(at, delivery(at, order=order))

    assert (entry.kind, entry.state, entry.slip) == ("receipt", "posted", None)
    assert (entry.receipt.happened_at, entry.receipt.recorded_at) == (MORNING, NOW)
    assert entry.receipt.match == "ordered"
    assert in_store(at) == 10 * BAG


def test_note_number_used_before_is_held_with_the_question_and_the_answer_is_kept(at):
    first = deliveries.record(actor=at.cast.bob, act=delivery(at, note_number="B-7"), key=made.key(), now=NOW)

    entry = sent(at, delivery(at, note_number="b-7"))

    assert (entry.state, entry.code, entry.receipt) == ("held", "same_note", None)
    assert entry.shortfall["receipt_id"] == first.pk
    assert "If this is the same load" in entry.message
    assert in_store(at) == 10 * BAG
    with pytest.raises(deliveries.SameNote):
        post(at, entry)
    posted = post(at, entry, same_note_answer="second truck on one note")
    assert posted.receipt.same_note_answer == "second truck on one note"
    assert in_store(at) == 20 * BAG
    made.assert_sound()


def test_same_load_is_given_up_and_counts_once(at):
    made.receive(at, packs=10)
    act = delivery(at, note_number="B-7")
    deliveries.record(actor=at.cast.bob, act=act, key=made.key(), now=NOW)
    entry = sent(at, delivery(at, note_number="B-7"))

    gone = offline.give_up(
        actor=at.cast.alice, act=GiveUpAct(entry.pk, "the same load"), key=made.key(), now=NOW
    )

    assert (gone.state, gone.reason, gone.receipt) == ("given_up", "the same load", None)
    assert Receipt.objects.count() == 2


def test_order_cancelled_meanwhile_holds_its_delivery_which_may_still_be_posted(at):
    order = made.ordered(at, packs=10)
    end = StepAct(order_id=order.pk, reason="bought elsewhere")
    orders.cancel(actor=at.cast.alice, act=end, key=made.key(), now=NOW)

    entry = sent(at, delivery(at, order=order))

    assert (entry.state, entry.code) == ("held", "order_ended")
    assert (entry.shortfall["order"], "was cancelled" in entry.message) == (order.number, True)
    assert post(at, entry).receipt.match == "unordered"
    assert in_store(at) == 10 * BAG


def test_order_that_has_all_come_meanwhile_asks_whether_it_is_the_same_load(at):
    order = made.ordered(at, packs=10)
    deliveries.record(actor=at.cast.bob, act=delivery(at, order=order), key=made.key(), now=NOW)

    entry = sent(at, delivery(at, order=order))

    assert (entry.state, entry.code) == ("held", "order_ended")
    assert in_store(at) == 10 * BAG


def test_more_than_ordered_of_an_open_order_is_recorded_and_flagged(at):
    order = made.ordered(at, packs=10)

    assert sent(at, delivery(at, packs="12", order=order)).receipt.match == "excess"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ({"rejected": Decimal(20), "reject_reason": "wet"}, "bad_rejection"),
        ({"found": Decimal(0), "stated": Decimal(0)}, "nothing_received"),
        ({"measurement": MeasurementAct("truck")}, "bad_measurement"),
    ],
)
def test_figures_that_cannot_be_are_held_until_they_are_corrected(at, line, code):
    entry = sent(at, delivery(at, line=line))

    assert (entry.state, entry.code) == ("held", code)
    four = (CorrectedLine(position=1, amount=Decimal(40)),)
    with pytest.raises(offline.ReasonMissing):
        post(at, entry, lines=four)
    posted = post(at, entry, lines=four, reason="counted again")
    assert posted.receipt.lines.get().found_thousandths == 40_000
    assert posted.act["lines"][0]["found"] != "40"


@pytest.mark.parametrize(
    ("more", "sent_at", "code"),
    [
        ({"happened_at": NOW - timedelta(days=40)}, NOW, "long_ago"),
        ({"happened_at": NOW + timedelta(hours=1)}, NOW, "in_future"),
        ({}, NOW - timedelta(days=1), "clock_off"),
    ],
)
def test_time_that_cannot_be_right_is_held(at, more, sent_at, code):
    entry = sent(at, delivery(at, **more), sent_at=sent_at)

    assert (entry.state, entry.code) == ("held", code)
    posted = post(at, entry, happened_at=MORNING, reason="the phone's clock")
    assert posted.receipt.happened_at == MORNING


def test_receipt_of_a_month_ago_is_posted_as_it_says_once_somebody_looked(at):
    then = NOW - timedelta(days=40)
    entry = sent(at, delivery(at, happened_at=then))

    assert post(at, entry).receipt.happened_at == then


def test_same_receipt_sent_twice_counts_once(at):
    first = sent(at, delivery(at), sent_at=NOW - timedelta(minutes=5))
    second = sent(at, delivery(at))

    assert first == second
    assert in_store(at) == 10 * BAG
    with pytest.raises(KeyReused):
        sent(at, delivery(at, packs="11"))


@pytest.mark.parametrize("happened_at", [MORNING, None])
def test_first_try_that_went_through_after_all_is_found_again(at, happened_at):
    """Sent online it needs no time of its own, and may have closed its order and used the note's number."""
    order = made.ordered(at, packs=10)
    act = delivery(at, order=order, note_number="B-7")
    online = replace(act, happened_at=happened_at)
    receipt = deliveries.record(actor=at.cast.bob, act=online, key="phone-1", now=NOW)

    entry = sent(at, act)

    assert (entry.state, entry.receipt) == ("posted", receipt)
    assert in_store(at) == 10 * BAG


def test_other_receipt_under_a_used_key_is_refused(at):
    deliveries.record(actor=at.cast.bob, act=delivery(at), key="phone-1", now=NOW)

    with pytest.raises(KeyReused):
        sent(at, delivery(at, packs="11"))
    assert OfflineEntry.objects.count() == 0


def test_what_is_not_the_actors_is_refused_and_not_held(at):
    order = made.ordered(at, packs=10)

    with pytest.raises(NotFound):
        sent(at, delivery(at), by=at.cast.charlie)
    with pytest.raises(NotAllowed):
        sent(at, delivery(at), by=at.cast.olga)
    with pytest.raises(offline.TimeMissing):
        sent(at, delivery(at, happened_at=None))
    with pytest.raises(NotFound):
        sent(at, delivery(at, line={"order_line_id": order.lines.get().pk + 1}))
    assert OfflineEntry.objects.count() == 0


def test_receipt_entry_is_posted_as_a_receipt_alone(at):
    made.receive(at, packs=1)
    entry = sent(at, delivery(at, happened_at=NOW - timedelta(days=40)))

    for change in ({"kind": "waste", "receipt": Receipt.objects.get()}, {"receipt": None}):
        with (
            pytest.raises(IntegrityError, match=r"inventory_offline_posted_has_result|CHECK constraint"),
            transaction.atomic(),
        ):
            OfflineEntry.objects.filter(pk=entry.pk).update(state="posted", **change)


def test_act_is_read_back_as_it_was_written(at):
    readings = (ReadingAct("length", Decimal("4.20")), ReadingAct("bulking", Decimal(20), measured=False))
    measurement = MeasurementAct("truck", readings, TicketAct(batched_at=MORNING))
    line = {
        "measurement": measurement,
        "checks": (CheckAct("silt", reading=Decimal("3.5")),),
        "made_date": NOW.date(),
        "measured_kg_per_m": Decimal("1.580"),
    }
    act = delivery(at, line=line, note_number="B-7")

    assert written.read(ReceiptAct, written.plain(act)) == act
    assert offline_kinds.of(act) == "receipt"
