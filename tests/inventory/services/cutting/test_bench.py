import pytest
from django.db import DatabaseError, transaction

from estimates.models import Bill
from inventory.models import Cut, CuttingPattern, CuttingPlan, Lot, PieceIssue, Reservation
from inventory.models.ledger import Movement
from inventory.queries.cutting import pieces
from inventory.services import posting, usage
from inventory.services.cutting import bench, issuing, reserving, solving
from inventory.services.cutting.bench import CutAct, UndoAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.cutting.reserving import PlanAct
from inventory.services.usage import IssueAct, ReverseAct, SlipLineAct
from projects.errors import KeyReused, NotAllowed, NotFound
from tests.factories import cutting as made
from tests.factories import inventory_stock
from tests.factories.cast import NOW

pytestmark = pytest.mark.django_db

State = CuttingPlan.State


@pytest.fixture
def at():
    """27 pieces of 2,960 mm: seven bars of 12 m, four to a bar, and the last gives three.

    With a blade of 3 mm four pieces leave 12,000 - 4 × 2,963 = 148 mm, which is scrap; three leave 3,111 mm,
    which is kept.
    """
    return made.shop()


def ready(at, *, bars=7):
    made.receive(at, "steel-10", bars=bars)
    plan = made.reserved(at, marks=("S1",))
    return plan, list(plan.patterns.order_by("position"))


def test_bars_are_reserved_whole_and_for_one_plan(at):
    made.receive(at, "steel-10", bars=7)
    first = made.proposed(at, marks=("S1",))
    second = made.proposed(at)

    reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=first.pk), key="a", now=NOW)

    assert [(row.bars, row.used) for row in first.reservations.all()] == [(7, 0)]
    with pytest.raises(reserving.PlanOutOfDate) as refused:
        reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=second.pk), key="b", now=NOW)
    assert refused.value.params["marks"] == ["S1"]
    assert not Reservation.objects.filter(plan=second).exists()


def test_bars_used_since_refuse_the_whole_plan(at):
    lot = made.receive(at, "steel-10", bars=7)
    plan = made.proposed(at, marks=("S1",))
    take(at, lot, metres=12)

    with pytest.raises(reserving.PlanOutOfDate) as refused:
        reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key="k", now=NOW)

    assert refused.value.params["missing"] == ["1 × bar 12000 mm"]
    assert not Reservation.objects.exists()


def test_a_replaced_bill_refuses_the_plan(at):
    plan = made.proposed(at)
    Bill.objects.update(state=Bill.State.SUPERSEDED)

    with pytest.raises(reserving.PlanOutOfDate):
        reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key="k", now=NOW)


def test_a_plan_that_the_checker_refuses_is_not_taken_up(at):
    made.receive(at, "steel-10", bars=7)
    plan = made.proposed(at, marks=("S1",))
    pattern = plan.patterns.first()
    pattern.pieces.update(per_bar=5)

    with pytest.raises(reserving.PlanFaulty):
        reserving.reserve(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key="k", now=NOW)


def test_a_tick_moves_bars_pieces_offcuts_and_scrap(at):
    plan, patterns = ready(at)
    for pattern in patterns:
        made.cut(at, pattern)

    plan.refresh_from_db()
    assert plan.state == State.DONE
    assert [(p.bars, p.rest_mm, p.rest_kept) for p in patterns] == [(6, 148, False), (1, 3_111, True)]
    bench_mm, _value = inventory_stock.balance("bench", of=bought(at))
    waste_mm, _value = inventory_stock.balance("waste", of=bought(at))
    store_mm, _value = inventory_stock.balance("store", of=bought(at))
    assert bench_mm == 27 * 2_960
    assert waste_mm == 6 * (148 + 4 * 3) + 3 * 3
    assert store_mm == 3_111
    assert bench_mm + waste_mm + store_mm == 7 * 12_000
    inventory_stock.assert_sound()
    rest = Lot.objects.get(offcut_since__isnull=False)
    assert (rest.bar_length_mm, rest.label, rest.offcut_of.bar_length_mm) == (3_111, "OC-2026-0001", 12_000)


def test_pieces_lie_at_the_bench_until_they_go_to_their_slab(at):
    plan, patterns = ready(at)
    made.cut(at, patterns[0], bars=2)
    need = plan.needs.get()
    act = IssuePiecesAct(pour_id=at.pour.pk, pieces=(PieceAct(need.pk, 5),), given_to="fixers")

    slip = issuing.issue(actor=at.cast.bob, act=act, key="k", now=NOW)

    row = pieces.of_plan(plan.pk)[0]
    assert (row.cut, row.issued, row.at_bench, row.to_cut) == (8, 5, 3, 19)
    assert inventory_stock.balance("slab", of=bought(at))[0] == 5 * 2_960
    assert [row.need for row in pieces.for_slab(at.cast.bob, slab_id=at.slab.pk)] == [need]
    usage.reverse(actor=at.cast.bob, act=ReverseAct(slip_id=slip.pk, reason="wrong slab"), key="r", now=NOW)
    assert pieces.of_plan(plan.pk)[0].at_bench == 8
    inventory_stock.assert_sound()


