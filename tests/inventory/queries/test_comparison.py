from datetime import date

import pytest

from inventory.models import ledger
from inventory.queries import comparison
from inventory.services import usage
from projects.errors import NotFound
from tests.factories import inventory_orders as make
from tests.factories import two_slabs
from tests.factories.cast import NOW
from tests.factories.inventory_orders import BAG_G

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_a_slab_supplied_short_says_by_how_much_and_for_which_day():
    made = two_slabs.build()
    found = comparison.of_slab(made.people.alice, made.roof.slab_id)
    [row] = found.rows
    judged, facts = row.judged, row.judged.facts
    in_bags = {
        "designed": judged.designed,
        "ordered": facts.ordered,
        "received": facts.received,
        "issued": facts.issued,
        "returned": facts.returned,
        "used": judged.used,
        "wasted": judged.wasted,
        "left": judged.left,
        "open": facts.open_order,
        "on hand": facts.on_hand,
        "short": judged.shortage,
        "stated": row.stated,
        "short of the note": row.short_of,
    }
    assert {name: quantity / BAG_G for name, quantity in in_bags.items()} == {
        "designed": 200,
        "ordered": 180,
        "received": 175,
        "issued": 160,
        "returned": 10,
        "used": 150,
        "wasted": 3,
        "left": 25,
        "open": 5,
        "on hand": 25,
        "short": 20,
        "stated": 180,
        "short of the note": 5,
    }
    assert (judged.status, row.need_date, row.short_minor) == ("short", date(2026, 5, 18), 800_000)
    assert (found.over_minor, found.short_minor) == (0, 800_000)


def test_a_finished_slab_with_overuse_says_by_how_much():
    made = two_slabs.build()
    found = comparison.of_slab(made.people.alice, made.stair.slab_id)
    [row] = found.rows
    assert (row.judged.status, row.judged.overuse, row.over_minor) == ("over", 3 * BAG_G, 120_000)
    assert (row.judged.shortage, found.over_minor, found.short_minor) == (0, 120_000, 0)
    assert row.in_store == 7 * BAG_G


def test_an_issue_taken_back_is_no_issue_and_no_return():
    made = two_slabs.build()
    slip = make.issue(made.people.bob, to=made.roof, of=made.bags, packs=5)
    usage.reverse(
        actor=made.people.bob, act=usage.ReverseAct(slip_id=slip.pk, reason="wrong slab"), key="rv", now=NOW
    )
    [row] = comparison.of_slab(made.people.alice, made.roof.slab_id).rows
    assert (row.judged.facts.issued, row.judged.facts.returned) == (160 * BAG_G, 10 * BAG_G)
    assert ledger.Movement.objects.filter(reason="reversal").count() == 1


def test_a_receipt_taken_back_is_no_delivery():
    made = two_slabs.build()
    more = make.received(made.people.bob, order=made.order, packs=(5,))
    assert comparison.of_slab(made.people.alice, made.roof.slab_id).rows[0].stated == 185 * BAG_G
    make.taken_back(made.people.bob, receipt=more)
    [row] = comparison.of_slab(made.people.alice, made.roof.slab_id).rows
    assert (row.stated, row.judged.facts.received) == (180 * BAG_G, 175 * BAG_G)


def test_the_store_serves_the_next_pour_first():
    # 25 bags lie in the store. A slab poured before the roof and 20 bags short takes 20 of them; 5 are left.
    made = two_slabs.build()
    earlier = make.pour(made.people.site, slab="Lintel", on=date(2026, 5, 10))
    make.need(earlier, of=made.bags, quantity=20 * BAG_G, on=date(2026, 5, 9))
    lintel = comparison.of_slab(made.people.alice, earlier.slab_id).rows[0].judged
    roof = comparison.of_slab(made.people.alice, made.roof.slab_id).rows[0].judged
    assert (lintel.facts.on_hand, lintel.shortage) == (20 * BAG_G, 0)
    assert (roof.facts.on_hand, roof.shortage) == (5 * BAG_G, 40 * BAG_G)


def test_a_slab_that_is_not_ones_own_is_not_found():
    made = two_slabs.build()
    for actor, slab_id in ((made.people.charlie, made.roof.slab_id), (made.people.bob, made.stair.slab_id)):
        with pytest.raises(NotFound):
            comparison.of_slab(actor, slab_id)


@pytest.mark.parametrize("materials", [1, 3])
def test_the_number_of_queries_does_not_grow(materials, django_assert_num_queries):
    made = two_slabs.build()
    for size in range(1, materials):
        bars = make.steel(made.people.firm.pk, size_mm=10 + 2 * size)
        make.in_store(made.people.alice, site=made.people.site, of=bars, packs=20, value_minor=100_000)
        make.issue(made.people.bob, to=made.roof, of=bars, packs=10)
    with django_assert_num_queries(22):
        rows = comparison.of_slab(made.people.alice, made.roof.slab_id).rows
        assert len([row.variation.source for row in rows]) == materials
