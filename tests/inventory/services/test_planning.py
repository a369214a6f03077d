"""The plan on days worked out by hand: NOW is Monday 4 May 2026, Sunday is off, one safety day."""

from dataclasses import replace
from datetime import date

import pytest

from inventory.models import PlanRun, PurchaseOrder, Suggestion
from inventory.services import orders, planning, suggestions
from inventory.services.planning import PlanAct
from inventory.services.suggestions import ApproveAct, Choice, RejectAct
from projects.access import actor as actors
from projects.errors import NotAllowed, NotFound
from projects.models import Pour
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = make.BAG_G


def _setting(*, limit=0, shelf_days=None):
    people = cast(approval_limit_minor=limit)
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


def test_a_rejected_suggestion_stays_away_until_its_inputs_change():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    need = make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    _plan(people)
    act = RejectAct(suggestion_id=_open()[0].pk, reason="the client brings it")
    rejected = suggestions.reject(actor=people.alice, act=act, key="r1", now=NOW)
    assert (rejected.state, rejected.decision_reason) == ("rejected", "the client brings it")
    _plan(people, key="p2", now=make.later(1))
    assert _open() == []
    need.quantity = 12 * BAG
    need.save()
    _plan(people, key="p3", now=make.later(1))
    assert [row.packs for row in _open()] == [12]


def _suggested(people, bags, *, packs=(10,)):
    for n, count in enumerate(packs, start=1):
        pour = make.pour(people.site, slab=f"Slab {n}", on=date(2026, 5, 14 + n))
        make.need(pour, of=bags, quantity=count * BAG, on=date(2026, 5, 14 + n))
    _plan(people)
    return _open()


def _approve(people, choices, *, actor=None, key="a1"):
    act = ApproveAct(choices=tuple(choices))
    return suggestions.approve(actor=actor or people.alice, act=act, key=key, now=NOW)


def test_approving_makes_one_order_of_several_suggestions_and_the_plan_is_content():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    rows = _suggested(people, bags, packs=(10, 20))
    order = _approve(people, [Choice(row.pk) for row in rows])
    assert (order.state, order.total_minor, order.self_approved) == ("approved", 12_000, True)
    assert list(order.lines.values_list("packs", "pour_id")) == [
        (10, rows[0].pour_id),
        (20, rows[1].pour_id),
    ]
    # There by the 14th for the first need on the 15th: one safety day.
    assert order.expected_date == date(2026, 5, 14)
    assert set(Suggestion.objects.values_list("state", "order_id")) == {("ordered", order.pk)}
    assert _plan(people, key="p2").suggested == 0


def test_approving_sent_twice_orders_once():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    assert _approve(people, [Choice(row.pk)]).pk == _approve(people, [Choice(row.pk)]).pk
    assert PurchaseOrder.objects.count() == 1


def test_approving_what_was_decided_is_stale():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    _approve(people, [Choice(row.pk)])
    with pytest.raises(suggestions.Decided) as refused:
        _approve(people, [Choice(row.pk)], key="a2")
    assert refused.value.params == {"state": "ordered"}


def test_fewer_packs_leave_the_rest_to_the_next_plan():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    _approve(people, [Choice(row.pk, packs=6)])
    _plan(people, key="p2")
    assert [row.packs for row in _open()] == [4]


def test_another_supplier_sells_in_packs_of_its_own():
    # 10 bags of 50 kg are 500 kg: 13 bags of 40 kg.
    people, bags, by = _setting()
    make.offer(by, of=bags)
    other = make.supplier(people.firm.pk, name="Quarry End")
    small = make.pack(bags.material, name="bag of 40 kg", content=40_000)
    make.offer(other, of=replace(bags, pack=small), pack_price=3_600_000)
    [row] = _suggested(people, bags)
    order = _approve(people, [Choice(row.pk, supplier_id=other.pk)])
    assert list(order.lines.values_list("packs", "pack_price")) == [(13, 3_600_000)]


def test_a_late_order_for_a_pour_is_not_suggested_again():
    # Five working days from Monday 4 May is Saturday 9 May, after the need of the 7th.
    people, bags, by = _setting()
    make.offer(by, of=bags, lead_days=5)
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 7))
    _plan(people)
    order = _approve(people, [Choice(_open()[0].pk)])
    assert order.expected_date == date(2026, 5, 9)
    assert _plan(people, key="p2").suggested == 0


def test_above_the_limit_the_order_waits_as_a_draft_and_is_not_suggested_again():
    people, bags, by = _setting(limit=3_999)
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    order = _approve(people, [Choice(row.pk)])
    assert (order.state, order.total_minor) == ("draft", 4_000)
    assert _plan(people, key="p2").suggested == 0
    orders.cancel(
        actor=people.alice, act=orders.StepAct(order_id=order.pk, reason="too dear"), key="c", now=NOW
    )
    assert _plan(people, key="p3").suggested == 1


@pytest.mark.parametrize(
    ("choice", "code"),
    [({"packs": 0}, "too_few_packs"), ({"packs": 4}, "too_few_packs"), ({"supplier_id": 0}, "no_offer")],
)
def test_approving_refuses_too_few_packs_and_a_supplier_without_an_offer(choice, code):
    people, bags, by = _setting()
    make.offer(by, of=bags, minimum_packs=5)
    [row] = _suggested(people, bags)
    if "supplier_id" in choice:
        choice = {"supplier_id": make.supplier(people.firm.pk, name="Quarry End").pk}
    with pytest.raises(suggestions.Refused) as refused:
        _approve(people, [Choice(row.pk, **choice)])
    assert (refused.value.code, PurchaseOrder.objects.count()) == (code, 0)


def test_approving_refuses_two_sites_in_one_order_and_none_at_all():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    for site in (people.site, people.other_site):
        make.need(make.pour(site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    _plan(people)
    with pytest.raises(suggestions.Mixed):
        _approve(people, [Choice(row.pk) for row in _open()])
    with pytest.raises(suggestions.NothingChosen):
        _approve(people, [])


def test_decisions_are_for_the_office_of_the_firm():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    for actor, refusal in ((people.bob, NotAllowed), (people.olga, NotAllowed), (people.charlie, NotFound)):
        with pytest.raises(refusal):
            _approve(people, [Choice(row.pk)], actor=actor)
        with pytest.raises(refusal):
            suggestions.reject(actor=actor, act=RejectAct(row.pk, "no"), key="r1", now=NOW)


def test_rejecting_asks_for_the_reason():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    with pytest.raises(suggestions.ReasonMissing):
        suggestions.reject(actor=people.alice, act=RejectAct(row.pk, " "), key="r1", now=NOW)
