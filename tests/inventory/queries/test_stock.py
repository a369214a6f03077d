from datetime import date

import pytest

from inventory.queries import counts, slips, stock
from projects.errors import NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import TODAY
from tests.factories.inventory_stock import charlies, elsewhere

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


def test_on_hand_shows_lots_oldest_first_with_ages_and_words(at):
    made.receive(at, packs=10, made_date=date(2026, 4, 20))
    made.receive(at, packs=10, made_date=date(2026, 2, 10))
    made.receive(at, packs=10, made_date=date(2026, 1, 5))
    made.receive(at, packs=10, lot_label="K9")
    made.receive(at, packs=1)

    (row,) = stock.on_hand(at.cast.alice, site_id=at.cast.site.pk, today=TODAY).rows

    assert [(lot.label, lot.age_days, lot.words) for lot in row.lots if lot.made_date] == [
        ("2026-01-05", 119, "blocked: over age"),
        ("2026-02-10", 83, "use before it is over age"),
        ("2026-04-20", 14, ""),
    ]
    assert [lot.words for lot in row.lots if not lot.made_date] == ["age not known"]
    assert (row.quantity, row.blocked, row.usable, row.without_lot) == (
        41 * BAG,
        10 * BAG,
        31 * BAG,
        BAG,
    )


def test_value_is_shown_to_who_may_see_money_alone(at):
    made.receive(at, packs=10)

    site = at.cast.site.pk
    assert stock.on_hand(at.cast.alice, site_id=site, today=TODAY).value_minor == 400_000
    assert stock.on_hand(at.cast.bob, site_id=site, today=TODAY).value_minor is None


def test_stores_are_the_actors_own(at):
    made.receive(at, packs=10)
    elsewhere(at)
    charlies(at)

    rows = stock.stores(at.cast.bob)

    assert [(row.site, row.materials, row.counted_at) for row in rows] == [(at.cast.site, 1, None)]
    assert len(stock.stores(at.cast.alice)) == 2


def test_stock_of_another_site_or_firm_is_not_found(at):
    for site in (at.cast.other_site, at.cast.charlie_site):
        with pytest.raises(NotFound):
            stock.on_hand(at.cast.bob, site_id=site.pk, today=TODAY)


def test_store_without_a_movement_is_empty(at):
    hand = stock.on_hand(at.cast.alice, site_id=at.cast.site.pk, today=TODAY)

    assert (hand.place, hand.rows, hand.value_minor) == (None, (), None)


def test_slab_holds_what_was_issued(at):
    made.receive(at, packs=10)
    made.issue(at, packs=4)

    hand = stock.at_slab(at.cast.bob, slab_id=at.pour.slab_id, today=TODAY)

    assert [row.quantity for row in hand.rows] == [4 * BAG]
    with pytest.raises(NotFound):
        stock.at_slab(at.cast.charlie, slab_id=at.pour.slab_id, today=TODAY)


def test_count_asks_for_what_was_kept_here(at):
    made.receive(at, packs=10)
    elsewhere(at)
    goods.steel(at.cast.firm.pk)

    assert [row.code for row in counts.countable(at.cast.bob, site_id=at.cast.site.pk)] == ["cement"]
    assert [row.code for row in slips.kept_materials(at.cast.bob)] == ["cement", "sand", "steel-12"]
