"""What slabs still need, pour by pour: the plan, the comparison and the forecast must say the same.

NOW is Monday 4 May 2026. A bag of cement is 50 kg and estimated at 400.00, 40,000 minor units.
"""

from datetime import date

import pytest

from inventory.queries import comparison, spend
from projects.models import Pour
from projects.services import pours
from tests.factories import inventory_orders as make
from tests.factories import inventory_stock as stock
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG, M3 = make.BAG_G, 1_000_000


def _rows(people, pour):
    found = comparison.of_slab(people.alice, pour.slab_id)
    return {row.figures.material.code: row.judged for row in found.rows}


def _cement_line(bags, *, net, allowance=0):
    amount = (net + allowance) * 40_000
    return make.Priced(
        material=bags.material, net=net * BAG, allowance=allowance * BAG, rate=8_000_000, amount_minor=amount
    )


def _north_and_south(*, in_store, issued):
    """A slab of 100 bags in two pours, 60 and 40; the north one is closed with what it was issued."""
    people = cast()
    bags = make.cement(people.firm.pk)
    make.supplier(people.firm.pk)
    north = make.pour(people.site, name="north", on=date(2026, 5, 4))
    south = make.pour(people.site, name="south", on=date(2026, 5, 20))
    for pour, share in ((north, 600_000), (south, 400_000)):
        Pour.objects.filter(pk=pour.pk).update(share_ppm=share)
    make.bill(north.slab, [_cement_line(bags, net=100)])
    make.in_store(people.alice, site=people.site, of=bags, packs=in_store, value_minor=in_store * 40_000)
    make.issue(people.bob, to=north, of=bags, packs=issued)
    pours.mark_poured(actor=people.bob, act=pours.PouredAct(north.pk, NOW), key="m", now=NOW)
    pours.close(actor=people.bob, act=pours.ClosingAct(north.pk), key="c", now=NOW)
    return people, south


def test_what_the_first_pour_took_too_much_is_not_taken_from_the_second():
    # North took 66 of its 60. South still needs its 40: 34 lie in the store, 6 are short.
    # Forecast 106 bags x 40,000 = 4,240,000, against a budget of 4,000,000: 240,000 by usage.
    people, south = _north_and_south(in_store=100, issued=66)
    judged = _rows(people, south)["cement"]
    assert (judged.facts.on_hand, judged.shortage, judged.status) == (34 * BAG, 6 * BAG, "short")
    money = spend.of_slab(people.alice, south.slab_id, today=TODAY).amounts
    assert (money.used, money.to_come, money.forecast) == (2_640_000, 1_600_000, 4_240_000)
    assert (money.usage_variance, money.price_variance, money.over_budget) == (240_000, 0, 240_000)


def test_what_the_first_pour_saved_is_not_asked_for_again():
    # North took 56 of its 60. South needs 40, and 40 lie in the store: nothing is short.
    people, south = _north_and_south(in_store=96, issued=56)
    judged = _rows(people, south)["cement"]
    assert (judged.facts.on_hand, judged.shortage, judged.status) == (40 * BAG, 0, "enough")
    money = spend.of_slab(people.alice, south.slab_id, today=TODAY).amounts
    assert (money.forecast, money.usage_variance) == (96 * 40_000, -4 * 40_000)


def test_what_is_lost_beyond_the_allowance_is_short_and_forecast():
    # 100 bags and 4 as loss, all issued; 10 lost, so 6 have to come again: 110 bags x 40,000 in the end.
    people = cast()
    bags = make.cement(people.firm.pk)
    make.supplier(people.firm.pk)
    pour = make.pour(people.site)
    make.bill(pour.slab, [_cement_line(bags, net=100, allowance=4)])
    make.in_store(people.alice, site=people.site, of=bags, packs=104, value_minor=104 * 40_000)
    make.issue(people.bob, to=pour, of=bags, packs=104)
    make.waste(people.bob, site=people.site, of=bags, packs=10, pour=pour)
    judged = _rows(people, pour)["cement"]
    assert (judged.used, judged.cast, judged.shortage) == (104 * BAG, 94 * BAG, 6 * BAG)
    money = spend.of_slab(people.alice, pour.slab_id, today=TODAY).amounts
    assert (money.forecast, money.usage_variance, money.price_variance) == (110 * 40_000, 6 * 40_000, 0)


def _floor_and_roof(people, sand):
    """Two slabs of 10 m³ of sand each: the floor placed now and not closed, the roof to come."""
    line = make.Priced(material=sand.material, net=10 * M3, allowance=0, rate=10_000_000, amount_minor=10_000)
    floor = make.pour(people.site, slab="Floor", on=date(2026, 5, 4))
    roof = make.pour(people.site, on=date(2026, 5, 20))
    for pour in (floor, roof):
        make.bill(pour.slab, [line])
    pours.mark_poured(actor=people.bob, act=pours.PouredAct(floor.pk, NOW), key="m", now=NOW)
    return floor, roof


