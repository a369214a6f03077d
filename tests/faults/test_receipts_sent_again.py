"""Many phones send the same deliveries again and again; each counts once."""

import threading
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from django.db import connection

from inventory.models import Receipt, StockSlip
from inventory.models.ledger import Movement
from inventory.services import counts, deliveries, posting, usage
from projects.services import pours
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data]

THREADS = 16
BAG = 50_000


def in_threads(jobs):
    """Run jobs in threads that start together; each thread closes its own connection."""
    together = threading.Barrier(THREADS)

    def work(mine):
        try:
            together.wait(timeout=30)
            return [job() for job in mine]
        finally:
            connection.close()

    with ThreadPoolExecutor(THREADS) as pool:
        return [answer for answers in pool.map(work, jobs) for answer in answers]


@pytest.mark.long
def test_same_receipts_from_many_threads_count_once(full_size):
    at = made.yard()
    deliveries_sent = 60 if full_size else 6
    acts = {
        f"load-{n}": made.receipt_act(
            at, made.receipt_line(at.cement, packs=n + 1, made_date=NOW.date()), note_number=f"N-{n}"
        )
        for n in range(deliveries_sent)
    }

    def send(key):
        return lambda: deliveries.record(actor=at.cast.bob, act=acts[key], key=key, now=NOW).pk

    keys = list(acts)
    # Each thread starts elsewhere in the list, so that first and repeated sends mix.
    answers = in_threads(
        [[send(k) for k in keys[n % len(keys) :] + keys[: n % len(keys)]] for n in range(THREADS)]
    )

    assert len(answers) == THREADS * deliveries_sent
    assert len(set(answers)) == deliveries_sent
    assert (Receipt.objects.count(), Movement.objects.count()) == (deliveries_sent, deliveries_sent)
    assert made.balance("store", of=at.cement)[0] == BAG * sum(range(1, deliveries_sent + 1))
    made.assert_sound()


def test_last_bags_are_issued_once():
    """Sixteen people each ask for the last ten bags with a key of their own: one gets them."""
    at = made.yard()
    made.receive(at, packs=10)

    def take(n):
        def ask():
            try:
                usage.issue(actor=at.cast.bob, act=made.issue_act(at, packs=10), key=f"take-{n}", now=NOW)
            except posting.NotEnoughStock:
                return "refused"
            return "given"

        return ask

    answers = in_threads([[take(n)] for n in range(THREADS)])

    assert sorted(answers) == ["given"] + ["refused"] * (THREADS - 1)
    assert StockSlip.objects.count() == 1
    made.assert_sound()


def test_one_paper_note_under_two_keys_is_asked_about():
    """Two people log the same truck: the second is asked whether it is the same load."""
    at = made.yard()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=10), note_number="B-118")

    def log(n):
        def ask():
            try:
                deliveries.record(actor=at.cast.bob, act=act, key=f"log-{n}", now=NOW)
            except deliveries.SameNote:
                return "asked"
            return "recorded"

        return ask

    answers = in_threads([[log(n)] for n in range(THREADS)])

    assert sorted(answers) == ["asked"] * (THREADS - 1) + ["recorded"]


def test_mixed_acts_in_opposite_order_do_not_block_each_other():
    """Receipts of two materials listed both ways, issues and returns at once: all end in a sound ledger."""
    at = made.yard()
    made.receive(at, packs=100)
    made.receive(at, packs=100, of=at.sand)
    made.issue(at, packs=50)
    lines = (made.receipt_line(at.cement, packs=1), made.receipt_line(at.sand, packs=1))
    back = usage.SlipLineAct(material_id=at.cement.material.pk, amount=Decimal(1), pack_id=at.cement.pack.pk)

    def act(n):
        who, key = at.cast.bob, f"mixed-{n}"
        if n % 4 == 0:
            taken = made.receipt_act(at, *lines)
            return lambda: deliveries.record(actor=who, act=taken, key=key, now=NOW)
        if n % 4 == 1:
            taken = made.receipt_act(at, *reversed(lines))
            return lambda: deliveries.record(actor=who, act=taken, key=key, now=NOW)
        if n % 4 == 2:
            return lambda: usage.issue(actor=who, act=made.issue_act(at, packs=1), key=key, now=NOW)
        returned = usage.ReturnAct(pour_id=at.pour.pk, happened_at=NOW, lines=(back,))
        return lambda: usage.bring_back(actor=who, act=returned, key=key, now=NOW)

    in_threads([[act(n), act(n + THREADS)] for n in range(THREADS)])

    assert made.balance("store", of=at.cement)[0] == BAG * (50 + 16)
    made.assert_sound()


def test_receipt_is_taken_back_once_by_many():
    at = made.yard()
    receipt = made.receive(at, packs=10)

    def take_back(n):
        def ask():
            act = deliveries.ReverseAct(receipt_id=receipt.pk, reason="wrong site")
            try:
                deliveries.reverse(actor=at.cast.bob, act=act, key=f"back-{n}", now=NOW)
            except posting.AlreadyReversed:
                return "refused"
            return "taken back"

        return ask

    answers = in_threads([[take_back(n)] for n in range(THREADS)])

    assert sorted(answers) == ["refused"] * (THREADS - 1) + ["taken back"]
    assert made.balance("store", of=at.cement) == (0, 0)
    made.assert_sound()


def test_two_pours_of_one_heap_are_closed_at_once_while_it_is_still_delivered():
    """Both closings share the heap and lock the same rows: one of them posts the use, both end."""
    at = made.yard()
    other = goods.pour(at.cast.site, slab="Porch")
    made.receive(at, packs=4, of=at.sand)
    for pour in (at.pour, other):
        made.placed(at, pour=pour)
    heap = made.count_line(at.sand, packs="1")

    def close(pour, n):
        def ask():
            act = counts.CloseAct(pour_id=pour.pk, happened_at=NOW, heaps=(heap,))
            try:
                counts.close_pour(actor=at.cast.bob, act=act, key=f"close-{n}", now=NOW)
            except (pours.WrongState, counts.MoreThanBook):
                return "refused"
            return "closed"

        return ask

    def deliver(n):
        line = made.receipt_act(at, made.receipt_line(at.cement, packs=1))
        return lambda: deliveries.record(actor=at.cast.bob, act=line, key=f"more-{n}", now=NOW)

    kinds = [lambda n: close(at.pour, n), lambda n: close(other, n), deliver]
    answers = in_threads([[kinds[n % 3](n)] for n in range(THREADS)])

    assert answers.count("closed") == 2
    assert made.balance("slab", of=at.sand)[0] == 15_000_000
    made.assert_sound()
