from dataclasses import replace
from datetime import date, timedelta

import pytest

from inventory.models import Lot, LotTest, Place
from inventory.queries import plan_stock, slab_sources, stock
from inventory.services import lot_tests, lots, posting
from inventory.services.lot_tests import TestAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
OLD = date(2026, 1, 5)
"""119 days before the day of the tests: over the 90 days of the factories' cement."""


@pytest.fixture
def at():
    made_ = made.yard(shelf_days=90)
    made.receive(made_, packs=10, made_date=OLD)
    return made_


def passed(at, **more):
    act = TestAct(
        lot_id=Lot.objects.get().pk,
        tested_date=TODAY,
        passed=True,
        tested_by="County laboratory",
        result="7 days: 41 N/mm²",
        usable_until=TODAY + timedelta(days=30),
    )
    return replace(act, **more)


def record(at, act, *, by=None, now=NOW):
    return lot_tests.record(actor=by or at.cast.bob, act=act, key=made.key(), now=now)


def planned(at):
    """What the plan counts on, and until when."""
    heaps = plan_stock.lots(at.cast.alice, kinds=Place.YARD)[at.cast.site.pk, at.cement.material.pk]
    return [(lot.quantity, lot.usable_until) for lot in heaps]


def test_old_lot_is_blocked_until_a_test_passes_it(at):
    with pytest.raises(posting.NotEnoughStock):
        made.issue(at, packs=1)
    with pytest.raises(lots.OverAge):
        made.issue(at, packs=1, lot_id=Lot.objects.get().pk, reason="it looks well")

    record(at, passed(at))

    made.issue(at, packs=1)
    row = stock.on_hand(at.cast.bob, site_id=at.cast.site.pk, today=TODAY).rows[0]
    assert (row.usable, row.lots[0].blocked, row.lots[0].usable_until) == (9 * BAG, False, date(2026, 6, 3))
    assert planned(at) == [(9 * BAG, date(2026, 6, 3))]


def test_lot_that_fails_its_test_is_blocked_whatever_its_age(at):
    Lot.objects.update(made_date=date(2026, 4, 20))
    assert planned(at) == [(10 * BAG, date(2026, 7, 19))]

    record(at, passed(at, passed=False, usable_until=None, result="lumps, 3 days: 9 N/mm²"))

    with pytest.raises(posting.NotEnoughStock):
        made.issue(at, packs=1)
    row = stock.on_hand(at.cast.bob, site_id=at.cast.site.pk, today=TODAY).rows[0]
    assert (row.usable, row.lots[0].words) == (0, "blocked: failed its test")
    assert planned(at) == [(10 * BAG, TODAY - timedelta(days=1))]
    heaps = slab_sources.heaps(at.cast.alice, site_ids={at.cast.site.pk}, pools={})
    assert [heap.usable_until for heap in heaps[at.cast.site.pk, at.cement.material.pk]] == [
        TODAY - timedelta(days=1)
    ]


def test_latest_test_counts_and_the_earlier_ones_stay(at):
    record(at, passed(at))
    record(at, passed(at, passed=False, usable_until=None), now=NOW + timedelta(hours=1))
    # An older report that comes in later changes nothing.
    record(at, passed(at, tested_date=TODAY - timedelta(days=9)), now=NOW + timedelta(hours=2))

    lot = Lot.objects.get()
    assert (lot.tested_until, lot.failed_date) == (None, TODAY)
    assert LotTest.objects.count() == 3


def test_lot_is_pointed_out_at_its_set_age(at):
    Lot.objects.update(made_date=TODAY - timedelta(days=61))
    words = [
        row.words for row in stock.on_hand(at.cast.bob, site_id=at.cast.site.pk, today=TODAY).rows[0].lots
    ]
    assert words == [""]

    at.cement.material.__class__.objects.update(warn_days=60)

    row = stock.on_hand(at.cast.bob, site_id=at.cast.site.pk, today=TODAY).rows[0]
    assert (row.lots[0].words, row.usable) == ("use before it is over age", 10 * BAG)
    # ISO week of 4 March 2026.
    assert row.lots[0].week == "week 10 of 2026"


REFUSED = [
    ({"tested_by": " "}, "tested_by"),
    ({"result": ""}, "result"),
    ({"tested_date": TODAY + timedelta(days=1), "usable_until": TODAY + timedelta(days=2)}, "tested_date"),
    ({"tested_date": OLD - timedelta(days=1)}, "tested_date"),
    ({"usable_until": None}, "usable_until"),
    ({"usable_until": TODAY - timedelta(days=1)}, "usable_until"),
    ({"usable_until": TODAY + timedelta(days=366)}, "usable_until"),
    ({"passed": False}, "usable_until"),
]


@pytest.mark.parametrize(("change", "field"), REFUSED)
def test_test_that_cannot_be_is_refused_at_its_field(at, change, field):
    with pytest.raises(lot_tests.BadTest) as fault:
        record(at, passed(at, **change))

    assert fault.value.field == field
    assert not LotTest.objects.exists()


def test_only_who_receives_in_the_firm_records_tests(at):
    for who, refused in ((at.cast.olga, NotAllowed), (at.cast.charlie, NotFound)):
        with pytest.raises(refused):
            record(at, passed(at), by=who)


def test_lot_that_failed_is_refused_as_failed_and_says_what_to_do(at):
    act = replace(passed(at), passed=False, usable_until=None)
    record(at, act)

    with pytest.raises(lots.FailedTest) as refused:
        made.issue(at, packs=1, lot_id=Lot.objects.get().pk, reason="it looks well")

    assert refused.value.code == "failed_test"
    assert "failed its test of 2026-05-04" in refused.value.message
    assert "send this one back or record it as waste" in refused.value.message
    assert "over age" not in refused.value.message
