"""Things on hire: taken on, priced, ended, put off, taken back; and the cost of the slab that they serve."""

from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.calc.spend import Amounts
from inventory.documents import hire_list
from inventory.models import Hire, HireEnd
from inventory.queries import hires, spend
from inventory.services import hire
from inventory.services.hire import (
    HireBackAct,
    HireDueAct,
    HireEndAct,
    HireEndBackAct,
    HireTermsAct,
)
from projects.errors import KeyReused, NotAllowed, NotFound
from projects.services import pours, slabs
from projects.services.pours import ClosingAct, PouredAct
from projects.services.slabs import SlabClosingAct
from tests.factories import buying
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]

A_WEEK = timedelta(days=7)
RATE = 1_250_000
"""1.25 a piece and day."""


@pytest.fixture
def at():
    return made.yard()


def hired(at, **facts):
    return buying.hired(at.cast.bob, site=at.cast.site, supplier=at.supplier, **facts)


def priced(at, *, rate=RATE, terms=None, **facts):
    return buying.hired_at(at.cast.alice, hired(at, **facts), rate=rate, **(terms or {}))


def ended(at, row, *, pieces, **facts):
    return buying.hire_ended(at.cast.bob, row, pieces=pieces, **facts)


def row_of(at, row, *, today=TODAY):
    return hires.one(at.cast.alice, hire_id=row.pk, today=today)


def cost(at, *, today=TODAY):
    return spend.of_slab(at.cast.olga, at.pour.slab_id, today=today)


def test_props_are_taken_on_partly_back_partly_lost_and_late(at):
    # 60 out for 15 days counted on both ends; 40 back after 8 days, 1 lost today; 19 stay two days too long.
    row = priced(at, pour_id=at.pour.pk, terms={"lost_price_minor": 90_000})
    ended(at, row, pieces=40, day=TODAY - A_WEEK)
    ended(at, row, pieces=1, kind="lost")

    found = row_of(at, row, today=TODAY + timedelta(days=2))

    assert (found.standing.still_out, found.back, found.lost, found.standing.late_days) == (19, 40, 1, 2)
    assert found.standing.piece_days == 40 * 8 + 15 + 19 * 17
    assert found.cost_minor == ((40 * 8 + 15 + 19 * 17) * 125) + 90_000
    assert (row.number, row.slab_id) == ("HI-2026-0001", at.pour.slab_id)


def test_hire_without_a_price_is_listed_and_costs_nothing(at):
    row = hired(at, pour_id=at.pour.pk)

    found = row_of(at, row)

    assert (found.cost_minor, found.cost_at_end_minor, found.standing.piece_days) == (None, None, 900)
    assert cost(at).amounts.used == 0


def test_charge_that_is_not_known_is_said(at):
    row = priced(at)
    ended(at, row, pieces=2, kind="damaged")
    assert (row_of(at, row).charges_unknown, row_of(at, row).charges_minor) == (2, 0)
    buying.hire_ended(at.cast.alice, row, pieces=1, kind="damaged", charge_minor=12_300)
    assert (row_of(at, row).charges_unknown, row_of(at, row).charges_minor) == (2, 12_300)


def test_lists_by_state(at):
    late = hired(at, due_date=TODAY - timedelta(days=1))
    out = hired(at)
    over = hired(at, pieces=1)
    ended(at, over, pieces=1)
    gone = hired(at)
    hire.take_back(actor=at.cast.bob, act=HireBackAct(gone.pk, "other site"), key="g", now=NOW)

    def listed(state):
        rows = hires.listing(at.cast.bob, wanted=hires.Wanted(state=state), today=TODAY)
        return [row.hire.pk for row in rows]

    assert listed("out") == [late.pk, out.pk]
    assert (listed("late"), listed("ended")) == ([late.pk], [over.pk])
    assert set(listed("")) == {late.pk, out.pk, over.pk}


def test_hire_so_far_and_as_planned_stands_in_the_cost_of_its_slab(at):
    # Out since 14 days, 15 counted today; due in a week: 22 then. No bill: everything is usage.
    row = priced(at, pour_id=at.pour.pk, due_date=TODAY + A_WEEK)
    so_far, at_end = 60 * 15 * 125, 60 * 22 * 125

    found = cost(at)

    assert found.amounts == Amounts(
        committed=at_end - so_far,
        received=so_far,
        used=so_far,
        to_come=at_end - so_far,
        forecast=at_end,
        usage_variance=at_end,
    )
    assert found.materials[0].figures.material == row.material