def test_no_more_pieces_go_than_lie_there(at):
    plan, patterns = ready(at)
    made.cut(at, patterns[0], bars=1)
    need = plan.needs.get()

    for count, fault in ((5, issuing.NotAtBench), (0, issuing.NoLines)):
        act = IssuePiecesAct(pour_id=at.pour.pk, pieces=(PieceAct(need.pk, count),))
        with pytest.raises(fault):
            issuing.issue(actor=at.cast.bob, act=act, key=made.key(), now=NOW)
    assert not PieceIssue.objects.exists()


def test_two_who_tick_the_same_pattern_at_once_tick_it_once(at):
    _plan, patterns = ready(at)
    seen = CutAct(pattern_id=patterns[0].pk, bars=6, done_before=0)
    bench.cut(actor=at.cast.bob, act=seen, key="bob-1", now=NOW)

    with pytest.raises(bench.TickedMeanwhile) as refused:
        bench.cut(actor=at.cast.alice, act=seen, key="alice-1", now=NOW)

    assert refused.value.params == {"done": 6, "bars": 6}
    assert Cut.objects.count() == 1


def test_tick_sent_again_counts_once_and_its_key_serves_nothing_else(at):
    _plan, patterns = ready(at)
    act = CutAct(pattern_id=patterns[0].pk, bars=1, done_before=0)
    first = bench.cut(actor=at.cast.bob, act=act, key="again", now=NOW)

    assert bench.cut(actor=at.cast.bob, act=act, key="again", now=NOW) == first
    with pytest.raises(KeyReused):
        bench.cut(actor=at.cast.bob, act=CutAct(patterns[0].pk, 2, 1), key="again", now=NOW)
    patterns[0].refresh_from_db()
    assert patterns[0].done == 1


@pytest.mark.parametrize("bars", [0, -1, 7])
def test_wrong_number_of_bars_is_refused(at, bars):
    _plan, patterns = ready(at)

    with pytest.raises(bench.TooManyBars):
        made.cut(at, patterns[0], bars=bars)
    assert not Movement.objects.filter(cut__isnull=False).exists()


def test_offcut_used_meanwhile_is_refused_and_nothing_moves(at):
    lot = made.offcuts(at, "steel-10", length=6_100)
    made.receive(at, "steel-10", bars=7)
    plan = made.reserved(at, marks=("S1",))
    pattern = plan.patterns.get(origin="offcut")
    take(at, lot, metres="6.1")
    before = Movement.objects.count()

    with pytest.raises(bench.BarsGone) as refused:
        made.cut(at, pattern)

    assert refused.value.params["missing"] == 1
    assert Movement.objects.count() == before
    assert not Cut.objects.exists()


def test_bars_to_buy_are_cut_once_they_have_come(at):
    plan = made.reserved(at, marks=("S1",))
    pattern = plan.patterns.filter(origin="buy").first()
    with pytest.raises(bench.BarsGone):
        made.cut(at, pattern)

    made.receive(at, "steel-10", bars=7)

    assert made.cut(at, pattern).bars == pattern.bars


def test_a_cut_is_taken_back_whole(at):
    plan, patterns = ready(at)
    rows = [made.cut(at, pattern) for pattern in patterns]

    for row in rows:
        bench.undo(actor=at.cast.bob, act=UndoAct(cut_id=row.pk, reason="wrong tap"), key=made.key(), now=NOW)

    plan.refresh_from_db()
    assert plan.state == State.RESERVED
    assert inventory_stock.balance("store", of=bought(at))[0] == 7 * 12_000
    assert inventory_stock.balance("bench", of=bought(at)) == (0, 0)
    assert inventory_stock.balance("waste", of=bought(at)) == (0, 0)
    assert [row.used for row in plan.reservations.all()] == [0]
    inventory_stock.assert_sound()
    with pytest.raises(posting.AlreadyReversed):
        bench.undo(actor=at.cast.bob, act=UndoAct(cut_id=rows[0].pk, reason="again"), key="u", now=NOW)
    assert [made.cut(at, pattern).bars for pattern in patterns] == [6, 1]


