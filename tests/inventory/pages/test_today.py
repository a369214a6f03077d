"""The sheet of the day: what waits for whom."""

from datetime import date, timedelta

import pytest

from inventory.queries import today as day
from inventory.services import planning
from projects.models import Person
from tests.factories import inventory_orders as trade
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

POUR_DAY = date(2026, 5, 20)


def _need(team, *, packs=10):
    cement = trade.cement(team.firm.pk)
    pour = trade.pour(team.site, on=POUR_DAY)
    trade.offer(trade.supplier(team.firm.pk), of=cement)
    trade.need(pour, of=cement, quantity=packs * 50_000, on=POUR_DAY - timedelta(days=1))
    return cement, pour


def _order(team, *, of, pour):
    by = trade.supplier(team.firm.pk, name="Lower Depot")
    return trade.order_act(team.site, by=by, lines=(trade.line_of(of, packs=10, pour=pour),))


def _plan(team):
    planning.make_plan(actor=team.alice, act=planning.PlanAct(), key="plan", now=NOW)


def test_pour_says_what_is_still_to_be_ordered_to_the_site_manager_too():
    team = cast()
    _need(team)
    _plan(team)

    for actor in (team.alice, team.bob, team.olga):
        (row,) = day.sheet(actor, today=TODAY).pours
        assert (row.days, row.to_order, row.kind) == (16, 1, "warning")


def test_only_who_decides_sees_the_suggestions():
    team = cast()
    _need(team)
    _plan(team)

    assert [day.sheet(who, today=TODAY).suggestion_count for who in (team.alice, team.bob, team.olga)] == [
        1,
        0,
        0,
    ]


def test_ordered_pour_is_on_the_way_and_its_delivery_expected():
    team = cast()
    cement, pour = _need(team)
    trade.ordered(team.alice, act=_order(team, of=cement, pour=pour))
    _plan(team)

    sheet = day.sheet(team.bob, today=TODAY)

    assert [(row.to_order, row.on_the_way, row.kind) for row in sheet.pours] == [(0, 1, "enough")]
    assert len(sheet.expected) == 1


def test_pour_whose_day_has_passed_is_marked():
    team = cast()
    _need(team)

    (row,) = day.sheet(team.alice, today=POUR_DAY + timedelta(days=1)).pours

    assert (row.days, row.kind) == (-1, "stop")


def test_order_above_the_limit_waits_for_the_owner_alone():
    team = cast(approval_limit_minor=1_00)
    cement, pour = _need(team)
    order = trade.drafted(team.alice, act=_order(team, of=cement, pour=pour))

    assert day.sheet(team.olga, today=TODAY).waiting_orders == (order,)
    assert day.sheet(team.alice, today=TODAY).waiting_orders == ()


def test_stranger_and_other_site_see_nothing_of_it():
    team = cast()
    _need(team)
    _plan(team)

    assert day.sheet(team.charlie, today=TODAY).pours == ()


@pytest.mark.parametrize("pours", [1, 3])
def test_queries_do_not_grow_with_the_pours(pours, django_assert_num_queries):
    team = cast()
    cement = trade.cement(team.firm.pk)
    for number in range(pours):
        pour = trade.pour(team.site, slab=f"Roof {number}", on=POUR_DAY)
        trade.need(pour, of=cement, quantity=50_000, on=POUR_DAY)
    _plan(team)

    with django_assert_num_queries(9):
        day.sheet(team.alice, today=TODAY)


@pytest.mark.parametrize(
    ("role", "words"),
    [
        ("alice", "See what to order"),
        ("bob", "Record a delivery"),
        ("olga", "See what the slabs cost"),
        ("charlie", "No pour is planned"),
    ],
)
def test_page_leads_each_role_to_its_first_task(client, role, words):
    team = cast()
    _need(team)
    _plan(team)
    client.force_login(Person.objects.get(pk=getattr(team, role).person_id))

    page = client.get("/")

    assert page.status_code == 200
    assert words in page.content.decode()
