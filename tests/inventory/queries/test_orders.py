from datetime import date

import pytest

from inventory.models import Supplier
from inventory.queries import orders, plan, suppliers
from inventory.queries.orders import Wanted
from inventory.services import planning
from inventory.services import suggestions as decisions
from projects.access import actor as actors
from projects.errors import NotFound
from projects.models import Outbox
from projects.services import outbox
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _setting():
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    return people, bags, by


def _ordered(people, bags, by, *, site=None, packs=10, pour=None, on=date(2026, 5, 8)):
    lines = (make.line_of(bags, packs=packs, pour=pour),)
    return make.ordered(people.alice, act=make.order_act(site or people.site, by=by, lines=lines, on=on))


def test_orders_are_listed_newest_first_by_state_and_site():
    people, bags, by = _setting()
    first = _ordered(people, bags, by)
    second = _ordered(people, bags, by, site=people.other_site)
    draft = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=1),))
    third = make.drafted(people.alice, act=draft)
    listed = {
        "all": orders.listing(people.alice, wanted=Wanted()),
        "drafts": orders.listing(people.alice, wanted=Wanted(states=("draft",))),
        "site": orders.listing(people.alice, wanted=Wanted(site_id=people.other_site.pk)),
        "page": orders.listing(people.alice, wanted=Wanted(start=1, count=1)),
        "bob": orders.listing(people.bob, wanted=Wanted()),
        "charlie": orders.listing(people.charlie, wanted=Wanted()),
    }
    assert {name: [row.pk for row in rows] for name, rows in listed.items()} == {
        "all": [third.pk, second.pk, first.pk],
        "drafts": [third.pk],
        "site": [second.pk],
        "page": [second.pk],
        "bob": [third.pk, first.pk],
        "charlie": [],
    }
    assert orders.how_many(people.alice) == {"approved": 2, "draft": 1}


def test_a_line_tells_what_has_come_and_by_how_much_it_is_late_for_its_pour():
    # Expected on the 8th, needed on the 6th: two days late. 4 of 10 bags have come.
    people, bags, by = _setting()
    pour = make.pour(people.site)
    make.need(pour, of=bags, quantity=10 * make.BAG_G, on=date(2026, 5, 6))
    order = _ordered(people, bags, by, pour=pour)
    make.received(people.bob, order=order, packs=(4,))
    [line] = orders.lines(people.alice, order)
    assert (line.good, line.left, line.late_days) == (4 * make.BAG_G, 6 * make.BAG_G, 2)


def test_an_order_of_another_firm_is_not_found():
    people, bags, by = _setting()
    order = _ordered(people, bags, by)
    for ask in (orders.one, orders.letter):
        with pytest.raises(NotFound):
            ask(people.charlie, order.pk)


def test_pours_to_buy_for_are_the_open_ones_of_ones_sites():
    people, _bags, _by = _setting()
    mine = make.pour(people.site, on=date(2026, 5, 9))
    other = make.pour(people.other_site, on=date(2026, 5, 8))
    done = make.pour(people.site, slab="Stair")
    done.state, done.poured_at = "closed", NOW
    done.save()
    assert [row.pk for row in orders.open_pours(people.alice)] == [other.pk, mine.pk]
    assert [row.pk for row in orders.open_pours(people.bob)] == [mine.pk]


def test_suppliers_are_the_firms_own_and_count_what_is_theirs():
    people, bags, by = _setting()
    loads = make.sand(people.firm.pk)
    make.offer(by, of=bags)
    make.offer(by, of=bags, from_date=date(2026, 5, 1))
    make.offer(by, of=loads)
    _ordered(people, bags, by)
    make.supplier(people.other_firm.pk, name="Ferry Cement")
    [row] = suppliers.listing(people.alice)
    assert (row.pk, row.material_count, row.open_orders, row.last_offer) == (by.pk, 2, 1, date(2026, 5, 1))


def test_the_offer_that_holds_is_the_last_one_begun():
    people, bags, by = _setting()
    for day in (date(2026, 1, 1), date(2026, 5, 1), date(2026, 6, 1)):
        make.offer(by, of=bags, from_date=day)
    found = suppliers.offers(people.alice, by, on=TODAY)
    assert [(row.offer.from_date, row.holds) for row in found] == [
        (date(2026, 6, 1), False),
        (date(2026, 5, 1), True),
        (date(2026, 1, 1), False),
    ]


def test_a_supplier_that_has_ended_is_not_to_choose():
    people, _bags, by = _setting()
    Supplier.objects.filter(pk=by.pk).update(ended_date=TODAY)
    assert suppliers.to_choose(people.alice, on=TODAY) == []
    with pytest.raises(NotFound):
        suppliers.one(people.charlie, by.pk)


def _planned(people, *, key="p1"):
    planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=planning.PlanAct(), key=key, now=NOW)


def test_the_plan_shows_open_late_and_decided_and_only_ones_own():
    people, bags, by = _setting()
    make.offer(by, of=bags, lead_days=5)
    for n, day in enumerate((7, 20), start=1):
        pour = make.pour(people.site, slab=f"Slab {n}", on=date(2026, 5, day))
        make.need(pour, of=bags, quantity=10 * make.BAG_G, on=date(2026, 5, day))
    _planned(people)
    first = plan.current(people.alice, today=TODAY).rows[0].suggestion
    act = decisions.ApproveAct(choices=(decisions.Choice(first.pk),))
    decisions.approve(actor=people.alice, act=act, key="a1", now=NOW)
    found = plan.current(people.alice, today=TODAY)
    assert [row.suggestion.need_date for row in found.rows] == [date(2026, 5, 20)]
    assert [row.pk for row in found.decided] == [first.pk]
    # Five working days from Monday 4 May is Saturday 9 May, two days after the need of the 7th.
    assert [(line.need_date, line.days) for line in found.late] == [(date(2026, 5, 7), 2)]
    theirs = plan.current(people.charlie, today=TODAY)
    assert (theirs.rows, theirs.decided, theirs.late, theirs.job.run) == ((), (), (), None)


def test_a_material_without_a_pack_is_named():
    people, bags, _by = _setting()
    make.need(make.pour(people.site), of=bags, quantity=1, on=date(2026, 5, 7))
    bags.pack.delete()
    _planned(people)
    found = plan.current(people.alice, today=TODAY)
    assert (found.rows, found.without_pack) == ((), (bags.material,))


def test_the_state_of_the_job_follows_its_row():
    people, _bags, _by = _setting()
    _planned(people)
    Outbox.objects.all().delete()
    seen = [plan.job(people.alice).state]
    row = outbox.ask(firm_id=people.firm.pk, job=plan.JOB, key="k", payload={}, now=NOW, due_at=NOW)
    changes = (
        {},
        {"leased_until": NOW},
        {"leased_until": None, "last_error": "ValueError: x", "attempts": 1},
        {"failed_at": NOW},
        {"failed_at": None, "done_at": NOW},
    )
    for change in changes:
        Outbox.objects.filter(pk=row.pk).update(**change)
        seen.append(plan.job(people.alice).state)
    assert seen == ["idle", "waiting", "running", "retrying", "failed", "idle"]
    assert plan.job(people.charlie).run is None