def test_a_cut_whose_pieces_are_gone_stays(at):
    plan, patterns = ready(at)
    row = made.cut(at, patterns[0], bars=1)
    act = IssuePiecesAct(pour_id=at.pour.pk, pieces=(PieceAct(plan.needs.get().pk, 1),))
    issuing.issue(actor=at.cast.bob, act=act, key="k", now=NOW)

    with pytest.raises(bench.PiecesGone):
        bench.undo(actor=at.cast.bob, act=UndoAct(cut_id=row.pk, reason="wrong tap"), key="u", now=NOW)


def test_a_cut_whose_offcut_was_used_stays(at):
    _plan, patterns = ready(at)
    row = made.cut(at, patterns[1])
    take(at, Lot.objects.get(cut=row), metres="3.111")

    with pytest.raises(posting.NotEnoughStock):
        bench.undo(actor=at.cast.bob, act=UndoAct(cut_id=row.pk, reason="wrong tap"), key="u", now=NOW)


def test_undo_asks_for_its_reason(at):
    _plan, patterns = ready(at)
    row = made.cut(at, patterns[1])

    with pytest.raises(reserving.ReasonMissing):
        bench.undo(actor=at.cast.bob, act=UndoAct(cut_id=row.pk, reason=" "), key="u", now=NOW)


def test_offcut_of_one_plan_is_cut_first_by_the_next(at):
    _plan, patterns = ready(at)
    for pattern in patterns:
        made.cut(at, pattern)

    size = made.ask(at, marks=("B1-1",), buy_lengths_mm=None).inputs["sizes"][0]

    assert size["stocks"] == [{"origin": "buy", "length_mm": 12_000}]  # 16 mm: the offcut is of 10 mm
    with pytest.raises(Exception, match="Nothing is left to cut"):
        made.ask(at, marks=("S1",))


def test_given_up_plan_frees_what_is_not_cut(at):
    plan, patterns = ready(at)
    made.cut(at, patterns[0], bars=2)
    with pytest.raises(reserving.ReasonMissing):
        reserving.end(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key="e", now=NOW)

    reserving.end(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk, reason="revision B"), key="f", now=NOW)

    left = made.ask(at, marks=("S1",))
    assert [need.count for need in left.needs.all()] == [27 - 8]
    assert left.inputs["sizes"][0]["stocks"][0] == {"origin": "bar", "length_mm": 12_000, "available": 5}
    with pytest.raises(reserving.WrongPlanState):
        made.cut(at, patterns[0], bars=1)


def test_a_stopped_search_writes_nothing(at):
    plan = made.ask(at)
    reserving.end(actor=at.cast.alice, act=PlanAct(plan_id=plan.pk), key="e", now=NOW)

    assert made.worked_out(plan).state == State.CANCELLED
    assert not CuttingPattern.objects.exists()


def test_a_search_that_dies_leaves_no_half_plan_and_is_done_again(at, monkeypatch):
    plan = made.ask(at)
    write = solving._write_pattern
    monkeypatch.setattr(solving, "_write_pattern", _dies_after(1, write))
    with pytest.raises(RuntimeError, match="killed"):
        made.worked_out(plan)
    assert not CuttingPattern.objects.exists()
    monkeypatch.undo()

    assert made.worked_out(plan).state == State.PROPOSED
    first = list(CuttingPattern.objects.values_list("position", "bars"))
    assert made.worked_out(plan).state == State.PROPOSED  # done twice, the second changes nothing
    assert list(CuttingPattern.objects.values_list("position", "bars")) == first


def _dies_after(calls, of):
    left = [calls]

    def write(*args, **kwargs):
        if not left[0]:
            message = "killed"
            raise RuntimeError(message)
        left[0] -= 1
        return of(*args, **kwargs)

    return write


def test_owner_and_stranger_cut_nothing(at):
    _plan, patterns = ready(at)

    with pytest.raises(NotAllowed):
        made.cut(at, patterns[0], by=at.cast.olga)
    with pytest.raises(NotFound):
        made.cut(at, patterns[0], by=at.cast.charlie)


@pytest.mark.parametrize(
    ("rows", "change"),
    [
        (CuttingPattern, {"done": 99}),
        (CuttingPattern, {"bars": 0}),
        (Reservation, {"used": 99}),
        (Reservation, {"bars": 0}),
    ],
)
def test_database_keeps_counts_in_bounds(at, rows, change):
    ready(at)

    with pytest.raises(DatabaseError), transaction.atomic():
        rows.objects.update(**change)


def take(at, lot, *, metres):
    """Somebody issues bars of a lot by a slip."""
    line = SlipLineAct(material_id=lot.material_id, amount=metres_of(metres), unit="m", lot_id=lot.pk)
    act = IssueAct(pour_id=at.pour.pk, happened_at=NOW, lines=(line,))
    return usage.issue(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def metres_of(text):
    return inventory_stock.Decimal(text)


def bought(at):
    return inventory_stock.Bought(at.steel["steel-10"], None)
