"""Two stores, every act on them in any order: quantities, lots, values, keys and the past stay sound.

A model walks beside the services and counts bags by place. In full size the run takes 200,000 steps.
"""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from inventory.models import Place, Receipt, Stock, SupplierBill
from inventory.queries import movements
from inventory.queries.movements import Question
from inventory.services import (
    count_approval,
    count_book,
    counts,
    deliveries,
    offline,
    posting,
    quarantine,
    rebuilding,
    supplier_bills,
    transfers,
    usage,
)
from inventory.services.bill_lines import BilledLineAct
from inventory.services.count_approval import ApproveAct, EndAct
from inventory.services.offline import OfflineAct, PostAct
from inventory.services.quarantine import HoldAct, ReleaseAct, SendBackAct
from inventory.services.supplier_bills import SettleAct, SupplierBillAct
from inventory.services.transfers import ArrivalAct, ArrivedLineAct, CallBackAct, DispatchAct
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

BAG = 50_000
STEPS = 50
amounts = st.sampled_from([5, 10, 20])
weeks = st.sampled_from([None, 7, 14])
money = st.integers(min_value=0, max_value=5_000_003)


@dataclass
class Load:
    """A delivery of one line: the bags that stayed, where they lie apart, and whether they are billed."""

    receipt: Receipt
    where: int
    packs: int
    held: int = 0
    billed: bool = False

    @property
    def line_id(self):
        return self.receipt.lines.get().pk