def test_hire_stands_against_its_line_of_the_bill(at):
    # The bill allows 2 days of a mixer at 900.00; it is here for 3 at 1,000.00 and goes back today.
    mixer = buying.hired_kind(at.cast.firm.pk, code="hire-mixer", name="Mixer, hire")
    line = goods.Priced(material=mixer, net=2_000, allowance=0, rate=900_000_000, amount_minor=180_000)
    goods.bill(at.pour.slab, [line])
    row = priced(
        at,
        rate=1_000_000_000,
        material_id=mixer.pk,
        pieces=1,
        out_date=TODAY - timedelta(days=2),
        slab_id=at.pour.slab_id,
    )
    ended(at, row, pieces=1)

    found = cost(at).amounts

    assert (found.budget, found.used, found.forecast) == (180_000, 300_000, 300_000)
    assert (found.usage_variance, found.price_variance) == (90_000, 30_000)


def test_days_that_the_bill_allows_and_nobody_hired_yet_are_still_to_come(at):
    # 5 days budgeted at 900.00; one day had at 1,000.00, due today: four more at the estimate.
    mixer = buying.hired_kind(at.cast.firm.pk, code="hire-mixer", name="Mixer, hire")
    line = goods.Priced(material=mixer, net=5_000, allowance=0, rate=900_000_000, amount_minor=450_000)
    goods.bill(at.pour.slab, [line])
    priced(at, rate=1_000_000_000, material_id=mixer.pk, pieces=1, out_date=TODAY, slab_id=at.pour.slab_id)

    found = cost(at).amounts

    assert (found.used, found.to_come, found.forecast) == (100_000, 4 * 90_000, 460_000)


def test_props_that_stand_below_a_finished_slab_still_cost(at):
    priced(at, pour_id=at.pour.pk, due_date=TODAY + A_WEEK)
    pours.mark_poured(actor=at.cast.bob, act=PouredAct(at.pour.pk, NOW), key="m", now=NOW)
    pours.close(actor=at.cast.bob, act=ClosingAct(at.pour.pk), key="c", now=NOW)
    slabs.finish(actor=at.cast.alice, act=SlabClosingAct(slab_id=at.pour.slab_id), key="f", now=NOW)

    found = cost(at).amounts

    assert (found.used, found.forecast) == (60 * 15 * 125, 60 * 22 * 125)


def test_firm_adds_up_with_the_ledger_and_the_hire(at):
    made.receive(at, packs=10)
    made.issue(at, packs=4)
    priced(at, pour_id=at.pour.pk)
    priced(at)

    found = spend.of_firm(at.cast.olga, today=TODAY)

    where = found.whereabouts
    assert found.hired_for_slabs == found.hired_for_no_slab == 60 * 15 * 125
    assert found.total.used == where.on_slabs + where.wasted_for_slabs + found.hired_for_slabs
    assert where.bought == where.on_slabs + where.in_stores


def test_return_is_put_off_and_entries_are_taken_back(at):
    row = priced(at, pour_id=at.pour.pk)
    ended(at, row, pieces=60)
    last = HireEnd.objects.get()
    act = HireEndBackAct(last.pk, "the other yard's")
    hire.take_back_end(actor=at.cast.bob, act=act, key="e", now=NOW)
    hire.put_off(actor=at.cast.bob, act=HireDueAct(row.pk, TODAY + A_WEEK), key="d", now=NOW)

    found = row_of(at, row)
    assert (found.standing.still_out, found.hire.due_date) == (60, TODAY + A_WEEK)
    assert found.ends[0].row.reverse_reason == "the other yard's"

    with pytest.raises(hire.NotOut, match="taken back before"):
        hire.take_back_end(actor=at.cast.bob, act=act, key="e2", now=NOW)
    hire.take_back(actor=at.cast.bob, act=HireBackAct(row.pk, "never came"), key="t", now=NOW)
    assert cost(at).amounts.used == 0
    with pytest.raises(hire.NotOut, match="was taken back"):
        ended(at, row, pieces=1)


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"pieces": 0}, "pieces"),
        ({"pieces": hire.MOST_PIECES + 1}, "pieces"),
        ({"what": " "}, "what"),
        ({"out_date": TODAY + timedelta(days=1), "due_date": TODAY + A_WEEK}, "out_date"),
        ({"out_date": TODAY - timedelta(days=2_000)}, "out_date"),
        ({"due_date": TODAY - timedelta(days=15)}, "due_date"),
        ({"due_date": TODAY + timedelta(days=2_000)}, "due_date"),
    ],
)
def test_hire_that_cannot_be_is_refused_at_its_field(at, facts, field):
    with pytest.raises(hire.BadHire) as refused:
        hired(at, **facts)
    assert (refused.value.field, Hire.objects.exists()) == (field, False)


