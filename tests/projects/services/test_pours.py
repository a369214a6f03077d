"""Pours are planned within the slab, moved while planned, recorded and closed in that order."""

from datetime import UTC, date, datetime, timedelta

import pytest

from projects.errors import NotAllowed, NotFound, Refused
from projects.models import Outbox, Pour
from projects.services import pours, slabs
from projects.services.pours import ClosingAct, MoveAct, PourAct, PouredAct, ShareTooLarge, WrongState
from projects.services.slabs import SlabAct, SlabClosingAct
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

DAY = date(2026, 5, 20)


def _slab(team, name="roof slab"):
    act = SlabAct(site_id=team.site.pk, name=name)
    return slabs.add(actor=team.alice, act=act, key=f"slab-{name}", now=NOW)


def _plan(team, slab, *, name="whole slab", share=1_000_000):
    act = PourAct(slab_id=slab.pk, name=name, pour_date=DAY, share_ppm=share)
    return pours.plan(actor=team.alice, act=act, key=f"pour-{name}", now=NOW)


def test_planning_asks_for_the_needs():
    team = cast()

    _plan(team, _slab(team))

    assert Outbox.objects.filter(job="estimates.requirements", firm=team.firm).count() == 1


def test_pours_cannot_be_more_than_the_slab():
    team = cast()
    slab = _slab(team)
    _plan(team, slab, name="north", share=600_000)

    with pytest.raises(ShareTooLarge) as refused:
        _plan(team, slab, name="south", share=400_001)

    assert refused.value.params == {"left_ppm": 400_000}


@pytest.mark.parametrize("share", [0, -1])
def test_share_of_nothing_is_refused(share):
    team = cast()

    with pytest.raises(ShareTooLarge):
        _plan(team, _slab(team), share=share)


def test_name_of_a_pour_is_used_once():
    team = cast()
    slab = _slab(team)
    act = PourAct(slab_id=slab.pk, name="north", pour_date=DAY, share_ppm=1)
    pours.plan(actor=team.alice, act=act, key="a", now=NOW)

    with pytest.raises(WrongState):
        pours.plan(actor=team.alice, act=act, key="b", now=NOW)


def test_moved_pour_keeps_its_row_and_has_the_new_date():
    team = cast()
    pour = _plan(team, _slab(team))

    moved = pours.move(actor=team.alice, act=MoveAct(pour.pk, DAY + timedelta(days=3)), key="m", now=NOW)

    assert (moved.pk, moved.pour_date) == (pour.pk, date(2026, 5, 23))


def test_site_manager_records_the_pour_and_the_office_cannot_move_it_any_more():
    team = cast()
    pour = _plan(team, _slab(team))

    done = pours.mark_poured(actor=team.bob, act=PouredAct(pour.pk, NOW), key="p", now=NOW)

    assert (done.state, done.pour_date) == (Pour.State.POURED, NOW.date())
    with pytest.raises(WrongState):
        pours.move(actor=team.alice, act=MoveAct(pour.pk, DAY), key="m", now=NOW)
    with pytest.raises(WrongState):
        pours.mark_poured(actor=team.bob, act=PouredAct(pour.pk, NOW), key="p2", now=NOW)


def test_time_of_placing_in_the_future_is_refused():
    team = cast()
    pour = _plan(team, _slab(team))

    with pytest.raises(Refused) as refused:
        pours.mark_poured(actor=team.bob, act=PouredAct(pour.pk, NOW + timedelta(hours=1)), key="p", now=NOW)

    assert refused.value.field == "poured_at"


def test_only_a_placed_pour_is_closed_and_only_then_is_the_slab_finished():
    team = cast()
    slab = _slab(team)
    pour = _plan(team, slab)
    with pytest.raises(WrongState):
        pours.close(actor=team.bob, act=ClosingAct(pour.pk), key="c0", now=NOW)
    with pytest.raises(WrongState):
        slabs.finish(actor=team.alice, act=SlabClosingAct(slab.pk), key="f0", now=NOW)
    pours.mark_poured(actor=team.bob, act=PouredAct(pour.pk, NOW), key="p", now=NOW)

    pours.close(actor=team.bob, act=ClosingAct(pour.pk), key="c1", now=NOW)
    finished = slabs.finish(actor=team.alice, act=SlabClosingAct(slab.pk), key="f1", now=NOW)

    assert finished.closed_at == NOW
    with pytest.raises(WrongState):
        slabs.finish(actor=team.alice, act=SlabClosingAct(slab.pk), key="f2", now=NOW)
    with pytest.raises(WrongState):
        _plan(team, slab, name="late")


def test_site_manager_does_not_plan():
    team = cast()
    act = PourAct(slab_id=_slab(team).pk, name="x", pour_date=DAY)

    with pytest.raises(NotAllowed):
        pours.plan(actor=team.bob, act=act, key="x", now=NOW)


def test_stranger_finds_neither_slab_nor_pour():
    team = cast()
    slab = _slab(team)
    pour = _plan(team, slab)

    with pytest.raises(NotFound):
        pours.plan(actor=team.charlie, act=PourAct(slab.pk, "x", DAY), key="x", now=NOW)
    with pytest.raises(NotFound):
        pours.move(actor=team.charlie, act=MoveAct(pour.pk, DAY), key="y", now=NOW)
    with pytest.raises(NotFound):
        slabs.add(actor=team.charlie, act=SlabAct(team.site.pk, "x"), key="z", now=NOW)


def test_day_of_placing_is_the_firms_day():
    # 20:00 in Greenwich on 3 May is 01:30 on 4 May in Kolkata, where the firm works.
    team = cast()
    pour = _plan(team, _slab(team))
    evening = datetime(2026, 5, 3, 20, 0, tzinfo=UTC)
    done = pours.mark_poured(actor=team.bob, act=PouredAct(pour.pk, evening), key="p", now=NOW)
    assert done.pour_date == date(2026, 5, 4)
