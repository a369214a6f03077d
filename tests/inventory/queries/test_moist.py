"""Sand lies moist and is asked for dry: the store shows both, by the last loads that make the heap up."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from inventory.calc.measuring import moisture
from inventory.calc.measuring.moisture import Load
from inventory.models import ReceiptLine, Suggestion
from inventory.queries import moist
from inventory.services import planning
from inventory.services.planning import PlanAct
from projects.access import actor as actors
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY
from tests.factories.looking import signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

M3 = 1_000_000
DAY = date(2026, 5, 15)


def bulked(at, *, packs, percent):
    """A load of sand that bulks by so much: dry it is its volume ÷ (1 + bulking)."""
    receipt = made.receive(at, packs=packs, of=at.sand)
    line = receipt.lines.get()
    dry = round(Decimal(line.accepted) / (1 + Decimal(percent) / 100))
    ReceiptLine.objects.filter(pk=line.pk).update(bulking_thousandths=percent * 1_000, dry_equivalent=dry)
    return line.accepted


def test_the_heap_is_what_came_last():
    # 9 m³: 6.5 of the last load bulk by 30 % and are 5 dry, 2.5 of the one before by 25 % and are 2.
    loads = [Load(6_500, 5_000), Load(10_000, 8_000), Load(1, 1)]
    assert moisture.dry_of_heap(9_000, loads=loads) == 7_000
    assert moisture.dry_of_heap(0, loads=loads) == 0
    assert moisture.dry_of_heap(20_000, loads=loads) == 5_000 + 8_000 + 1 + 3_499


def test_store_shows_what_its_sand_would_be_dry():
    at = made.yard()
    first = bulked(at, packs=1, percent=25)
    made.receive(at, packs=1, of=at.sand)

    found = moist.dry(at.cast.bob, site_id=at.cast.site.pk, on_hand={at.sand.material.pk: 2 * first})

    assert found == {at.sand.material.pk: first + first * 4 // 5}
    page = signed_in("bob").get(f"/stores/{at.cast.site.pk}/").content.decode()
    assert "dry " in page


def test_nothing_is_said_where_no_load_was_bulked_and_strangers_see_nothing():
    at = made.yard()
    made.receive(at, packs=1, of=at.sand)
    asked = {"site_id": at.cast.site.pk, "on_hand": {at.sand.material.pk: M3}}
    assert moist.dry(at.cast.bob, **asked) == {}
    bulked(at, packs=1, percent=20)
    assert moist.dry(at.cast.charlie, **asked) == {}


@pytest.mark.parametrize("loads", [1, 3])
def test_number_of_queries_does_not_grow(loads, django_assert_num_queries):
    at = made.yard()
    for _ in range(loads):
        bulked(at, packs=1, percent=20)
    with django_assert_num_queries(1):
        moist.dry(at.cast.bob, site_id=at.cast.site.pk, on_hand={at.sand.material.pk: M3})


def test_plan_buys_moist_what_the_bill_asks_for_dry():
    # 8 packs dry are 8 × 1.25 = 10 as they lie; 4 lie there, so 6 lack: a site without loads of its own
    # takes the firm's.
    at = made.yard()
    pack = bulked(at, packs=4, percent=25) // 4
    goods.offer(at.supplier, of=at.sand, pack_price=1_000_000)
    goods.need(at.pour, of=at.sand, quantity=8 * pack, on=DAY)
    goods.need(goods.pour(at.cast.other_site), of=at.sand, quantity=4 * pack, on=DAY)

    planning.make_plan(actor=actors.for_jobs(at.cast.firm.pk), act=PlanAct(), key="p", now=NOW)

    rows = {row.site_id: row for row in Suggestion.objects.all()}
    here, there = rows[at.cast.site.pk], rows[at.cast.other_site.pk]
    assert (here.packs, here.reason["required"], here.reason["wet_percent"]) == (6, 10 * pack, 25.0)
    assert (there.packs, there.reason["required"]) == (5, 5 * pack)
    page = signed_in("alice").get(f"/plan/{here.pk}/").content.decode()
    assert "it asks for it dry: as the loads of the last 90 days lay, 25.0 % more" in page


def test_loads_of_long_ago_say_nothing_of_the_next():
    at = made.yard()
    bulked(at, packs=4, percent=25)
    assert moist.recent(at.cast.alice, today=TODAY + timedelta(days=90))
    assert moist.recent(at.cast.alice, today=TODAY + timedelta(days=91)) == {}
    assert moist.recent(at.cast.charlie, today=TODAY) == {}
