"""Roads between sites, and the moves that they make worth while. NOW is Monday 4 May 2026."""

from dataclasses import replace
from datetime import date

import pytest
from django.db import IntegrityError, transaction

from inventory.calc.reorder.market import Road
from inventory.models import Place, SiteRoad, Stock, Suggestion
from inventory.queries import site_roads as rows
from inventory.services import plan_terms, planning, site_roads
from inventory.services.plan_terms import TermsAct
from inventory.services.planning import PlanAct
from inventory.services.site_roads import BadRoad, RoadAct
from projects.access import actor as actors
from projects.errors import NotAllowed, NotFound
from projects.models import Outbox, Site
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = make.BAG_G


def _setting():
    people = cast()
    return people, Site.objects.create(firm=people.firm, name="Kiln Lane", opened_date=TODAY)


def _set(actor, source, target, *, key="r1", **figures):
    act = RoadAct(from_site_id=source.pk, to_site_id=target.pk, **figures)
    return site_roads.set_road(actor=actor, act=act, key=key, now=NOW)


def test_a_road_holds_both_ways_until_the_way_back_has_its_own():
    people, lane = _setting()
    row = _set(people.alice, lane, people.site, trip_minor=90_000, tonne_minor=500)
    assert _set(people.alice, lane, people.site, trip_minor=90_000, tonne_minor=500) == row
    there, back = (lane.pk, people.site.pk), (people.site.pk, lane.pk)
    road = Road(trip=900_000_000, tonne=5_000_000)
    assert rows.of_plan(people.alice) == {there: road, back: road}
    _set(people.alice, people.site, lane, key="r2", trip_minor=0)
    assert rows.of_plan(people.alice) == {there: road, back: Road(trip=0)}
    _set(people.alice, lane, people.site, key="r3")
    assert rows.of_plan(people.alice) == {there: Road(trip=0), back: Road(trip=0)}
    assert Outbox.objects.filter(job="inventory.plan", firm=people.firm).exists()


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"trip_minor": -1}, "trip_minor"),
        ({"trip_minor": 1, "tonne_minor": 10**14}, "tonne_minor"),
        ({"tonne_minor": 5}, "trip_minor"),
    ],
)
def test_a_road_out_of_bounds_is_refused(figures, field):
    people, lane = _setting()
    with pytest.raises(BadRoad) as refused:
        _set(people.alice, lane, people.site, **figures)
    assert (refused.value.field, SiteRoad.objects.count()) == (field, 0)


def test_a_road_leads_from_one_site_of_the_firm_to_another():
    people, lane = _setting()
    with pytest.raises(BadRoad):
        _set(people.alice, lane, lane, trip_minor=1)
    with pytest.raises(NotFound):
        _set(people.alice, lane, people.charlie_site, trip_minor=1)
    for actor in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            _set(actor, lane, people.site, trip_minor=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        SiteRoad.objects.create(from_site=lane, to_site=lane, trip_minor=1)


def test_a_road_s_figures_decide_on_a_move_and_stand_in_its_reason():
    # 60 bags of 400.00 lie idle at Kiln Lane, three tonnes: 1,000.00 for the trip and 300.00 for the tonnes.
    people, lane = _setting()
    bags = make.cement(people.firm.pk)
    make.offer(make.supplier(people.firm.pk), of=bags, pack_price=400_000_000)
    terms = TermsAct(keep_permille=140, rest_permille=500)
    plan_terms.set_terms(actor=people.alice, act=replace(terms, freight_minor=None), key="t", now=NOW)
    store = Place.objects.create(firm=people.firm, site=lane, kind=Place.Kind.STORE)
    Stock.objects.create(place=store, material=bags.material, quantity=60 * BAG, value_minor=60 * 40_000)
    make.need(make.pour(people.site), of=bags, quantity=100 * BAG, on=date(2026, 5, 15))
    _set(people.alice, lane, people.site, trip_minor=100_000, tonne_minor=10_000)
    run = planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=PlanAct(), key="p", now=NOW)
    [move] = Suggestion.objects.filter(state="open", kind="move")
    assert (move.packs, move.reason["freight_minor"]) == (60, 130_000)
    assert move.reason["road"] == {"trip_minor": 100_000, "tonne_minor": 10_000}
    _set(people.alice, lane, people.site, key="r2", trip_minor=9_000_000)
    after = planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=PlanAct(), key="p2", now=NOW)
    assert after.fingerprint != run.fingerprint
    assert not Suggestion.objects.filter(state="open", kind="move").exists()
