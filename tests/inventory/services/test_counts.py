from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.models import StockCount, StockCountLine
from inventory.models.ledger import Movement
from inventory.services import count_book, counts
from inventory.services.counts import CloseAct
from projects.errors import NotAllowed, NotFound
from projects.models import Pour
from projects.services import pours
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000
LOAD = 5_000_000


def count(at, *found, by=None, now=NOW, **more):
    act = made.count_act(at.cast.site, *found, **more)
    return counts.record(actor=by or at.cast.alice, act=act, key=made.key(), now=now)


def billed(at, *, sand: int, pour=None):
    """The pour's slab gets an issued bill with so much sand."""
    line = goods.Priced(material=at.sand.material, net=sand, allowance=0, rate=0, amount_minor=0)
    return goods.bill((pour or at.pour).slab, [line])


def test_count_that_agrees_moves_nothing():
    at = made.yard()
    made.receive(at, packs=40)

    made_count = count(at, (at.cement, "40"))

    assert made_count.lines.get().value_minor == 0
    assert Movement.objects.filter(reason="count").count() == 0


def test_missing_stock_is_an_entry_of_its_own_at_the_average():
    at = made.yard()
    made.receive(at, packs=40)

    count(at, (at.cement, "38"), explanation="two bags torn in the yard")

    line = StockCountLine.objects.get()
    assert (line.book, line.found, line.value_minor) == (40 * BAG, 38 * BAG, -80_000)
    assert made.balance("store", of=at.cement) == (38 * BAG, 38 * 40_000)
    assert made.balance("count", of=at.cement) == (2 * BAG, 80_000)
    made.assert_sound()


def test_surplus_comes_in_at_the_average():
    at = made.yard()
    made.receive(at, packs=40)

    count(at, (at.cement, "41"), explanation="one more than thought")

    assert StockCountLine.objects.get().value_minor == 40_000
    assert made.balance("store", of=at.cement) == (41 * BAG, 41 * 40_000)
    made.assert_sound()


def test_surplus_in_an_empty_store_is_worth_nothing_without_a_rate():
    at = made.yard()

    count(at, (at.cement, "3"), explanation="left by the last firm")

    assert made.balance("store", of=at.cement) == (3 * BAG, 0)


def test_difference_without_a_reason_is_refused_with_both_figures():
    at = made.yard()
    made.receive(at, packs=40)

    with pytest.raises(counts.Unexplained) as refused:
        count(at, (at.cement, "38"))

    assert refused.value.params["differences"] == [
        {"material_id": at.cement.material.pk, "book": 40 * BAG, "found": 38 * BAG}
    ]
    assert StockCount.objects.count() == 0


def test_count_by_the_keeper_is_marked():
    at = made.yard()

    assert count(at, (at.cement, "0"), by=at.cast.bob).by_keeper is True
    assert count(at, (at.cement, "0"), by=at.cast.alice).by_keeper is False


def test_count_written_down_later_is_held_against_the_book_of_its_hour():
    at = made.yard()
    made.receive(at, packs=40)
    later = NOW + timedelta(hours=3)
    issue = replace(made.issue_act(at, packs=10), happened_at=later)
    goods.usage.issue(actor=at.cast.bob, act=issue, key=made.key(), now=later)

    count(at, (at.cement, "40"), happened_at=NOW + timedelta(hours=1), now=later)

    assert StockCountLine.objects.get().book == 40 * BAG
    assert Movement.objects.filter(reason="count").count() == 0


def test_count_of_an_hour_when_the_book_was_below_nothing_is_refused():
    at = made.yard()
    made.receive(at, packs=40)
    early = replace(made.issue_act(at, packs=10), happened_at=NOW - timedelta(days=2))
    goods.usage.issue(actor=at.cast.bob, act=early, key=made.key(), now=NOW)

    with pytest.raises(count_book.BookBelowNothing):
        count(at, (at.cement, "0"), happened_at=NOW - timedelta(days=1))