def test_what_is_not_hired_and_slabs_of_other_sites_are_refused(at):
    elsewhere = goods.pour(at.cast.other_site, slab="Depot roof")
    for facts, field in (
        ({"material_id": at.cement.material.pk}, "material_id"),
        ({"pour_id": elsewhere.pk}, "pour_id"),
        ({"slab_id": elsewhere.slab_id}, "slab_id"),
        ({"pour_id": at.pour.pk, "slab_id": elsewhere.slab_id}, "pour_id"),
    ):
        with pytest.raises(hire.BadHire) as refused:
            buying.hired(at.cast.alice, site=at.cast.site, supplier=at.supplier, **facts)
        assert refused.value.field == field


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"kind": "stolen"}, "kind"),
        ({"pieces": 0}, "pieces"),
        ({"day": TODAY + timedelta(days=1)}, "day"),
        ({"day": TODAY - timedelta(days=15)}, "day"),
        ({"kind": "lost", "found": " "}, "found"),
        ({"kind": "damaged", "seen_by": ""}, "seen_by"),
        ({"charge_minor": 5}, "charge_minor"),
        ({"kind": "lost", "charge_minor": -5}, "charge_minor"),
    ],
)
def test_end_that_cannot_be_is_refused_at_its_field(at, facts, field):
    row = priced(at)
    act = HireEndAct(hire_id=row.pk, kind="back", pieces=1, day=TODAY, found="bent", seen_by="Bob")
    with pytest.raises(hire.BadHire) as refused:
        hire.end(actor=at.cast.alice, act=replace(act, **facts), key="x", now=NOW)
    assert (refused.value.field, HireEnd.objects.exists()) == (field, False)


def test_no_more_comes_back_than_went_out(at):
    row = hired(at)
    ended(at, row, pieces=50)
    with pytest.raises(hire.NotOut) as refused:
        ended(at, row, pieces=11)
    assert refused.value.params["left"] == 10


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"rate": -1}, "rate"),
        ({"lost_price_minor": -1}, "lost_price_minor"),
        ({"basis": "month"}, "basis"),
        ({"day_count": "week"}, "day_count"),
        ({"minimum_days": 0}, "minimum_days"),
        ({"minimum_days": 366}, "minimum_days"),
    ],
)
def test_terms_that_cannot_be_are_refused_at_their_field(at, facts, field):
    row = hired(at)
    with pytest.raises(hire.BadHire) as refused:
        hire.agree(
            actor=at.cast.alice, act=HireTermsAct(hire_id=row.pk, **({"rate": 1} | facts)), key="x", now=NOW
        )
    assert refused.value.field == field


def test_reason_is_asked_for_what_is_taken_back(at):
    row = hired(at)
    with pytest.raises(hire.BadHire) as refused:
        hire.take_back(actor=at.cast.bob, act=HireBackAct(row.pk, " "), key="x", now=NOW)
    assert refused.value.field == "reason"


