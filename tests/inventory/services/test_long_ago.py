"""A time more than a month back is asked about before it is recorded, wherever something happened."""

from dataclasses import replace
from datetime import timedelta

import pytest

from inventory.services import deliveries, moments, transfers
from inventory.services.cutting import bench, issuing
from inventory.services.cutting.bench import CutAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from inventory.services.transfers import ArrivalAct, ArrivedLineAct, DispatchAct
from tests.factories import cutting as cut
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

THEN = NOW - timedelta(days=40)


def asked(service, act, *, by):
    """Do the act of long ago: refused first, then as the person says that it is right."""
    with pytest.raises(moments.LongAgo, match="more than 31 days ago"):
        service(actor=by, act=act, key=made.key(), now=NOW)
    return service(actor=by, act=replace(act, sure_of_time=True), key=made.key(), now=NOW)


def test_receipt_of_long_ago_is_asked_about():
    at = made.yard()
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=4), happened_at=THEN)

    assert asked(deliveries.record, act, by=at.cast.bob).happened_at == THEN


def test_transfer_of_long_ago_is_asked_about_at_both_ends():
    at = made.yard()
    made.receive(at, packs=40)
    lines = (goods.slip_line(at.cement, packs=3),)
    ends = {"from_site_id": at.cast.site.pk, "to_site_id": at.cast.other_site.pk}

    sent = asked(transfers.dispatch, DispatchAct(**ends, happened_at=THEN, lines=lines), by=at.cast.alice)
    line = ArrivedLineAct(line_id=sent.lines.get().pk, found=lines[0].amount, pack_id=at.cement.pack.pk)
    act = ArrivalAct(transfer_id=sent.pk, happened_at=THEN, lines=(line,))

    assert sent.dispatched_at == THEN
    assert asked(transfers.receive, act, by=at.cast.alice).received_at == THEN


def test_cut_and_cut_pieces_of_long_ago_are_asked_about():
    at = cut.shop()
    cut.receive(at, "steel-10", bars=7)
    plan = cut.reserved(at, marks=("S1",))
    pattern = plan.patterns.order_by("position").first()
    act = CutAct(pattern_id=pattern.pk, bars=2, done_before=0, happened_at=THEN)

    assert asked(bench.cut, act, by=at.cast.bob).happened_at == THEN
    pieces = (PieceAct(need_id=plan.needs.get().pk, count=5),)
    carried = IssuePiecesAct(pour_id=at.pour.pk, pieces=pieces, happened_at=THEN)
    assert asked(issuing.issue, carried, by=at.cast.bob).happened_at == THEN
