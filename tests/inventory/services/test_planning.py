"""The plan on days worked out by hand: NOW is Monday 4 May 2026, Sunday is off, one safety day."""

from datetime import date

import pytest

from inventory.models import PlanRun, Suggestion
from inventory.services import planning
from inventory.services.planning import PlanAct
from projects.access import actor as actors
from projects.errors import NotAllowed
from projects.models import Pour
from projects.services import pours
from tests.factories import inventory_orders as make
from tests.factories import inventory_stock as stock
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = make.BAG_G


def _setting(*, shelf_days=None):
    people = cast()
    bags = make.cement(people.firm.pk, shelf_days=shelf_days)
    by = make.supplier(people.firm.pk)
    return people, bags, by


def _plan(people, *, key="p1", now=NOW):
    return planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=PlanAct(), key=key, now=now)


def _open():
    return list(Suggestion.objects.filter(state="open").order_by("need_date", "id"))


def test_a_need_less_stock_and_open_orders_is_suggested_in_whole_packs():
    # Needed 160.4 bags on Friday 15 May; 40 in store, 30 on order: 90.4 lack, so 91 bags.
    # One safety day: there by Thursday 14; two working days of lead: order by Tuesday 12 May.
    people, bags, by = _setting()
    make.offer(by, of=bags, pack_price=4_000_000, lead_days=2)
    pour = make.pour(people.site, on=date(2026, 5, 16))
    make.need(pour, of=bags, quantity=160 * BAG + 20_000, on=date(2026, 5, 15))
    make.in_store(people.alice, site=people.site, of=bags, packs=40, value_minor=16_000)
    make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=30),)))
    run = _plan(people)
    [row] = _open()
    assert (run.items, run.suggested) == (1, 1)
    assert (row.packs, row.quantity, row.supplier, row.amount_minor) == (91, 91 * BAG, by, 36_400)
    assert (row.need_date, row.order_by_date, row.late_days) == (date(2026, 5, 15), date(2026, 5, 12), 0)
    figures = {k: row.reason[k] for k in ("need", "usable_stock", "open_orders", "net", "packs", "surplus")}
    assert figures == {
        "need": 8_020_000,
        "usable_stock": 2_000_000,
        "open_orders": 1_500_000,
        "net": 4_520_000,
        "packs": 91,
        "surplus": 30_000,
    }


def test_the_table_of_days_shows_the_stock_line_with_what_is_suggested():
    # 40 bags lie there on the 4th, 30 come on the 8th, 91 are suggested for the 15th, when 160.4 go.
    people, bags, by = _setting()
    make.offer(by, of=bags)
    pour = make.pour(people.site, on=date(2026, 5, 16))
    make.need(pour, of=bags, quantity=160 * BAG + 20_000, on=date(2026, 5, 15))
    make.in_store(people.alice, site=people.site, of=bags, packs=40, value_minor=16_000)
    make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=30),)))
    _plan(people)
    days = _open()[0].reason["days"]
    shown = [(d["day"], d["opening"], d["received"], d["planned"], d["gross"], d["closing"]) for d in days]
    assert shown == [
        ("2026-05-04", 40 * BAG, 0, 0, 0, 40 * BAG),
        ("2026-05-08", 40 * BAG, 30 * BAG, 0, 0, 70 * BAG),
        ("2026-05-15", 70 * BAG, 0, 91 * BAG, 8_020_000, 30_000),
    ]


def test_the_same_inputs_give_the_same_run_and_no_doubles():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    first = _plan(people, key="p1")
    ids = [row.pk for row in _open()]
    second = _plan(people, key="p2")
    assert (first.pk, PlanRun.objects.count()) == (second.pk, 1)
    assert [row.pk for row in _open()] == ids
    assert Suggestion.objects.count() == 1


def test_a_job_done_twice_under_its_key_plans_once():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    assert _plan(people).pk == _plan(people).pk
    assert Suggestion.objects.count() == 1


def test_the_next_day_keeps_what_still_holds():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    _plan(people)
    before = _open()
    run = _plan(people, key="p2", now=make.later(1))
    after = _open()
    assert [row.pk for row in after] == [row.pk for row in before]
    assert (after[0].run_id, PlanRun.objects.count()) == (run.pk, 2)