def test_stranger_and_other_site_find_nothing_and_each_role_does_its_own(at):
    row = priced(at)
    for act, service in (
        (HireEndAct(hire_id=row.pk, kind="back", pieces=1, day=TODAY), hire.end),
        (HireDueAct(row.pk, TODAY), hire.put_off),
        (HireBackAct(row.pk, "wrong"), hire.take_back),
        (HireTermsAct(hire_id=row.pk, rate=1), hire.agree),
    ):
        with pytest.raises(NotFound):
            service(actor=at.cast.charlie, act=act, key=made.key(), now=NOW)
        with pytest.raises(NotAllowed):
            service(actor=at.cast.olga, act=act, key=made.key(), now=NOW)
    with pytest.raises(NotFound):
        hires.one(at.cast.charlie, hire_id=row.pk, today=TODAY)
    with pytest.raises(NotAllowed):
        hire.agree(actor=at.cast.bob, act=HireTermsAct(hire_id=row.pk, rate=1), key="b", now=NOW)
    with pytest.raises(NotAllowed):
        ended(at, row, pieces=1, kind="lost", charge_minor=5)
    there = buying.hired(at.cast.alice, site=at.cast.other_site, supplier=at.supplier)
    with pytest.raises(NotFound):
        hires.one(at.cast.bob, hire_id=there.pk, today=TODAY)


def test_same_key_counts_once_and_another_act_under_it_is_refused(at):
    act = buying.hire_act(at.cast.site, supplier=at.supplier)
    first = hire.take_on(actor=at.cast.bob, act=act, key="once", now=NOW)
    assert hire.take_on(actor=at.cast.bob, act=act, key="once", now=NOW) == first
    with pytest.raises(KeyReused):
        hire.take_on(actor=at.cast.bob, act=replace(act, pieces=61), key="once", now=NOW)
    back = HireEndAct(hire_id=first.pk, kind="back", pieces=2, day=TODAY)
    for _ in range(2):
        hire.end(actor=at.cast.bob, act=back, key="back", now=NOW)
    assert (Hire.objects.count(), row_of(at, first).standing.still_out) == (1, 58)


def test_table_tells_money_to_those_who_may_see_it(at):
    row = priced(at, pour_id=at.pour.pk, what="=1+1")
    ended(at, row, pieces=10)

    def lines(who):
        content = hire_list.csv(who, wanted=hires.Wanted(), today=TODAY).decode().splitlines()
        return [dict(zip(content[0].split(","), line.split(","), strict=True)) for line in content[1:]]

    office, site = lines(at.cast.alice)[0], lines(at.cast.bob)[0]
    assert (office["what"], office["still_out"], office["piece_days"]) == ("'=1+1", "50", "900")
    assert (office["rate"], office["cost_so_far"], office["currency"]) == ("1.250000", "1125.00", "INR")
    assert "rate" not in site
    assert "cost_so_far" not in site


@pytest.mark.parametrize("rows", [1, 3])
def test_number_of_queries_does_not_grow(at, rows, django_assert_num_queries):
    for _ in range(rows):
        ended(at, priced(at, pour_id=at.pour.pk), pieces=5)
    with django_assert_num_queries(2):
        found = hires.listing(at.cast.alice, wanted=hires.Wanted(state="out"), today=TODAY)
        shown = [(one.hire.site.name, one.hire.slab.name, one.cost_minor) for one in found]
    assert len(shown) == rows


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"pieces": 0}, "inventory_hire_of_something"),
        ({"minimum_days": 0}, "inventory_hire_of_something"),
        ({"due_date": TODAY - timedelta(days=15)}, "inventory_hire_due_after_out"),
        ({"rate": -1}, "inventory_hire_price_not_negative"),
        ({"lost_price_minor": -1}, "inventory_hire_price_not_negative"),
        ({"slab": None}, "inventory_hire_pour_has_its_slab"),
    ],
)
def test_database_keeps_its_rules_of_a_hire(at, change, rule):
    row = priced(at, pour_id=at.pour.pk)
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        Hire.objects.filter(pk=row.pk).update(**change)


def test_number_of_a_hire_is_given_once(at):
    hired(at)
    second = hired(at)
    with pytest.raises(IntegrityError), transaction.atomic():
        Hire.objects.filter(pk=second.pk).update(number="HI-2026-0001")


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"pieces": 0}, "inventory_hireend_of_something"),
        ({"charge_minor": -1}, "inventory_hireend_charge_not_negative"),
        ({"seen_by": ""}, "inventory_hireend_harm_has_facts"),
    ],
)
def test_database_keeps_its_rules_of_an_end(at, change, rule):
    ended(at, hired(at), pieces=1, kind="lost")
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        HireEnd.objects.update(**change)
