"""The first plan of a firm on cases worked out by hand: days of March 2025, Monday the 3rd is today."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest

from inventory.calc.reorder import at_site, chances, firm, moves, workdays
from inventory.calc.reorder.facts import Lot as Stock
from inventory.calc.reorder.facts import Need, Receipt
from inventory.calc.reorder.lateness import Record
from inventory.calc.reorder.market import Item, Market, Road, Seller, Terms
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar

TODAY = date(2025, 3, 3)
SUNDAYS_OFF = Calendar(days_off=frozenset({6}))
KG = 1_000_000
"""Milligrams in a kilogram: these items are kept in kilograms."""


def march(day):
    return date(2025, 3, 1) + timedelta(days=day - 1)


def quote(key=1, *, price=400, content=50, lead=2, minimum=1, seller=None, breaks=()):
    prices = (Break(packs=1, pack_price=price), *(Break(packs=n, pack_price=p) for n, p in breaks))
    seller = key if seller is None else seller
    return Quote(
        key=key, seller=seller, content=content, breaks=prices, lead_days=lead, minimum_packs=minimum
    )


def item(*needs, site=1, material="cement", quotes=None, stock=(), receipts=(), life=None, **more):
    plan = PlanItem(
        site_id=site,
        material=material,
        needs=tuple(Need(key=f"n{n}", quantity=q, day=march(d)) for n, (q, d) in enumerate(needs)),
        supply=Supply(stock=stock, receipts=receipts, life_days=life),
        safety_days=1,
        calendar=SUNDAYS_OFF,
    )
    return Item(plan=plan, quotes=(quote(),) if quotes is None else quotes, unit_mg=KG, **more)


def lots(plan, site=1):
    return [
        (bought.item.plan.material, lot.packs, date.fromordinal(lot.chance.arrival).day)
        for bought in plan.sites[site]
        for lot in bought.lots
    ]


def test_worked_days_are_those_of_the_calendar():
    calendar = Calendar(days_off=frozenset({6}), holidays=frozenset({march(10), march(11)}))
    worked = chances.span(calendar, around=TODAY)
    draw = Random(1)  # noqa: S311 - repeatable, nothing secret
    for _ in range(200):
        day, count = march(draw.randint(1, 40)), draw.randint(0, 9)
        back = workdays.back(day, working_days=count, calendar=calendar)
        assert date.fromordinal(worked.back(day.toordinal(), count)) == back


def test_two_materials_share_a_truck():
    # Cement is needed on the 14th and the 21st, sand on the 21st. A trip costs 900 and keeping a week's
    # cement 77: one truck on Thursday 13 brings all cement, and the sand rides with it for 58.
    market = Market(
        terms=Terms(keep_ppm=1_000_000), sellers={1: Seller(key=1, trip_cost=900, truck_g=20_000_000)}
    )
    cement = item((500, 14), (500, 21))
    sand = item((3_000, 21), material="sand", quotes=(quote(price=100, content=100),))
    plan = firm.first([sand, cement], market=market, today=TODAY)
    assert lots(plan) == [("cement", 20, 13), ("sand", 30, 13)]


def test_a_second_truck_is_not_free():
    # Of the same, the truck takes a tonne: the sand would fill three more either day, so it comes when due.
    market = Market(
        terms=Terms(keep_ppm=1_000_000), sellers={1: Seller(key=1, trip_cost=900, truck_g=1_000_000)}
    )
    cement = item((500, 14), (500, 21))
    sand = item((3_000, 21), material="sand", quotes=(quote(price=100, content=100),))
    plan = firm.first([sand, cement], market=market, today=TODAY)
    assert lots(plan) == [("cement", 20, 13), ("sand", 30, 20)]


@pytest.mark.parametrize(("life", "arrivals"), [(10, [13]), (7, [13, 20])])
def test_cement_is_not_bought_to_be_too_old_on_its_day(life, arrivals):
    # From Thursday 13 to Friday 21 are eight days.
    market = Market(terms=Terms(keep_ppm=100_000), sellers={1: Seller(key=1, trip_cost=900)})
    plan = firm.first([item((500, 14), (500, 21), life=life)], market=market, today=TODAY)
    assert [day for _material, _packs, day in lots(plan)] == arrivals


@pytest.mark.parametrize(("room", "arrivals"), [(1_100, [13]), (1_000, [13, 20])])
def test_no_more_is_bought_than_finds_room(room, arrivals):
    # Sixty kilograms lie there; 500 are needed on the 14th and on the 21st, less what lies there.
    market = Market(terms=Terms(), sellers={1: Seller(key=1, trip_cost=900)})
    one = item((560, 14), (500, 21), stock=(Stock(quantity=60),), room=room)
    plan = firm.first([one], market=market, today=TODAY)
    assert [day for _material, _packs, day in lots(plan)] == arrivals


def test_a_price_break_is_taken_where_it_costs_less():
    # 18 packs of 400 are 7,200; from 20 on a pack costs 350: 7,000 for 20.
    plan = firm.first([item((900, 14), quotes=(quote(breaks=((20, 350),)),))], market=Market(), today=TODAY)
    assert lots(plan) == [("cement", 20, 13)]


def test_a_supplier_that_comes_late_gets_its_time_or_loses_the_order():
    # One delivery in five comes two days late. With time, the order goes two working days sooner. When only
    # four working days are left, a day of standing in five (1,000) outweighs the price: it goes to the near.
    late = Record(late=(0.8, 0.0, 0.2), seen=20, pooled=20)
    market = Market(terms=Terms(stop_cost=5_000, keep_ppm=100_000), sellers={2: Seller(key=2, record=late)})
    offers = (quote(1, price=400, lead=1), quote(2, price=350, lead=3))
    early = firm.first([item((500, 21), quotes=offers)], market=market, today=TODAY)
    bought = early.sites[1][0].lots[0]
    assert (bought.chance.quote.key, date.fromordinal(bought.chance.arrival).day) == (2, 19)
    short = firm.first([item((500, 7), quotes=offers)], market=market, today=TODAY)
    assert short.sites[1][0].lots[0].chance.quote.key == 1


def test_stock_that_its_site_will_not_use_is_moved_when_the_trip_pays():
    # Site 2 keeps 400 of 1,000 for its own pour; 500 lack at site 1: 10 bags cost 4,000, a trip 1,000.
    terms = Terms(rest_ppm=500_000, freight=1_000)
    spare = item((400, 14), site=2, stock=(Stock(quantity=1_000),))
    plan = firm.first([item((500, 14)), spare], market=Market(terms=terms), today=TODAY)
    assert lots(plan) == []
    [trip] = plan.trips
    [move] = trip.moves
    assert (move.source, move.target, move.quantity) == (2, 1, 500)
    # 4,000 not spent, less 1,000 for the trip and 2,000 that ten bags would still have brought.
    assert trip.saving == 1_000
    dear = Market(terms=replace(terms, freight=2_001))
    assert firm.first([item((500, 14)), spare], market=dear, today=TODAY).trips == ()


def test_a_road_has_its_own_trip_and_tonne():
    # As above with half a tonne: 700 for the trip and 600 a tonne are 1,000; a dearer tonne is not worth it.
    terms = Terms(rest_ppm=500_000, freight=1)
    spare = item((400, 14), site=2, stock=(Stock(quantity=1_000),))
    for tonne, savings in ((600, [1_000]), (2_602, [])):
        market = Market(terms=terms, roads={(2, 1): Road(trip=700, tonne=tonne)})
        plan = firm.first([item((500, 14)), spare], market=market, today=TODAY)
        assert [trip.saving for trip in plan.trips] == savings


def test_between_sites_without_a_known_trip_nothing_is_moved():
    terms = Terms(rest_ppm=500_000)
    spare = item((400, 14), site=2, stock=(Stock(quantity=1_000),))
    for way, moved in (((2, 1), 1), ((1, 2), 0)):
        market = Market(terms=terms, roads={way: Road(trip=1_000)})
        assert len(firm.first([item((500, 14)), spare], market=market, today=TODAY).trips) == moved


def test_a_donor_never_runs_short_for_a_move():
    # What lies at site 2 serves its own pour of the 28th, so that nothing is over.
    terms = Terms(freight=1)
    spare = item((1_000, 28), site=2, stock=(Stock(quantity=1_000),))
    plan = firm.first([item((500, 14)), spare], market=Market(terms=terms), today=TODAY)
    assert plan.trips == ()
    assert moves.surplus(spare, today=TODAY) == ()


def test_what_spoils_before_its_need_is_not_moved():
    stock = (Stock(quantity=1_000, usable_until=march(13)),)
    spare = item(site=2, stock=stock)
    assert [lot.quantity for lot in moves.surplus(spare, today=TODAY)] == [1_000]
    terms = Terms(freight=1, rest_ppm=1_000_000)
    plan = firm.first([item((500, 14)), spare], market=Market(terms=terms), today=TODAY)
    assert plan.trips == ()


def test_over_the_week_s_budget_nothing_is_bought_ahead():
    # Together on the 13th both lots cost 8,000 in one week; apart they fall into two.
    sellers = {1: Seller(key=1, trip_cost=900)}
    needs = item((500, 14), (500, 21))
    for budget, packs, over in ((8_000, [20], 0), (4_000, [10, 10], 0), (3_000, [10, 10], 2)):
        market = Market(terms=Terms(week_budget=budget), sellers=sellers)
        plan = firm.first([needs], market=market, today=TODAY)
        assert ([n for _m, n, _d in lots(plan)], len(plan.over_budget)) == (packs, over)


def test_holidays_bring_the_order_forward():
    calendar = Calendar(days_off=frozenset({6}), holidays=frozenset({march(12), march(13)}))
    one = item((500, 14))
    one = replace(one, plan=replace(one.plan, calendar=calendar))
    [lot] = firm.first([one], market=Market(), today=TODAY).sites[1][0].lots
    days = [date.fromordinal(day).day for day in (lot.chance.arrival, lot.chance.order_day)]
    assert days == [11, 8]


def test_the_order_of_the_facts_means_nothing():
    terms = Terms(keep_ppm=140_000, rest_ppm=400_000, freight=700, stop_cost=9_000)
    market = Market(terms=terms, sellers={1: Seller(key=1, trip_cost=900, truck_g=2_000_000)})
    rows = [
        item(
            (500 + 70 * s, 12 + s), (400, 20 + s), site=s, material=m, stock=(Stock(quantity=900),) * (s % 3)
        )
        for s in range(1, 6)
        for m in ("cement", "sand")
    ]
    plan = firm.first(rows, market=market, today=TODAY)
    assert firm.first(rows[::-1], market=market, today=TODAY) == plan
    with pytest.raises(ValueError, match="stands twice"):
        firm.first([*rows, rows[0]], market=market, today=TODAY)


@pytest.mark.parametrize("seed", range(20))
def test_nothing_lacks_once_the_plan_is_bought(seed):
    draw = Random(seed)  # noqa: S311 - repeatable, nothing secret
    rows = [
        item(
            *((draw.randint(50, 900), day) for day in draw.sample(range(14, 60), 4)),
            site=site,
            material=material,
            life=draw.choice((None, 30)),
            stock=(Stock(quantity=draw.randint(1, 900), usable_until=draw.choice((None, march(20)))),),
            receipts=(Receipt(key="r", quantity=draw.randint(1, 600), expected=march(draw.randint(4, 40))),),
            quotes=(quote(1, lead=1), quote(2, price=380, lead=4, minimum=5, breaks=((30, 350),))),
        )
        for site in (1, 2)
        for material in ("cement", "lime")
    ]
    terms = Terms(keep_ppm=140_000, rest_ppm=400_000, freight=700)
    market = Market(terms=terms, sellers={n: Seller(key=n, trip_cost=600 * n) for n in (1, 2)})
    plan = firm.first(rows, market=market, today=TODAY)
    for bought in [one for site in plan.sites.values() for one in site]:
        assert [
            row.net for row in at_site.lacking(bought.item, today=TODAY, lots=bought.lots).days if row.net
        ] == []
