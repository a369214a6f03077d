"""What is decided on the plan, on the days of test_planning: NOW is Monday 4 May 2026, Sunday is off."""

from dataclasses import replace
from datetime import date

import pytest

from inventory.models import PurchaseOrder, Suggestion
from inventory.queries import plan
from inventory.services import orders, planning, suggestions
from inventory.services.planning import PlanAct
from inventory.services.suggestions import ApproveAct, Choice, PostponeAct, RejectAct
from projects.access import actor as actors
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = make.BAG_G


def _setting(*, limit=0):
    people = cast(approval_limit_minor=limit)
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    return people, bags, by


def _plan(people, *, key="p1", now=NOW):
    return planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=PlanAct(), key=key, now=now)


def _open():
    return list(Suggestion.objects.filter(state="open").order_by("need_date", "id"))


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


def test_a_suggestion_that_is_put_off_comes_back_on_its_day_or_when_its_terms_change():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    need = make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    _plan(people)
    act = PostponeAct(suggestion_id=_open()[0].pk, until=date(2026, 5, 6), reason="a lorry may share")
    suggestions.postpone(actor=people.alice, act=act, key="l1", now=NOW)
    _plan(people, key="p2", now=make.later(1))

    assert _decidable(people, on=date(2026, 5, 5)) == []
    assert _decidable(people, on=date(2026, 5, 6)) == [10]
    need.quantity = 12 * BAG
    need.save()
    _plan(people, key="p3", now=make.later(1))
    assert _decidable(people, on=date(2026, 5, 5)) == [12]


def _decidable(people, *, on):
    return [row.suggestion.packs for row in plan.current(people.alice, today=on).rows]


@pytest.mark.parametrize("until", [date(2026, 5, 4), date(2026, 5, 16)])
def test_a_suggestion_is_not_put_off_to_today_or_beyond_its_need(until):
    people, bags, by = _setting()
    make.offer(by, of=bags)
    make.need(make.pour(people.site), of=bags, quantity=10 * BAG, on=date(2026, 5, 15))
    _plan(people)
    act = PostponeAct(suggestion_id=_open()[0].pk, until=until, reason="later")

    with pytest.raises(suggestions.DayRefused, match="2026-05-15"):
        suggestions.postpone(actor=people.alice, act=act, key="l1", now=NOW)

    assert _open()[0].postponed_until is None


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


def test_a_suggestion_chosen_twice_is_refused():
    people, bags, by = _setting()
    make.offer(by, of=bags)
    [row] = _suggested(people, bags)
    with pytest.raises(suggestions.NothingChosen):
        _approve(people, [Choice(row.pk), Choice(row.pk, packs=3)])


def _two_of_one_day(people, bags, *, packs):
    for name, count in zip("AB", packs, strict=True):
        make.need(make.pour(people.site, slab=name), of=bags, quantity=count * BAG, on=date(2026, 5, 15))
    _plan(people)
    return _open()


def test_the_least_order_is_bought_once_for_the_pours_of_a_day():
    # 3 bags each for two pours of one day, at least 10 in an order: 10 in all, not 10 each.
    people, bags, by = _setting()
    make.offer(by, of=bags, minimum_packs=10)
    rows = _two_of_one_day(people, bags, packs=(3, 3))
    assert [row.packs for row in rows] == [3, 7]
    act = ApproveAct(choices=tuple(Choice(suggestion_id=row.pk) for row in rows))
    order = suggestions.approve(actor=people.alice, act=act, key="a1", now=NOW)
    assert list(order.lines.values_list("packs", flat=True)) == [3, 7]
    # Nothing more is wanted: 10 bags come, 6 are needed.
    _plan(people, key="p2")
    assert _open() == []


def test_one_of_them_ordered_alone_still_fills_the_least_order():
    people, bags, by = _setting()
    make.offer(by, of=bags, minimum_packs=10)
    first, _second = _two_of_one_day(people, bags, packs=(3, 3))
    act = ApproveAct(choices=(Choice(suggestion_id=first.pk),))
    order = suggestions.approve(actor=people.alice, act=act, key="a1", now=NOW)
    assert order.lines.get().packs == 10


def test_typed_packs_count_together_against_the_least_order():
    people, bags, by = _setting()
    make.offer(by, of=bags, minimum_packs=10)
    first, second = _two_of_one_day(people, bags, packs=(3, 3))
    few = ApproveAct(choices=(Choice(suggestion_id=first.pk, packs=4), Choice(second.pk, packs=5)))
    with pytest.raises(suggestions.TooFew):
        suggestions.approve(actor=people.alice, act=few, key="a1", now=NOW)
    enough = ApproveAct(choices=(Choice(suggestion_id=first.pk, packs=4), Choice(second.pk, packs=6)))
    order = suggestions.approve(actor=people.alice, act=enough, key="a2", now=NOW)
    assert list(order.lines.values_list("packs", flat=True)) == [4, 6]
