"""A yard of steel and its bench, every act in any order: lengths, lots, pieces, offcuts and value stay sound.

A model walks beside the services and keeps the millimetres of each lot. In full size the run takes 20,000
steps.
"""

from collections import Counter
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

from inventory.models import CuttingPattern, LotStock
from inventory.services import posting, rebuilding, usage
from inventory.services.cutting import bench, issuing
from inventory.services.cutting.bench import UndoAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.usage import IssueAct, ReverseAct, SlipLineAct
from tests.factories import cutting as made
from tests.factories import inventory_stock
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

BAR, PIECE = 12_000, 2_960
STEPS = 40


class Bench(RuleBasedStateMachine):
    """27 pieces to cut of seven reserved bars, and whatever else is done to the steel meanwhile."""

    at = plan = None
    """The shop and its plan, made once and put back by the database after each run."""

    def __init__(self):
        super().__init__()
        self.undo = transaction.atomic()
        self.undo.__enter__()
        self.reserved = self.plan.reservations.get()
        self.store = Counter({self.reserved.lot_id: 7 * BAR})
        self.need = self.plan.needs.get()
        self.cuts, self.given, self.slips = [], [], []
        self.pieces_cut = self.pieces_given = self.lost = self.plain = 0

    def teardown(self):
        assert rebuilding.compare(self.at.cast.firm.pk) == []
        transaction.set_rollback(True)
        self.undo.__exit__(None, None, None)
        transaction.set_rollback(False)

    @rule(bars=st.sampled_from([1, 3]))
    def receive(self, bars):
        lot = made.receive(self.at, "steel-10", bars=bars)
        self.store[lot.pk] += bars * BAR

    @rule(data=st.data(), length=st.sampled_from([1_500, 6_000, BAR]))
    def take_metres(self, data, length):
        lot_id = data.draw(st.sampled_from(sorted(self.store)), label="lot")
        line = SlipLineAct(self.steel.pk, Decimal(length) / 1_000, unit="m", lot_id=lot_id)
        act = IssueAct(pour_id=self.at.pour.pk, happened_at=None, lines=(line,))
        try:
            slip = self.act(usage.issue, act)
        except posting.NotEnoughStock:
            assert length > self.store[lot_id]
            return
        assert length <= self.store[lot_id]
        self.store[lot_id] -= length
        self.plain += length
        self.slips.append((slip, lot_id, length))

    @precondition(lambda self: self.slips)
    @rule(data=st.data())
    def bring_metres_back(self, data):
        entry = data.draw(st.sampled_from(self.slips), label="slip")
        slip, lot_id, length = entry
        self.act(usage.reverse, ReverseAct(slip_id=slip.pk, reason="wrong"))
        self.slips.remove(entry)
        self.store[lot_id] += length
        self.plain -= length

    @rule(position=st.sampled_from([1, 2]), bars=st.sampled_from([1, 2, 6]))
    def cut(self, position, bars):
        pattern = self.pattern(position)
        left = pattern.bars - pattern.done
        promised = 7 - sum(row.bars for row, *_rest in self.cuts)
        there = min(promised, self.store[self.reserved.lot_id] // BAR)
        try:
            row = made.cut(self.at, pattern, bars=bars)
        except bench.TooManyBars:
            assert bars > left
            return
        except bench.BarsGone:
            assert bars > there
            return
        assert bars <= min(left, there)
        per_bar = pattern.pieces.get().per_bar
        rest = BAR - per_bar * PIECE - pattern.blade_mm
        assert rest == pattern.rest_mm
        kept = rest if pattern.rest_kept else 0
        offcut = row.offcuts.get().pk if kept else None
        self.store[self.reserved.lot_id] -= bars * BAR
        if kept:
            self.store[offcut] += bars * kept
        self.pieces_cut += bars * per_bar
        self.lost += bars * (BAR - per_bar * PIECE - kept)
        self.cuts.append((row, offcut, kept, per_bar))

    @precondition(lambda self: self.cuts)
    @rule(data=st.data())
    def undo_cut(self, data):
        entry = data.draw(st.sampled_from(self.cuts), label="cut")
        row, offcut, kept, per_bar = entry
        try:
            self.act(bench.undo, UndoAct(cut_id=row.pk, reason="wrong"))
        except bench.PiecesGone:
            assert self.pieces_cut - self.pieces_given < per_bar * row.bars
            return
        except posting.NotEnoughStock:
            assert kept * row.bars > self.store[offcut]
            return
        self.cuts.remove(entry)
        self.store[self.reserved.lot_id] += row.bars * BAR
        if kept:
            self.store[offcut] -= row.bars * kept
        self.pieces_cut -= row.bars * per_bar
        self.lost -= row.bars * (BAR - per_bar * PIECE - kept)

    @rule(count=st.sampled_from([1, 4, 9]))
    def give_pieces(self, count):
        act = IssuePiecesAct(pour_id=self.at.pour.pk, pieces=(PieceAct(self.need.pk, count),))
        try:
            slip = self.act(issuing.issue, act)
        except issuing.NotAtBench:
            assert count > self.pieces_cut - self.pieces_given
            return
        assert count <= self.pieces_cut - self.pieces_given
        self.pieces_given += count
        self.given.append((slip, count))

    @precondition(lambda self: self.given)
    @rule(data=st.data())
    def bring_pieces_back(self, data):
        entry = data.draw(st.sampled_from(self.given), label="pieces")
        slip, count = entry
        self.act(usage.reverse, ReverseAct(slip_id=slip.pk, reason="wrong"))
        self.given.remove(entry)
        self.pieces_given -= count

    @invariant()
    def ledger_is_sound(self):
        inventory_stock.assert_sound()
        rows = LotStock.objects.filter(place__kind="store", lot__material=self.steel)
        kept = Counter(dict(rows.values_list("lot_id", "quantity")))
        assert +kept == +self.store
        kinds = ("bench", "slab", "waste")
        found = tuple(inventory_stock.balance(kind, of=self)[0] for kind in kinds)
        at_bench = (self.pieces_cut - self.pieces_given) * PIECE
        assert found == (at_bench, self.pieces_given * PIECE + self.plain, self.lost)

    @property
    def steel(self):
        return self.at.steel["steel-10"]

    material = steel
    """So that the machine itself can be asked for its balance."""

    def pattern(self, position):
        return CuttingPattern.objects.get(plan=self.plan, position=position)

    def act(self, service, act):
        return service(actor=self.at.cast.alice, act=act, key=made.key(), now=NOW)


def test_every_act_in_any_order_leaves_a_sound_bench(full_size):
    """No length is lost between bar, piece, offcut and scrap, and no piece is given twice."""
    Bench.at = made.shop()
    made.receive(Bench.at, "steel-10", bars=7)
    Bench.plan = made.reserved(Bench.at, marks=("S1",))
    size = {"max_examples": 20_000 // STEPS, "stateful_step_count": STEPS} if full_size else {}
    size = {"max_examples": 6, "stateful_step_count": 20, "deadline": None} | size
    run_state_machine_as_test(
        Bench,
        settings=settings(
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
            database=None,
            **size,
        ),
    )
