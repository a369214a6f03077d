"""Dated needs: derived whole, dated by working days, and untouched when nothing changed."""

from datetime import date, timedelta

import pytest

from estimates import tasks
from estimates.models import BillLine, Requirement
from estimates.services import materials, requirements
from estimates.services.materials import TimingAct
from estimates.services.requirements import Change
from projects.access import actor as actors
from projects.errors import NotAllowed
from projects.models import Outbox
from projects.services import pours, slabs
from projects.services.pours import ClosingAct, MoveAct, PouredAct
from projects.services.slabs import SlabClosingAct
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

POUR_DAY = date(2026, 5, 20)


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


@pytest.fixture
def bill(team):
    return make.billed_slab(team.alice, site=team.site)


@pytest.fixture
def pour(team, bill):
    return make.pour(team.alice, on=bill.design.slab, day=POUR_DAY)


def derive(team):
    return requirements.derive(actor=team.alice, now=NOW)


def needs():
    return {row.material.code: row for row in Requirement.objects.select_related("material")}


def plans_asked_for():
    return Outbox.objects.filter(job="inventory.plan").count()


def test_needs_are_dated_back_from_the_pour(team, pour):
    derive(team)

    # Sunday 17 May is the firm's day off.
    assert {code: row.need_date for code, row in needs().items()} == {
        "formwork": date(2026, 5, 13),
        "steel-10": date(2026, 5, 15),
        "steel-16": date(2026, 5, 15),
        "binding-wire": date(2026, 5, 15),
        "cement": date(2026, 5, 19),
        "sand": date(2026, 5, 19),
        "stone-20": date(2026, 5, 19),
        "stone-10": date(2026, 5, 19),
        "curing-cover": POUR_DAY,
    }


def test_quantity_is_net_and_allowance_of_the_bill(team, pour, bill):
    derive(team)

    for code, row in needs().items():
        line = BillLine.objects.get(bill=bill, material__code=code)
        assert (row.quantity, row.bill_line) == (line.allowed, line)


def test_same_input_leaves_every_row_as_it_is(team, pour):
    first = derive(team)
    rows = {row.pk: (row.need_date, row.quantity) for row in Requirement.objects.all()}
    Outbox.objects.filter(job="inventory.plan").update(done_at=NOW)

    assert first == Change(added=9, changed=0, removed=0)
    assert derive(team) == Change(added=0, changed=0, removed=0)
    assert {row.pk: (row.need_date, row.quantity) for row in Requirement.objects.all()} == rows
    assert plans_asked_for() == 1


def test_moved_pour_moves_its_needs(team, pour):
    derive(team)
    act = MoveAct(pour_id=pour.pk, pour_date=POUR_DAY + timedelta(days=7))
    pours.move(actor=team.alice, act=act, key="move", now=NOW)

    assert derive(team) == Change(added=0, changed=9, removed=0)
    assert needs()["cement"].need_date == date(2026, 5, 26)


def test_shares_of_two_pours_add_up(team, bill):
    slab = bill.design.slab
    make.pour(team.alice, on=slab, day=POUR_DAY, name="west", share_ppm=333_333)
    make.pour(team.alice, on=slab, day=POUR_DAY + timedelta(days=5), name="east", share_ppm=666_667)
    derive(team)

    for code in ("cement", "steel-10", "formwork"):
        parts = Requirement.objects.filter(material__code=code).values_list("quantity", flat=True)
        assert sum(parts) == BillLine.objects.get(bill=bill, material__code=code).allowed


def test_poured_part_keeps_its_share_and_needs_nothing_more(team, bill):
    slab = bill.design.slab
    west = make.pour(team.alice, on=slab, day=POUR_DAY, name="west", share_ppm=400_000)
    make.pour(team.alice, on=slab, day=POUR_DAY, name="east", share_ppm=600_000)
    derive(team)
    east_before = Requirement.objects.get(material__code="cement", pour__name="east").quantity
    pours.mark_poured(actor=team.alice, act=PouredAct(pour_id=west.pk, poured_at=NOW), key="w", now=NOW)

    assert derive(team).removed == 9
    assert needs()["cement"].quantity == east_before


def test_needs_of_a_finished_slab_go(team, bill, pour):
    derive(team)
    pours.mark_poured(actor=team.alice, act=PouredAct(pour_id=pour.pk, poured_at=NOW), key="p", now=NOW)
    pours.close(actor=team.alice, act=ClosingAct(pour_id=pour.pk), key="c", now=NOW)
    slabs.finish(actor=team.alice, act=SlabClosingAct(slab_id=bill.design.slab_id), key="f", now=NOW)

    assert derive(team) == Change(added=0, changed=0, removed=9)


def test_new_bill_changes_the_needs(team, pour, bill):
    derive(team)
    before = needs()["cement"].quantity
    make.bill(team.alice, of=make.design(team.alice, on=bill.design.slab, thickness_mm=150))

    change = derive(team)

    assert (change.added, change.removed) == (0, 0)
    assert needs()["cement"].quantity > before
    assert set(Requirement.objects.values_list("bill_line__bill__number", flat=True)) == {2}


def test_material_needed_earlier_is_dated_earlier(team, pour):
    derive(team)
    act = TimingAct(material_id=needs()["sand"].material_id, lead_days=2, shelf_days=None)
    materials.set_timing(actor=team.alice, act=act, key="t", now=NOW)

    assert derive(team) == Change(added=0, changed=1, removed=0)
    assert needs()["sand"].need_date == date(2026, 5, 18)


def test_slab_without_bill_or_pour_needs_nothing(team):
    slab = make.slab(team.alice, site=team.site, name="no bill")
    make.pour(team.alice, on=slab, day=POUR_DAY)
    make.billed_slab(team.alice, site=team.other_site, name="no pour")

    assert derive(team) == Change(added=0, changed=0, removed=0)
    assert plans_asked_for() == 0


def test_other_firm_is_left_alone(team, pour):
    derive(team)

    assert requirements.derive(actor=team.charlie, now=NOW) == Change(added=0, changed=0, removed=0)
    assert len(needs()) == 9


def test_site_manager_may_not_derive(team):
    with pytest.raises(NotAllowed):
        requirements.derive(actor=team.bob, now=NOW)


def test_task_done_twice_is_done_once(team, pour):
    for key in ("one", "one"):
        tasks.derive_requirements(firm_id=team.firm.pk, key=key, now=NOW)

    assert len(needs()) == 9
    assert actors.for_jobs(team.firm.pk).name == "Pourtally"