class Stores(RuleBasedStateMachine):
    """Acts on the cement of two sites, with the bags that they should lead to."""

    at = None
    """The yard, made once and put back by the database after each run."""

    def __init__(self):
        super().__init__()
        self.undo = transaction.atomic()
        self.undo.__enter__()
        self.office, self.site_manager = self.at.cast.alice, self.at.cast.bob
        self.sites = (self.at.cast.site, self.at.cast.other_site)
        self.bags, self.now, self.yard_book = Counter(), NOW, []
        self.loads, self.slips, self.road, self.waiting, self.posted = [], [], [], [], []
        self.held, self.seen, self.last = [], [], None

    def teardown(self):
        assert rebuilding.compare(self.at.cast.firm.pk) == []
        self.check_the_past()
        transaction.set_rollback(True)
        self.undo.__exit__(None, None, None)
        transaction.set_rollback(False)

    def act(self, service, act, *, by=None, key=None):
        self.now += timedelta(minutes=1)
        key = key or made.key()
        result = service(actor=by or self.office, act=act, key=key, now=self.now)
        self.last = (service, act, by or self.office, key, result)
        return result

    def line(self, packs):
        pack = self.at.cement.pack
        return usage.SlipLineAct(self.at.cement.material.pk, Decimal(packs), pack_id=pack.pk)

    @rule(packs=amounts, weeks=weeks, where=st.sampled_from([0, 1]), why=st.sampled_from(["", "", "damp"]))
    def receive(self, packs, weeks, where, why):
        made_date = None if weeks is None else TODAY - timedelta(days=weeks)
        line = made.receipt_line(self.at.cement, packs=packs, made_date=made_date, hold_reason=why)
        act = made.receipt_act(self.at, line, site_id=self.sites[where].pk, happened_at=None)
        load = Load(self.act(deliveries.record, act), where, packs, held=packs if why else 0)
        self.loads.append(load)
        self.move(("outside", where), ("quarantine" if why else "store", where), packs)

    @precondition(lambda self: any(not load.held for load in self.loads))
    @rule(data=st.data())
    def hold_back(self, data):
        load = data.draw(st.sampled_from([one for one in self.loads if not one.held]), label="load")
        try:
            line = self.act(quarantine.hold, HoldAct(load.line_id, "lumps"))
        except quarantine.NothingLeft:
            return
        load.held = line.held // BAG
        assert 0 < load.held <= min(load.packs, self.bags["store", load.where])
        self.move(("store", load.where), ("quarantine", load.where), load.held)

    @precondition(lambda self: any(load.held for load in self.loads))
    @rule(data=st.data(), back=st.sampled_from([None, 2, 5]))
    def settle_what_is_held(self, data, back):
        load = data.draw(st.sampled_from([one for one in self.loads if one.held]), label="load")
        if back is None:
            self.act(quarantine.release, ReleaseAct(load.line_id, "passed"))
            self.move(("quarantine", load.where), ("store", load.where), load.held)
            load.held = 0
            return
        try:
            self.act(quarantine.send_back, SendBackAct(load.line_id, "lumps", Decimal(back)))
        except quarantine.TooMuch:
            assert load.billed or back > load.held
            return
        self.move(("quarantine", load.where), ("outside", load.where), back)
        load.held, load.packs = load.held - back, load.packs - back

    @rule(packs=amounts, kind=st.sampled_from(["issue", "return", "waste", "waste of slab"]))
    def slip(self, packs, kind):
        source, target, service, act = self._slip(packs, kind)
        try:
            slip = self.act(service, act)
        except posting.NotEnoughStock:
            assert packs > self.bags[source, 0]
            return
        assert packs <= self.bags[source, 0]
        self.slips.append((slip, source, target, packs))
        self.move((source, 0), (target, 0), packs)

    @rule(packs=amounts, kind=st.sampled_from(["issue", "return", "waste"]))
    def slip_written_offline(self, packs, kind):
        source, target, _service, act = self._slip(packs, kind)
        entry = self.act(
            offline.record, OfflineAct(written=replace(act, happened_at=self.now + timedelta(seconds=30)))
        )
        assert entry.state == ("posted" if packs <= self.bags[source, 0] else "held")
        if entry.slip is None:
            self.held.append((entry, source, target, packs))
        else:
            self.slips.append((entry.slip, source, target, packs))
            self.move((source, 0), (target, 0), packs)

    @precondition(lambda self: self.held)
    @rule(data=st.data())
    def post_what_is_held(self, data):
        found = data.draw(st.sampled_from(self.held), label="held")
        entry, source, target, packs = found
        try:
            posted = self.act(offline.post, PostAct(entry_id=entry.pk))
        except posting.NotEnoughStock:
            assert packs > self.bags[source, 0]
            return
        self.held.remove(found)
        self.slips.append((posted.slip, source, target, packs))
        self.move((source, 0), (target, 0), packs, when=entry.happened_at)

    @rule(packs=amounts, origin=st.sampled_from([0, 1]), freight=st.sampled_from([0, 777]))
    def dispatch(self, packs, origin, freight):
        ends = {"from_site_id": self.sites[origin].pk, "to_site_id": self.sites[1 - origin].pk}
        act = DispatchAct(happened_at=None, lines=(self.line(packs),), freight_minor=freight, **ends)
        try:
            sent = self.act(transfers.dispatch, act)
        except posting.NotEnoughStock:
            assert packs > self.bags["store", origin]
            return
        self.road.append((sent, origin, packs))
        self.move(("store", origin), ("in_transit", 1 - origin), packs)

    @precondition(lambda self: self.road)
    @rule(data=st.data(), lost=st.sampled_from([0, 0, 2, 5]))
    def arrive(self, data, lost):
        entry = data.draw(st.sampled_from(self.road), label="on the road")
        sent, origin, packs = entry
        line = ArrivedLineAct(
            line_id=sent.lines.get().pk,
            pack_id=self.at.cement.pack.pk,
            found=Decimal(packs - lost),
            lost_reason="burst" if lost else "",
        )
        self.act(transfers.receive, ArrivalAct(transfer_id=sent.pk, happened_at=None, lines=(line,)))
        self.road.remove(entry)
        self.move(("in_transit", 1 - origin), ("store", 1 - origin), packs - lost)
        self.move(("in_transit", 1 - origin), ("waste", 1 - origin), lost)

    @precondition(lambda self: self.road)
    @rule(data=st.data())
    def call_back(self, data):
        entry = data.draw(st.sampled_from(self.road), label="on the road")
        sent, origin, packs = entry
        self.act(transfers.call_back, CallBackAct(transfer_id=sent.pk, reason="the lorry broke down"))
        self.road.remove(entry)
        self.move(("in_transit", 1 - origin), ("store", origin), packs)

    @rule(found=st.integers(min_value=0, max_value=60), keeper=st.booleans())
    def count(self, found, keeper):
        act = made.count_act(self.sites[0], (self.at.cement, str(found)), happened_at=None, explanation="x")
        book = self.bags["store", 0]
        count = self.act(counts.record, act, by=self.site_manager if keeper else self.office)
        far = abs(found - book) * 20 > book
        assert count.state == ("waiting" if keeper and far else "posted")
        if count.state == "waiting":
            self.waiting.append((count, found))
        else:
            self.posted.append((count, book - found))
            self.move(("store", 0), ("count", 0), book - found)

    @precondition(lambda self: self.waiting)
    @rule(data=st.data())
    def approve_count(self, data):
        entry = data.draw(st.sampled_from(self.waiting), label="waiting")
        count, found = entry
        missing = self.book_at(count.happened_at) - found
        try:
            self.act(count_approval.approve, ApproveAct(count_id=count.pk), by=self.at.cast.olga)
        except count_approval.CountedSince:
            assert self.counted_after(count)
            return
        except count_book.BookBelowNothing:
            assert missing < -found
            return
        except posting.NotEnoughStock:
            assert missing > self.bags["store", 0]
            return
        assert not self.counted_after(count)
        self.waiting.remove(entry)
        self.posted.append((count, missing))
        self.move(("store", 0), ("count", 0), missing, when=count.happened_at)

    @precondition(lambda self: self.posted)
    @rule(data=st.data())
    def take_back_count(self, data):
        entry = data.draw(st.sampled_from(self.posted), label="count")
        count, missing = entry
        try:
            self.act(count_approval.reverse, EndAct(count_id=count.pk, reason="wrong"))
        except count_approval.CountedSince:
            assert self.counted_after(count)
            return
        except posting.NotEnoughStock:
            assert missing < 0
            return
        assert not self.counted_after(count)
        self.posted.remove(entry)
        self.move(("count", 0), ("store", 0), missing)

    @precondition(lambda self: any(load.packs and not load.billed for load in self.loads))
    @rule(data=st.data(), amount=money)
    def bill(self, data, amount):
        unbilled = [load for load in self.loads if load.packs and not load.billed]
        load = data.draw(st.sampled_from(unbilled), label="load")
        line = BilledLineAct(
            material_id=self.at.cement.material.pk,
            quantity=Decimal(load.packs),
            amount_minor=amount,
            receipt_line_id=load.line_id,
            pack_id=self.at.cement.pack.pk,
        )
        act = SupplierBillAct(
            supplier_id=self.at.supplier.pk,
            number=made.key(),
            dated=TODAY,
            lines=(line,),
            total_minor=amount,
        )
        bill = self.act(supplier_bills.record, act)
        if bill.state == SupplierBill.State.HELD:
            self.act(supplier_bills.settle, SettleAct(bill_id=bill.pk, accept=True, reason="agreed"))
        load.billed = True

    @precondition(lambda self: self.loads)
    @rule(data=st.data())
    def take_back_receipt(self, data):
        load = data.draw(st.sampled_from(self.loads), label="load")
        try:
            self.act(deliveries.reverse, deliveries.ReverseAct(receipt_id=load.receipt.pk, reason="wrong"))
        except deliveries.BilledAlready:
            assert load.billed
            return
        except posting.NotEnoughStock:
            return
        self.loads.remove(load)
        self.move(("store", load.where), ("outside", load.where), load.packs - load.held)
        self.move(("quarantine", load.where), ("outside", load.where), load.held)

    @precondition(lambda self: self.slips)
    @rule(data=st.data())
    def take_back_slip(self, data):
        entry = data.draw(st.sampled_from(self.slips), label="slip")
        slip, source, target, packs = entry
        try:
            self.act(usage.reverse, usage.ReverseAct(slip_id=slip.pk, reason="wrong"))
        except posting.NotEnoughStock:
            return
        self.slips.remove(entry)
        self.move((target, 0), (source, 0), packs)

    @precondition(lambda self: self.last is not None)
    @rule()
    def send_again(self):
        service, act, by, key, result = self.last
        assert service(actor=by, act=act, key=key, now=self.now) == result

    @invariant()
    def ledger_is_sound(self):
        made.assert_sound()
        stock = Stock.objects.filter(material=self.at.cement.material).select_related("place")
        kept = Counter({(row.place.kind, self._where(row.place)): row.quantity for row in stock})
        for place in ("store", "slab", "waste", "count", "in_transit", "quarantine"):
            for where in (0, 1):
                assert kept[place, where] == self.bags[place, where] * BAG, (place, where)
        store = [row for row in stock if (row.place.kind, self._where(row.place)) == ("store", 0)]
        if store:
            self.seen.append((self.now, store[0].quantity, store[0].value_minor))

    def check_the_past(self):
        """The balance at any past moment is what it was then, whatever came afterwards."""
        store = Place.objects.filter(site=self.sites[0], kind=Place.Kind.STORE).first()
        for moment, quantity, value in {one[0]: one for one in self.seen[-12:]}.values():
            question = Question(
                place_id=store.pk,
                material_id=self.at.cement.material.pk,
                until=moment + timedelta(seconds=1),
                limit=1,
            )
            closing = movements.ledger(self.office, question=question).closing
            assert (closing.quantity, closing.value_minor) == (quantity, value)

    def counted_after(self, count):
        return any(other.happened_at > count.happened_at for other, _missing in self.posted)

    def move(self, source, target, packs, *, when=None):
        for place, moved in ((source, -packs), (target, packs)):
            self.bags[place] += moved
            if place == ("store", 0):
                self.yard_book.append((when or self.now, moved))

    def book_at(self, moment):
        return sum(moved for when, moved in self.yard_book if when <= moment)

    def _where(self, place):
        return self.sites.index(place.site)

    def _slip(self, packs, kind):
        lines, pour = (self.line(packs),), self.at.pour.pk
        if kind == "issue":
            return "store", "slab", usage.issue, usage.IssueAct(pour, None, lines)
        if kind == "return":
            return "slab", "store", usage.bring_back, usage.ReturnAct(pour, None, lines)
        of_slab = kind == "waste of slab"
        act = usage.WasteAct(self.sites[0].pk, "wet", None, lines, pour_id=pour if of_slab else None)
        return "slab" if of_slab else "store", "waste", usage.waste, act


def test_every_act_in_any_order_leaves_two_sound_stores(full_size):
    """Conservation by material and lot, value to the minor unit, no place below nothing, keys, the past."""
    Stores.at = made.yard(shelf_days=None)
    size = {"max_examples": 200_000 // STEPS, "stateful_step_count": STEPS} if full_size else {}
    size = {"max_examples": 8, "stateful_step_count": 20, "deadline": None} | size
    run_state_machine_as_test(
        Stores,
        settings=settings(
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
            database=None,
            **size,
        ),
    )
