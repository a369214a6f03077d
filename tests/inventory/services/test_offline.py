"""An act written without network is kept whatever the store holds by the time it is sent."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.models import OfflineEntry, StockSlip
from inventory.services import offline, posting, usage
from inventory.services.offline import SUFFIX, CorrectedLine, GiveUpAct, OfflineAct, PostAct
from projects.errors import KeyReused, NotAllowed, NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
MORNING = NOW - timedelta(hours=8)


def sent(at, *, packs, key="phone-1", by=None, sent_at=NOW, **more):
    slip = replace(made.issue_act(at, packs=packs), **{"happened_at": MORNING, **more})
    return offline.record(
        actor=by or at.cast.bob, act=OfflineAct(written=slip, sent_at=sent_at), key=key + SUFFIX, now=NOW
    )


def post(at, entry, *, by=None, **more):
    act = PostAct(entry_id=entry.pk, **more)
    return offline.post(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


def test_slip_that_fits_is_posted_at_once_when_it_happened():
    at = made.yard()
    made.receive(at, packs=40)

    entry = sent(at, packs=10)

    assert entry.state == "posted"
    assert entry.slip.happened_at == MORNING
    assert made.balance("slab", of=at.cement)[0] == 10 * BAG


def test_slip_that_the_store_is_too_short_for_is_held_with_its_shortfall():
    at = made.yard()
    made.receive(at, packs=4)

    entry = sent(at, packs=10)

    assert (entry.state, entry.code, entry.slip) == ("held", "not_enough_stock", None)
    assert (entry.shortfall["there"], entry.shortfall["asked"]) == (4 * BAG, 10 * BAG)
    assert made.balance("store", of=at.cement)[0] == 4 * BAG
    assert StockSlip.objects.count() == 0
    made.assert_sound()


def test_online_act_is_still_refused():
    at = made.yard()
    made.receive(at, packs=4)

    with pytest.raises(posting.NotEnoughStock, match="Count the store"):
        made.issue(at, packs=10)


def test_held_slip_is_posted_once_the_delivery_is_recorded():
    at = made.yard()
    entry = sent(at, packs=10)
    with pytest.raises(posting.NotEnoughStock):
        post(at, entry)

    made.receive(at, packs=40)
    posted = post(at, entry)

    assert posted.state == "posted"
    assert posted.slip.happened_at == MORNING
    assert posted.recorded_by.name == "Bob"
    assert posted.settled_by.name == "Alice"
    assert made.balance("slab", of=at.cement)[0] == 10 * BAG
    with pytest.raises(offline.Settled):
        post(at, entry)
    made.assert_sound()


def test_held_slip_is_corrected_with_a_reason_and_what_was_sent_stays():
    at = made.yard()
    made.receive(at, packs=4)
    entry = sent(at, packs=40)
    four = (CorrectedLine(position=1, amount=Decimal(4)),)
    with pytest.raises(offline.ReasonMissing):
        post(at, entry, lines=four)

    posted = post(at, entry, lines=four, reason="a nought too many")

    assert made.balance("slab", of=at.cement)[0] == 4 * BAG
    assert posted.act["lines"][0]["amount"] == "40"
    assert posted.reason == "a nought too many"


@pytest.mark.parametrize("positions", [(2,), (0,), (1, 1)])
def test_correction_of_a_line_that_is_not_there_is_refused(positions):
    at = made.yard()
    entry = sent(at, packs=10)
    lines = tuple(CorrectedLine(position=n, amount=Decimal(1)) for n in positions)

    with pytest.raises(offline.NoSuchLine):
        post(at, entry, lines=lines, reason="miscounted")


def test_correction_that_strikes_every_line_out_is_refused():
    at = made.yard()
    entry = sent(at, packs=10)

    with pytest.raises(usage.NoLines, match="Give it up"):
        post(at, entry, lines=(CorrectedLine(position=1, amount=Decimal(0)),), reason="none")


def test_held_slip_is_given_up_only_with_a_reason():
    at = made.yard()
    entry = sent(at, packs=10)
    with pytest.raises(offline.ReasonMissing):
        offline.give_up(actor=at.cast.alice, act=GiveUpAct(entry.pk, "  "), key=made.key(), now=NOW)

    act = GiveUpAct(entry.pk, "written for another firm's pour")
    gone = offline.give_up(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    assert gone.state == "given_up"
    with pytest.raises(offline.Settled):
        post(at, entry)


def test_site_manager_does_not_settle_what_is_held():
    at = made.yard()
    entry = sent(at, packs=10)

    with pytest.raises(NotAllowed):
        post(at, entry, by=at.cast.bob)


def test_what_phones_wrote_is_another_firms_business():
    at = made.yard()
    entry = sent(at, packs=10)

    with pytest.raises(NotFound):
        post(at, entry, by=at.cast.charlie)
    with pytest.raises(NotFound):
        sent(at, packs=1, by=at.cast.charlie)
    assert OfflineEntry.objects.count() == 1


def test_same_entry_sent_twice_counts_once():
    at = made.yard()
    made.receive(at, packs=40)

    first, second = sent(at, packs=10), sent(at, packs=10)

    assert first == second
    assert made.balance("slab", of=at.cement)[0] == 10 * BAG


def test_first_try_that_went_through_after_all_is_found_again():
    """The phone's first send was answered by nobody, so it keeps the slip and sends it as written offline."""
    at = made.yard()
    made.receive(at, packs=40)
    act = replace(made.issue_act(at, packs=10), happened_at=MORNING)
    slip = usage.issue(actor=at.cast.bob, act=act, key="phone-1", now=NOW)

    entry = sent(at, packs=10)

    assert entry.slip == slip
    assert made.balance("slab", of=at.cement)[0] == 10 * BAG