def test_a_heap_belongs_to_the_pour_that_was_cast_from_it():
    # 15 m³ in the book: 10 are in the floor, 5 are left for the roof's 10.
    people = cast()
    sand = make.sand(people.firm.pk)
    make.supplier(people.firm.pk)
    floor, roof = _floor_and_roof(people, sand)
    make.in_store(people.alice, site=people.site, of=sand, packs=3, value_minor=15_000)
    on_roof, on_floor = _rows(people, roof)["sand"], _rows(people, floor)["sand"]
    assert (on_roof.facts.on_hand, on_roof.shortage) == (5 * M3, 5 * M3)
    assert (on_floor.facts.on_hand, on_floor.shortage, on_floor.status) == (10 * M3, 0, "enough")


def test_nothing_of_a_pour_that_was_cast_is_short():
    # Only 5 m³ were ever booked in: the pour is done, nothing is to buy for it, and nothing is left.
    people = cast()
    sand = make.sand(people.firm.pk)
    make.supplier(people.firm.pk)
    floor, roof = _floor_and_roof(people, sand)
    make.in_store(people.alice, site=people.site, of=sand, packs=1, value_minor=5_000)
    assert (_rows(people, floor)["sand"].shortage, _rows(people, roof)["sand"].shortage) == (0, 10 * M3)


def test_a_heap_that_was_counted_after_the_pour_is_for_the_next():
    # Of 15 m³, 8 are found the day after: 7 went to the floor, the roof has 8 and lacks 2.
    people = cast()
    sand = make.sand(people.firm.pk)
    make.supplier(people.firm.pk)
    make.in_store(people.alice, site=people.site, of=sand, packs=3, value_minor=15_000)
    _floor, roof = _floor_and_roof(people, sand)
    later = make.later(1)
    act = stock.count_act(people.site, (sand, "1.6"), happened_at=later)
    stock.counts.record(actor=people.bob, act=act, key="ct", now=later)
    judged = _rows(people, roof)["sand"]
    assert (judged.facts.on_hand, judged.shortage) == (8 * M3, 2 * M3)


def test_cement_over_age_on_the_day_of_the_pour_is_not_on_hand():
    # 90 days from 1 March end on 30 May: good for the pour of 20 May, blocked for that of 5 June.
    people = cast()
    bags = make.cement(people.firm.pk, shelf_days=90)
    make.supplier(people.firm.pk)
    make.in_store(
        people.alice, site=people.site, of=bags, packs=100, value_minor=4_000_000, made=date(2026, 3, 1)
    )
    soon, late = make.pour(people.site, slab="Soon"), make.pour(people.site, slab="Late", on=date(2026, 6, 5))
    for pour in (soon, late):
        make.bill(pour.slab, [_cement_line(bags, net=40)])
    for pour, on_hand in ((soon, 40), (late, 0)):
        judged = _rows(people, pour)["cement"]
        assert (judged.facts.on_hand, judged.shortage) == (on_hand * BAG, (40 - on_hand) * BAG)


def test_what_one_slab_needs_no_more_of_its_orders_serves_the_next():
    # The lintel, poured first, takes its 30 bags from the store's 50, so its 10 on order are free.
    # The roof needs 60: 20 from the store, 20 of its own order, those 10, and 5 ordered for nobody: 5 short.
    # To come: 20 x 400 + 20 x 410 + 10 x 420 + 5 x 430 + 5 at the estimate of 400.
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    roof, lintel = make.pour(people.site), make.pour(people.site, slab="Lintel", on=date(2026, 5, 12))
    make.bill(roof.slab, [_cement_line(bags, net=60)])
    make.bill(lintel.slab, [_cement_line(bags, net=30)])
    make.in_store(people.alice, site=people.site, of=bags, packs=50, value_minor=50 * 40_000)
    for pour, packs, rupees in ((roof, 20, 410), (lintel, 10, 420), (None, 5, 430)):
        line = make.line_of(bags, packs=packs, price=rupees * 1_000_000, pour=pour)
        make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=(line,)))
    judged = _rows(people, roof)["cement"]
    facts = judged.facts
    in_bags = [one / BAG for one in (facts.on_hand, facts.open_order, facts.spare_order, judged.shortage)]
    assert in_bags == [20, 20, 15, 5]
    assert _rows(people, lintel)["cement"].status == "enough"
    money = spend.of_slab(people.alice, roof.slab_id, today=TODAY).amounts
    assert (money.committed, money.to_come) == (20 * 41_000, 800_000 + 820_000 + 420_000 + 215_000 + 200_000)


@pytest.mark.parametrize("slabs", [1, 3])
def test_the_number_of_queries_does_not_grow_with_placed_and_shared_pours(slabs, django_assert_num_queries):
    people, _south = _north_and_south(in_store=100, issued=66)
    sand = make.sand(people.firm.pk)
    line = make.Priced(material=sand.material, net=10 * M3, allowance=0, rate=0, amount_minor=0)
    for number in range(slabs):
        pour = make.pour(people.site, slab=f"Floor {number}", on=date(2026, 5, 4))
        make.bill(pour.slab, [line])
        pours.mark_poured(actor=people.bob, act=pours.PouredAct(pour.pk, NOW), key=f"m{number}", now=NOW)
    with django_assert_num_queries(31):
        assert len(spend.of_firm(people.olga, today=TODAY).slabs) == 1 + slabs
