"""A count far from the book is taken twice, approved by a second person, and can be taken back."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from estimates.services import figures
from estimates.services.figures import FigureAct
from inventory.models.ledger import Movement
from inventory.services import count_approval, counts, posting
from inventory.services.count_approval import ApproveAct, EndAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


def count(at, found, *, by=None, recounted=True, explanation="stolen over the fence"):
    act = made.count_act(at.cast.site, (at.cement, found), explanation=explanation)
    act = replace(act, recounted=recounted)
    return counts.record(actor=by or at.cast.bob, act=act, key=made.key(), now=NOW)


def approve(at, of, *, by=None):
    act = ApproveAct(count_id=of.pk)
    return count_approval.approve(actor=by or at.cast.olga, act=act, key=made.key(), now=NOW)


def end(service, at, of, *, by=None, reason="the second heap was left out"):
    act = EndAct(count_id=of.pk, reason=reason)
    return service(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


def test_figure_far_from_the_book_is_counted_again_before_the_book_is_told():
    at = made.yard()
    made.receive(at, packs=40)

    with pytest.raises(counts.RecountAsked) as asked:
        count(at, "37", recounted=False, explanation="")
    with pytest.raises(counts.Unexplained) as told:
        count(at, "37", explanation="")

    assert asked.value.params == {"material_ids": [at.cement.material.pk]}
    assert "40" not in asked.value.message
    assert told.value.params["differences"][0]["book"] == 40 * BAG


def test_difference_within_the_tolerance_is_posted_at_once():
    """5 % of 40 bags are 2."""
    at = made.yard()
    made.receive(at, packs=40)

    found = count(at, "38", recounted=False)

    assert (found.state, found.approved_by) == ("posted", None)
    assert made.balance("store", of=at.cement)[0] == 38 * BAG


def test_tolerance_is_the_firms_own():
    at = made.yard()
    made.receive(at, packs=40)
    act = FigureAct(profile="is", key="counting.tolerance", value=1, reason="the owner of the firm")
    figures.set_own(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    with pytest.raises(counts.RecountAsked):
        count(at, "39", recounted=False)


def test_count_by_the_keeper_far_from_the_book_waits_for_a_second_person():
    at = made.yard()
    made.receive(at, packs=40)

    waiting = count(at, "20")
    assert (waiting.state, waiting.by_keeper) == ("waiting", True)
    assert made.balance("store", of=at.cement)[0] == 40 * BAG
    with pytest.raises(NotAllowed):
        approve(at, waiting, by=at.cast.bob)
    with pytest.raises(NotFound):
        approve(at, waiting, by=at.cast.charlie)

    posted = approve(at, waiting)

    assert (posted.state, posted.approved_by.name, posted.self_approved) == ("posted", "Olga", False)
    assert posted.lines.get().value_minor == -20 * 40_000
    assert made.balance("store", of=at.cement) == (20 * BAG, 20 * 40_000)
    assert Movement.objects.get(reason="count").happened_at == NOW
    with pytest.raises(count_approval.NotWaiting):
        approve(at, waiting)
    made.assert_sound()


def test_approval_holds_the_count_against_the_book_as_it_then_stands():
    """A slip of before the count that was written down late explains ten of the twenty bags."""
    at = made.yard()
    made.receive(at, packs=40)
    waiting = count(at, "20")
    late = replace(made.issue_act(at, packs=10), happened_at=NOW - timedelta(hours=1))
    goods.usage.issue(actor=at.cast.bob, act=late, key=made.key(), now=NOW)

    approve(at, waiting)

    assert waiting.lines.get().book == 30 * BAG
    assert made.balance("store", of=at.cement)[0] == 20 * BAG
    assert made.balance("count", of=at.cement)[0] == 10 * BAG


def test_office_approves_its_own_count_and_it_is_marked():
    at = made.yard()
    made.receive(at, packs=40)

    found = count(at, "20", by=at.cast.alice)

    assert (found.state, found.self_approved) == ("posted", True)


def test_count_that_waits_is_sent_back_with_a_reason_and_moves_nothing():
    at = made.yard()
    made.receive(at, packs=40)
    waiting = count(at, "20")
    with pytest.raises(count_approval.ReasonMissing):
        end(count_approval.send_back, at, waiting, reason=" ")

    back = end(count_approval.send_back, at, waiting)

    assert (back.state, back.end_reason) == ("sent_back", "the second heap was left out")
    assert made.balance("store", of=at.cement)[0] == 40 * BAG


def test_posted_count_is_taken_back_at_its_value():
    at = made.yard()
    made.receive(at, packs=40)
    found = count(at, "30", by=at.cast.alice)
    goods.offer(at.supplier, of=at.cement, pack_price=500_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)

    gone = end(count_approval.reverse, at, found)

    assert gone.state == "reversed"
    assert made.balance("store", of=at.cement) == (50 * BAG, 40 * 40_000 + 10 * 50_000)
    assert made.balance("count", of=at.cement) == (0, 0)
    with pytest.raises(count_approval.NotPosted):
        end(count_approval.reverse, at, found)
    made.assert_sound()


def test_count_does_not_undo_what_a_later_count_found():
    at = made.yard()
    made.receive(at, packs=40)
    waiting = count(at, "20")
    found = count(at, "30", by=at.cast.alice)
    count(at, "30", by=at.cast.alice)

    with pytest.raises(count_approval.CountedSince):
        approve(at, waiting)
    with pytest.raises(count_approval.CountedSince):
        end(count_approval.reverse, at, found)
    assert end(count_approval.send_back, at, waiting).state == "sent_back"
    assert made.balance("store", of=at.cement)[0] == 30 * BAG


def test_surplus_that_was_used_since_is_not_taken_back():
    at = made.yard()
    made.receive(at, packs=10)
    found = count(at, "30", by=at.cast.alice)
    made.issue(at, packs=25)

    with pytest.raises(posting.NotEnoughStock):
        end(count_approval.reverse, at, found)


def test_use_of_a_heap_comes_back_until_its_pour_is_closed():
    at = made.yard()
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)
    act = made.count_act(at.cast.site, (at.sand, "1"))
    found = counts.record(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    end(count_approval.reverse, at, found)
    assert made.balance("slab", of=at.sand)[0] == 0

    again = counts.record(actor=at.cast.alice, act=act, key=made.key(), now=NOW)
    assert made.balance("slab", of=at.sand)[0] == 15_000_000
    made.close(at)
    with pytest.raises(count_approval.PourClosed):
        end(count_approval.reverse, at, again)