def test_other_slip_under_a_used_key_is_refused():
    at = made.yard()
    made.receive(at, packs=40)
    sent(at, packs=10)

    with pytest.raises(KeyReused):
        sent(at, packs=11)


def test_act_without_its_time_is_refused():
    at = made.yard()

    with pytest.raises(offline.TimeMissing):
        sent(at, packs=1, happened_at=None)


@pytest.mark.parametrize("days", [1, -1])
def test_entry_of_a_phone_whose_clock_is_a_day_off_is_held_until_the_office_says_when(days):
    at = made.yard()
    made.receive(at, packs=40)
    off = timedelta(days=days)

    entry = sent(at, packs=10, happened_at=MORNING + off, sent_at=NOW + off)

    assert (entry.state, entry.code) == ("held", "clock_off")
    assert entry.shortfall["minutes_ahead"] == days * 24 * 60
    posted = post(at, entry, happened_at=MORNING, reason="the phone was a day off")
    assert posted.slip.happened_at == MORNING
    assert posted.happened_at == MORNING + off


@pytest.mark.parametrize(
    ("happened_at", "code"),
    [(NOW + timedelta(hours=1), "in_future"), (NOW - timedelta(days=40), "long_ago")],
)
def test_time_that_cannot_be_right_is_held_and_not_silently_kept(happened_at, code):
    at = made.yard()
    made.receive(at, packs=40)

    entry = sent(at, packs=10, happened_at=happened_at, sent_at=None)

    assert (entry.state, entry.code) == ("held", code)


def test_return_and_waste_are_held_too():
    at = made.yard()
    bag = goods.slip_line(at.cement, packs=3)
    back = usage.ReturnAct(pour_id=at.pour.pk, happened_at=MORNING, lines=(bag,))
    lost = usage.WasteAct(
        site_id=at.cast.site.pk, pour_id=None, reason="wet", happened_at=MORNING, lines=(bag,)
    )

    for n, slip in enumerate((back, lost)):
        entry = offline.record(actor=at.cast.bob, act=OfflineAct(written=slip), key=f"p{n}{SUFFIX}", now=NOW)
        assert (entry.kind, entry.state) == (("return", "waste")[n], "held")
    made.receive(at, packs=5)
    assert post(at, entry).slip.kind == "waste"
