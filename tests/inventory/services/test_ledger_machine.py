"""Any sequence of acts leaves a sound ledger: a model of quantities and lots walks beside the services."""

from collections import Counter
from datetime import timedelta

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

from inventory.services import counts, lots, posting, rebuilding, usage
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

BAG = 50_000
# Few amounts, so that what is there often is exactly what is taken or taken back.
amounts = st.sampled_from([5, 10, 20])
ages = st.sampled_from([None, 10, 60, 120])
prices = st.integers(min_value=0, max_value=10_000_007)


class Stores(RuleBasedStateMachine):
    """Acts on one material of one site, with the balances that they should lead to, in bags."""

    def __init__(self):
        super().__init__()
        self.undo = transaction.atomic()
        self.undo.__enter__()
        self.at = made.yard(shelf_days=90)
        self.bags = Counter()
        self.receipts, self.slips = [], []

    def teardown(self):
        transaction.set_rollback(True)
        self.undo.__exit__(None, None, None)
        transaction.set_rollback(False)

    @rule(packs=amounts, age=ages, price=prices)
    def receive(self, packs, age, price):
        offer = goods.Offer.objects.get(material=self.at.cement.material)
        offer.pack_price = price * 10_000
        offer.save()
        date = None if age is None else TODAY - timedelta(days=age)
        self.receipts.append((made.receive(self.at, packs=packs, made_date=date), packs))
        self.bags["store"] += packs

    @rule(packs=amounts)
    def issue(self, packs):
        old = sum(h.quantity for h in self.heaps() if h.lot and self.blocked(h.lot)) // BAG
        try:
            slip = made.issue(self.at, packs=packs)
        except posting.NotEnoughStock:
            assert packs > self.bags["store"] - old
            return
        assert packs <= self.bags["store"] - old
        self.slips.append((slip, "store", "slab", packs))
        self.moved("store", "slab", packs)

    @rule(packs=amounts, dear_first=st.booleans())
    def use_of_mixed_loads(self, packs, dear_first):
        """A cheap and a dear load are mixed, half of them used, and the first load taken back."""
        for price in sorted((1_000, 9_000_000), reverse=dear_first):
            self.receive(packs=packs, age=None, price=price)
        self.issue(packs)
        first = self.receipts[-2]
        try:
            goods.taken_back(self.at.cast.bob, receipt=first[0])
        except posting.NotEnoughStock:
            return
        self.receipts.remove(first)
        self.bags["store"] -= packs

    @rule(packs=amounts)
    def bring_back(self, packs):
        try:
            slip = goods.bring_back(self.at.cast.bob, to=self.at.pour, of=self.at.cement, packs=packs)
        except posting.NotEnoughStock:
            assert packs > self.bags["slab"]
            return
        self.slips.append((slip, "slab", "store", packs))
        self.moved("slab", "store", packs)

    @rule(packs=amounts, of_slab=st.booleans())
    def waste(self, packs, of_slab):
        source = "slab" if of_slab else "store"
        pour = self.at.pour if of_slab else None
        try:
            slip = goods.waste(
                self.at.cast.bob, site=self.at.cast.site, of=self.at.cement, packs=packs, pour=pour
            )
        except posting.NotEnoughStock:
            assert packs > self.bags[source]
            return
        self.slips.append((slip, source, "waste", packs))
        self.moved(source, "waste", packs)

    @rule(found=st.integers(min_value=0, max_value=60))
    def count(self, found):
        act = made.count_act(self.at.cast.site, (self.at.cement, str(found)), explanation="as found")
        counts.record(actor=self.at.cast.alice, act=act, key=made.key(), now=NOW)
        self.moved("store", "count", self.bags["store"] - found)

    @precondition(lambda self: self.receipts)
    @rule(data=st.data())
    def take_back_receipt(self, data):
        receipt, packs = data.draw(st.sampled_from(self.receipts), label="receipt")
        try:
            goods.taken_back(self.at.cast.bob, receipt=receipt)
        except posting.NotEnoughStock:
            return
        self.receipts.remove((receipt, packs))
        self.bags["store"] -= packs

    @precondition(lambda self: self.slips)
    @rule(data=st.data())
    def take_back_slip(self, data):
        entry = data.draw(st.sampled_from(self.slips), label="slip")
        slip, source, target, packs = entry
        act = usage.ReverseAct(slip_id=slip.pk, reason="wrong")
        try:
            usage.reverse(actor=self.at.cast.bob, act=act, key=made.key(), now=NOW)
        except posting.NotEnoughStock:
            return
        self.slips.remove(entry)
        self.moved(target, source, packs)

    @invariant()
    def ledger_is_sound(self):
        made.assert_sound()
        assert rebuilding.compare(self.at.cast.firm.pk) == []
        for kind in ("store", "slab", "waste", "count"):
            assert made.balance(kind, of=self.at.cement)[0] == self.bags[kind] * BAG

    def moved(self, source, target, packs):
        self.bags[source] -= packs
        self.bags[target] += packs

    def heaps(self):
        return [
            lots.Heap(row.lot, row.quantity)
            for row in made.LotStock.objects.filter(place__kind="store").select_related("lot")
        ]

    def blocked(self, lot):
        return lots.blocked(lot, material=self.at.cement.material, on_date=TODAY)


def test_any_sequence_of_acts_leaves_a_sound_ledger(full_size):
    """The store, slab, waste and count hold what was moved; value is conserved to the minor unit."""
    size = {"max_examples": 150, "stateful_step_count": 40} if full_size else {"max_examples": 12}
    size = {"stateful_step_count": 15, "deadline": None} | size
    checks = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
    run_state_machine_as_test(Stores, settings=settings(suppress_health_check=checks, database=None, **size))