def test_a_changed_need_replaces_the_suggestion():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    need = make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    _plan(people)
    need.quantity = 120 * BAG
    need.save()
    _plan(people, key="p2")
    rows = Suggestion.objects.order_by("id").values_list("packs", "state")
    assert list(rows) == [(100, "replaced"), (120, "open")]


def test_things_as_they_were_before_bring_the_earlier_plan_back():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    need = make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    first = _plan(people)
    for key, packs in (("p2", 120), ("p3", 100)):
        need.quantity = packs * BAG
        need.save()
        last = _plan(people, key=key, now=NOW.replace(hour=9 + int(key[1])))
    assert last.pk == first.pk
    assert [row.packs for row in _open()] == [100]


def test_what_the_pour_was_issued_already_is_not_bought_again():
    # 100 bags needed; 60 issued from the store of 60, 10 brought back: 50 used, 10 in store, so 40 lack.
    people, bags, by = _setting()
    make.offer(by, of=bags)
    pour = make.pour(people.site)
    make.need(pour, of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    make.in_store(people.alice, site=people.site, of=bags, packs=60, value_minor=24_000)
    make.issue(people.bob, to=pour, of=bags, packs=60)
    make.bring_back(people.bob, to=pour, of=bags, packs=10)
    _plan(people)
    [row] = _open()
    assert (row.packs, row.reason["required"], row.reason["issued"]) == (40, 100 * BAG, 50 * BAG)


def test_a_pour_that_has_all_it_needs_asks_for_nothing():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    pour = make.pour(people.site)
    make.need(pour, of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    make.in_store(people.alice, site=people.site, of=bags, packs=12, value_minor=4_800)
    make.issue(people.bob, to=pour, of=bags, packs=12)
    assert _plan(people).suggested == 0


def test_a_poured_slab_asks_for_nothing():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    pour = make.pour(people.site)
    make.need(pour, of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    Pour.objects.update(state="poured", poured_at=NOW)
    assert _plan(people).suggested == 0


def test_cement_over_age_on_the_day_of_need_does_not_count():
    # Made on 1 March, 90 days: usable until 30 May. Needed on 2 June, so the 40 bags in store are too old.
    people, bags, by = _setting(shelf_days=90)
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 6, 2))
    made = date(2026, 3, 1)
    make.in_store(people.alice, site=people.site, of=bags, packs=40, value_minor=16_000, made=made)
    _plan(people)
    [row] = _open()
    assert (row.packs, row.reason["usable_stock"]) == (100, 0)


def test_a_need_that_cannot_be_met_in_time_says_by_how_many_days():
    # Needed on Thursday 7 May, there by Wednesday 6; five working days before that is Thursday 30 April.
    # Monday 4 May is 4 days too late.
    people, bags, by = _setting()
    make.offer(by, of=bags, lead_days=5)
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 7))
    _plan(people)
    [row] = _open()
    assert (row.order_by_date, row.late_days, row.reason["in_time"]) == (date(2026, 4, 30), 4, False)


def test_the_cheapest_offer_that_comes_in_time_is_chosen():
    # By 7 May only the near depot comes; by 22 May the far one does too, and it is cheaper.
    people, bags, near = _setting()
    far = make.supplier(people.firm.pk, name="Far Kiln Sales")
    make.offer(near, of=bags, pack_price=4_200_000, lead_days=1)
    make.offer(far, of=bags, pack_price=4_000_000, lead_days=6)
    for n, day in enumerate((7, 22), start=1):
        pour = make.pour(people.site, slab=f"Slab {n}", on=date(2026, 5, day))
        make.need(pour, of=bags, quantity=10 * BAG, on=date(2026, 5, day))
    _plan(people)
    assert [(row.supplier, row.packs) for row in _open()] == [(near, 10), (far, 10)]


def test_the_latest_price_of_a_supplier_counts_and_an_ended_one_does_not():
    people, bags, by = _setting()
    ended = make.supplier(people.firm.pk, name="Old Quarry")
    ended.ended_date = date(2026, 5, 1)
    ended.save()
    make.offer(ended, of=bags, pack_price=1)
    make.offer(by, of=bags, pack_price=4_000_000, from_date=date(2026, 1, 1))
    make.offer(by, of=bags, pack_price=4_100_000, from_date=date(2026, 5, 1))
    make.offer(by, of=bags, pack_price=3_000_000, from_date=date(2026, 6, 1))
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    _plan(people)
    [row] = _open()
    assert (row.supplier, row.pack_price) == (by, 4_100_000)