def test_same_material_twice_and_no_material_are_refused():
    at = made.yard()

    with pytest.raises(counts.NoLines):
        count(at, (at.cement, "1"), (at.cement, "2"))
    with pytest.raises(counts.NoLines):
        count(at)


def test_what_a_heap_has_lost_since_the_pour_is_its_use_and_needs_no_reason():
    at = made.yard()
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)

    count(at, (at.sand, "1"))

    assert made.balance("slab", of=at.sand)[0] == 3 * LOAD
    assert Movement.objects.get(reason="use_by_count").pour == at.pour
    made.assert_sound()


def test_closing_shares_use_among_the_pours_in_proportion_to_their_bills():
    at = made.yard()
    other = goods.pour(at.cast.site, slab="Porch")
    billed(at, sand=9_000_000)
    billed(at, sand=3_000_000, pour=other)
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)
    made.placed(at, pour=other)

    made.close(at, made.count_line(at.sand, packs="1"))

    used = dict(Movement.objects.filter(reason="use_by_count").values_list("pour", "quantity"))
    # 15 m³ are gone; the bills ask for 9 and 3.
    assert used == {at.pour.pk: 11_250_000, other.pk: 3_750_000}
    assert Pour.objects.get(pk=at.pour.pk).state == "closed"
    made.assert_sound()


def test_second_pour_of_a_shared_heap_closes_with_nothing_more_to_post():
    at = made.yard()
    other = goods.pour(at.cast.site, slab="Porch")
    billed(at, sand=9_000_000)
    billed(at, sand=3_000_000, pour=other)
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)
    made.placed(at, pour=other)
    made.close(at, made.count_line(at.sand, packs="1"), happened_at=NOW + timedelta(hours=1))

    made.close(at, made.count_line(at.sand, packs="1"), pour=other, happened_at=NOW + timedelta(hours=2))

    assert made.balance("slab", of=at.sand)[0] == 3 * LOAD


def test_closing_asks_for_the_heaps_of_the_bill():
    at = made.yard()
    billed(at, sand=9_000_000)
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)

    with pytest.raises(counts.HeapMissing) as refused:
        made.close(at)

    assert refused.value.params["materials"] == ["Sand"]
    assert Pour.objects.get(pk=at.pour.pk).state == "poured"


def test_heap_with_more_than_the_book_stops_the_closing():
    at = made.yard()
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)

    with pytest.raises(counts.MoreThanBook) as refused:
        made.close(at, made.count_line(at.sand, packs="5"))

    assert "record the missing delivery" in refused.value.message


def test_pour_that_was_not_placed_cannot_be_closed():
    at = made.yard()

    with pytest.raises(pours.WrongState):
        made.close(at)


def test_closing_sent_twice_closes_once():
    at = made.yard()
    made.receive(at, packs=4, of=at.sand)
    made.placed(at)
    act = CloseAct(pour_id=at.pour.pk, happened_at=NOW, heaps=(made.count_line(at.sand, packs="1"),))

    for _again in range(2):
        counts.close_pour(actor=at.cast.bob, act=act, key="same", now=NOW)

    assert made.balance("slab", of=at.sand)[0] == 3 * LOAD


def test_strangers_find_nothing_and_the_owner_counts_nothing():
    at = made.yard()

    with pytest.raises(NotFound):
        count(at, (at.cement, "0"), by=at.cast.charlie)
    with pytest.raises(NotAllowed):
        count(at, (at.cement, "0"), by=at.cast.olga)
    act = made.count_act(at.cast.other_site, (at.cement, "0"))
    with pytest.raises(NotFound):
        counts.record(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def test_found_in_a_unit():
    at = made.yard()
    made.receive(at, packs=4, of=at.sand)
    line = replace(
        made.count_line(at.sand, packs="1"), pack_id=None, unit="m3", found=Decimal("17.5"), explanation="x"
    )
    act = replace(made.count_act(at.cast.site), lines=(line,))

    counts.record(actor=at.cast.alice, act=act, key=made.key(), now=NOW)

    assert made.balance("store", of=at.sand)[0] == 17_500_000
