"""Cut pieces against the bar schedule of a later bill: 27 pieces of S1, four to a bar of 12 m.

Five bars are cut: 20 pieces, 5 of them carried to the slab; 7 are still to be cut by the reserved plan.
"""

import copy

import pytest

from inventory.calc.cut_fit import Reason
from inventory.queries import revision
from inventory.services.cutting import issuing
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from projects.models import Person
from tests.api.calls import Caller
from tests.factories import cutting as made
from tests.factories import estimates
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    shop = made.shop()
    made.receive(shop, "steel-10", bars=7)
    plan = made.reserved(shop, marks=("S1",))
    made.cut(shop, plan.patterns.order_by("position")[0], bars=5)
    act = IssuePiecesAct(pour_id=shop.pour.pk, pieces=(PieceAct(plan.needs.get().pk, 5),))
    issuing.issue(actor=shop.cast.bob, act=act, key="carried", now=NOW)
    return shop


def billed(at, *, mark="S1", **changes):
    bars = copy.deepcopy(estimates.SHEET["bars"])
    bars[0] |= {"mark": mark} | changes
    drawn = estimates.design(at.cast.alice, on=at.slab, bars=bars)
    return estimates.bill(at.cast.alice, of=drawn)


@pytest.mark.parametrize(
    ("changes", "reason", "cut", "to_cut"),
    [
        ({"dimensions": {"A": 3060}}, Reason.LENGTH, 20, 7),
        ({"size_mm": 12}, Reason.BARS, 20, 7),
        ({"mark": "S2"}, Reason.GONE, 20, 7),
        ({"per_member": 22}, Reason.NUMBER, 0, 5),
        ({"per_member": 18}, Reason.NUMBER, 2, 7),
    ],
)
def test_pieces_without_a_place_are_named(at, changes, reason, cut, to_cut):
    [row] = revision.of_bill(at.cast.alice, billed(at, **changes).pk).cut
    assert (row.misfit.reason, row.misfit.cut, row.misfit.to_cut) == (reason, cut, to_cut)
    assert (row.mark, row.length_mm, row.cut, row.issued, row.at_bench) == ("S1", 2_960, 20, 5, 15)


def test_pieces_of_the_same_mark_fit_a_bill_of_more(at):
    assert revision.of_bill(at.cast.alice, billed(at, per_member=30).pk).cut == ()


def test_a_steel_of_another_grade_does_not_fit(at):
    bars = copy.deepcopy(estimates.SHEET["bars"])
    made_of = {"steel_grade": "Fe550D", "bars": bars}
    drawn = estimates.design(at.cast.alice, on=at.slab, **made_of)
    later = at.bill
    later.pk, later.design, later.number = None, drawn, 2
    later.save()
    [row] = revision.of_bill(at.cast.alice, later.pk).cut
    assert row.misfit.reason == Reason.BARS


def test_page_and_api_name_mark_place_and_plan(at, client):
    later = billed(at, per_member=18)
    plan = at.cast.site.cutting_plans.get()
    client.force_login(Person.objects.get(username="alice"))
    page = client.get(f"/bills/{later.pk}/touches/").content.decode()
    assert "the schedule asks for fewer" in page
    assert "2 of 20 cut" in page
    assert f'href="/stores/cutting/{plan.pk}/">{plan.number}</a>' in page
    [told] = Caller("alice").get(f"bills/{later.pk}/touches/").json()["cut"]
    assert (told["mark"], told["reason"], told["do_not_fit"], told["not_to_cut"]) == ("S1", "number", 2, 7)
    assert (told["at_bench"], told["issued"], told["plans"]) == (15, 5, [plan.number])


def test_the_number_of_queries_does_not_grow(at, django_assert_num_queries):
    later = billed(at, per_member=18)
    with django_assert_num_queries(12):
        revision.of_bill(at.cast.alice, later.pk)
    made.receive(at, "steel-16", bars=2)
    beam = made.reserved(at, marks=("B1-1",))
    made.cut(at, beam.patterns.order_by("position")[0])
    with django_assert_num_queries(12):
        revision.of_bill(at.cast.alice, later.pk)