def test_without_an_offer_the_need_is_shown_without_a_supplier():
    people, bags, _by = _setting()
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG + 1, on=date(2026, 5, 15))
    _plan(people)
    [row] = _open()
    assert (row.supplier, row.packs, row.pack_price, row.amount_minor) == (None, 11, None, None)


def test_two_firms_do_not_see_each_others_needs_stock_or_offers():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    theirs = make.cement(people.other_firm.pk)
    make.offer(make.supplier(people.other_firm.pk, name="Ferry Cement"), of=theirs, pack_price=1)
    make.need(make.pour(people.charlie_site), of=theirs, quantity=99 * BAG, on=date(2026, 5, 15))
    make.in_store(people.charlie, site=people.charlie_site, of=theirs, packs=50, value_minor=1)
    assert (_plan(people).items, [row.packs for row in _open()]) == (1, [10])


def test_only_the_office_makes_a_plan():
    people, _bags, _by = _setting()
    for actor in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            planning.make_plan(actor=actor, act=PlanAct(), key="p1", now=NOW)


M3 = 1_000_000


def _heap_setting(*, loads):
    """Two slabs that take 10 m³ of sand each, the first placed now and still open; loads are of 5 m³."""
    people = cast()
    sand = make.sand(people.firm.pk)
    make.offer(make.supplier(people.firm.pk), of=sand)
    line = make.Priced(material=sand.material, net=10 * M3, allowance=0, rate=0, amount_minor=0)
    cast_now = make.pour(people.site, slab="Floor", on=date(2026, 5, 4))
    make.bill(cast_now.slab, [line])
    make.need(make.pour(people.site), of=sand, quantity=10 * M3, on=date(2026, 5, 19))
    make.in_store(people.alice, site=people.site, of=sand, packs=loads, value_minor=1_000)
    act = pours.PouredAct(pour_id=cast_now.pk, poured_at=NOW)
    pours.mark_poured(actor=people.bob, act=act, key="poured", now=NOW)
    return people, sand, cast_now


def test_a_heap_that_a_placed_pour_was_made_from_serves_no_other_pour():
    # The book still holds 15 m³; 10 are in the slab, so 5 are there for the next pour's 10: one load of 5.
    people, _sand, _pour = _heap_setting(loads=3)
    _plan(people)
    [row] = _open()
    assert (row.packs, row.reason["usable_stock"], row.reason["in_slabs"]) == (1, 5 * M3, 10 * M3)


def test_a_heap_counted_after_the_pour_is_there_as_counted():
    # Counted after the pour, 8 m³ are left of 15: 2 lack, one load.
    people, sand, _pour = _heap_setting(loads=3)
    later = make.later(1)
    stock.counts.record(
        actor=people.bob,
        act=stock.count_act(people.site, (sand, "1.6"), happened_at=later),
        key="c1",
        now=later,
    )
    _plan(people, now=later)
    [row] = _open()
    assert (row.packs, row.reason["usable_stock"], row.reason["in_slabs"]) == (1, 8 * M3, 0)


def test_what_a_pour_lost_beyond_its_allowance_is_bought_again():
    # 100 bags and 4 of allowance, all issued; 10 are lost, 6 more than allowed: 6 to buy.
    people, bags, by = _setting()
    make.offer(by, of=bags)
    pour = make.pour(people.site)
    line = make.Priced(material=bags.material, net=100 * BAG, allowance=4 * BAG, rate=0, amount_minor=0)
    made = make.bill(pour.slab, [line])
    make.requirement(pour, line=made.lines.get(), quantity=104 * BAG, on=date(2026, 5, 19))
    make.in_store(people.alice, site=people.site, of=bags, packs=104, value_minor=41_600)
    make.issue(people.bob, to=pour, of=bags, packs=104)
    make.waste(people.bob, site=people.site, of=bags, packs=4, pour=pour)
    _plan(people)
    assert _open() == []
    make.waste(people.bob, site=people.site, of=bags, packs=6, pour=pour)
    _plan(people, key="p2")
    [row] = _open()
    assert (row.packs, row.reason["issued"], row.reason["replaced"]) == (6, 104 * BAG, 6 * BAG)
