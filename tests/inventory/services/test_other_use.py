"""Other works of a site: issued to, paid for by the site, forecast from the ledger and planned for."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.models import OtherUse, PurchaseOrder, StockSlip, Suggestion
from inventory.queries import other_use as uses
from inventory.queries import spend
from inventory.services import other_use, planning, posting, usage
from inventory.services.measures import BadQuantity
from inventory.services.other_use import UseAct
from inventory.services.usage import OtherWorkAct, ReasonMissing, ReverseAct
from projects.access import actor as actors
from projects.errors import NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
WEEK = timedelta(days=7)


def act(at, *, packs, works="plaster, ground floor", **more):
    line = made.issue_act(at, packs=packs).lines[0]
    facts = {"site_id": at.cast.site.pk, "happened_at": None, "lines": (line,)} | more
    return OtherWorkAct(works=works, **facts)


def issue(at, *, packs, now=NOW, by=None, key=None, **more):
    return usage.issue_elsewhere(
        actor=by or at.cast.bob, act=act(at, packs=packs, **more), key=key or made.key(), now=now
    )


def used(at, *, today=TODAY):
    [found] = uses.of_site(at.cast.alice, site_id=at.cast.site.pk, today=today)
    return found


def test_what_other_works_take_is_cost_of_the_site_and_of_no_slab():
    at = made.yard()
    made.receive(at, packs=100)
    made.issue(at, packs=30)
    slip = issue(at, packs=5, given_to="Dora")
    assert (slip.kind, slip.reason, slip.given_to, slip.pour) == (
        "other",
        "plaster, ground floor",
        "Dora",
        None,
    )
    assert made.balance("other_work", of=at.cement) == (5 * BAG, 5 * 40_000)
    made.assert_sound()
    found = spend.of_firm(at.cast.olga, today=TODAY)
    where = found.whereabouts
    # 100 bags at 400.00: 30 in the slab, 5 in other works, 65 in the store.
    assert (where.bought, where.on_slabs, where.other_works) == (4_000_000, 1_200_000, 200_000)
    assert (where.in_stores, where.lost_otherwise) == (2_600_000, 0)
    [site] = found.by_site
    assert (site.amounts.used, site.other_works) == (1_200_000, 200_000)


def test_taken_back_it_is_in_the_store_again_and_nobody_used_it():
    at = made.yard()
    made.receive(at, packs=100)
    slip = issue(at, packs=5, now=NOW - WEEK)
    back = ReverseAct(slip_id=slip.pk, reason="was for the slab")
    usage.reverse(actor=at.cast.bob, act=back, key=made.key(), now=NOW)
    assert made.balance("store", of=at.cement) == (100 * BAG, 100 * 40_000)
    made.assert_sound()
    assert uses.of_site(at.cast.alice, site_id=at.cast.site.pk, today=TODAY) == []


def test_an_issue_to_other_works_is_refused_without_works_stock_or_right():
    at = made.yard()
    made.receive(at, packs=4)
    with pytest.raises(ReasonMissing) as refused:
        issue(at, packs=1, works="  ")
    assert refused.value.field == "works"
    with pytest.raises(posting.NotEnoughStock):
        issue(at, packs=5)
    with pytest.raises(NotFound):
        issue(at, packs=1, by=at.cast.charlie)
    with pytest.raises(NotAllowed):
        issue(at, packs=1, by=at.cast.olga)
    assert StockSlip.objects.filter(kind="other").count() == 0


def test_the_same_key_issues_once():
    at = made.yard()
    made.receive(at, packs=10)
    assert issue(at, packs=2, key="k").pk == issue(at, packs=2, key="k").pk
    assert made.balance("other_work", of=at.cement)[0] == 2 * BAG


def test_cement_over_age_is_not_issued_to_other_works_either():
    at = made.yard(shelf_days=90)
    made.receive(at, packs=10, made_date=TODAY - timedelta(days=120))
    with pytest.raises(posting.NotEnoughStock):
        issue(at, packs=1)


def test_the_mean_of_the_weeks_on_record_is_what_the_plan_takes():
    at = made.yard(shelf_days=None)
    then = NOW - 4 * WEEK - timedelta(days=1)
    _received(at, packs=100, now=then)
    issue(at, packs=7, now=NOW - 3 * WEEK)
    issue(at, packs=5, now=NOW - 3 * WEEK + timedelta(days=1))
    issue(at, packs=8, now=NOW - 2 * WEEK)
    # Whole weeks before Monday 4 May: from 6, 13, 20 and 27 April; the issues are of 13, 14 and 20 April.
    assert used(at).weeks == (0, 12 * BAG, 8 * BAG, 0)
    assert (used(at).found, used(at).a_week) == (5 * BAG, 5 * BAG)
    # What is issued today is of no whole week yet, and what a pour takes is no other work.
    issue(at, packs=1)
    made.issue(at, packs=10)
    assert used(at).a_week == 5 * BAG


def _received(at, *, packs, now):
    line = made.receipt_line(at.cement, packs=packs)
    receipt = made.receipt_act(at, line, happened_at=now)
    return made.deliveries.record(actor=at.cast.bob, act=receipt, key=made.key(), now=now)


def _plan(at, *, key):
    planning.make_plan(actor=actors.for_jobs(at.cast.firm.pk), act=planning.PlanAct(), key=key, now=NOW)
    return list(Suggestion.objects.filter(state="open").order_by("need_date", "id"))


def test_the_plan_buys_for_other_works_beside_the_pours_until_it_is_told_otherwise():
    # 40 bags lie there; the pours of 14 and 21 days from now take 100 and 50; other works 5 a week.
    at = made.yard(shelf_days=None)
    _received(at, packs=60, now=NOW - 4 * WEEK - timedelta(days=1))
    issue(at, packs=12, now=NOW - 3 * WEEK)
    issue(at, packs=8, now=NOW - 2 * WEEK)
    for days, packs, slab in ((14, 100, "Roof A"), (21, 50, "Roof B")):
        pour = goods.pour(at.cast.site, slab=slab, on=TODAY + timedelta(days=days + 1))
        goods.need(pour, of=at.cement, quantity=packs * BAG, on=TODAY + timedelta(days=days))
    first, second = _plan(at, key="p1")
    assert (first.packs, first.reason["background"], first.reason["background_week"]) == (
        70,
        10 * BAG,
        5 * BAG,
    )
    assert (second.packs, second.reason["background"]) == (55, 5 * BAG)
    assert [(day["gross"], day["background"]) for day in first.reason["days"] if day["gross"]] == [
        (100 * BAG, 10 * BAG),
        (50 * BAG, 5 * BAG),
    ]
    tell = _set(at, 350)  # 350 kg are seven bags
    other_use.set_use(actor=at.cast.alice, act=tell, key="s1", now=NOW)
    assert [row.packs for row in _plan(at, key="p2")] == [74, 57]
    other_use.set_use(actor=at.cast.alice, act=replace(tell, a_week=Decimal(0)), key="s2", now=NOW)
    assert [row.packs for row in _plan(at, key="p3")] == [60, 50]
    other_use.set_use(actor=at.cast.alice, act=replace(tell, a_week=None), key="s3", now=NOW)
    assert [row.packs for row in _plan(at, key="p4")] == [70, 55]
    assert PurchaseOrder.objects.count() == 0


def _set(at, a_week):
    return UseAct(site_id=at.cast.site.pk, material_id=at.cement.material.pk, a_week=Decimal(a_week))


def test_a_figure_is_set_once_by_the_office_and_asks_for_a_plan():
    at = made.yard()
    for _time in range(2):
        other_use.set_use(actor=at.cast.alice, act=_set(at, 100), key="s", now=NOW)
    [row] = OtherUse.objects.all()
    assert (row.a_week, row.set_by_id) == (100_000, at.cast.alice.person_id)
    assert Outbox.objects.filter(job="inventory.plan").exists()
    with pytest.raises(NotAllowed):
        other_use.set_use(actor=at.cast.bob, act=_set(at, 100), key="b", now=NOW)
    with pytest.raises(NotFound):
        other_use.set_use(actor=at.cast.charlie, act=_set(at, 100), key="c", now=NOW)
    with pytest.raises(BadQuantity):
        other_use.set_use(actor=at.cast.alice, act=_set(at, -1), key="n", now=NOW)
