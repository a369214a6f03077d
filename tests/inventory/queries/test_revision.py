"""A new bill against what was bought for the earlier one; the figures are worked out by hand.

100 bags allowed and ordered; 60 come in, 30 are used, 40 are on the road.
A bill of 70 leaves 30 without use: they can still be stopped. A bill of 50 leaves 50: 40 can be stopped, and
10 of the 60 that came lie here too much. A bill of 120 lacks 20.
"""

import pytest

from inventory.calc.revision import Bought, touched
from inventory.queries import revision
from projects.errors import NotFound
from tests.factories import inventory_orders as make
from tests.factories.cast import cast
from tests.factories.inventory_orders import BAG_G, Priced

RATE = 8_000_000
BAG_MINOR = 40_000


def a_bill(pour, *, of, bags):
    line = Priced(
        material=of.material, net=bags * BAG_G, allowance=0, rate=RATE, amount_minor=bags * BAG_MINOR
    )
    return make.bill(pour.slab, [line] if bags else [])


@pytest.fixture
def bought(db):
    people = cast()
    bags = make.cement(people.firm.pk)
    pour = make.pour(people.site)
    first = a_bill(pour, of=bags, bags=100)
    act = make.order_act(
        people.site,
        by=make.supplier(people.firm.pk),
        lines=(make.line_of(bags, packs=100, price=410_000_000, pour=pour),),
    )
    order = make.ordered(people.alice, act=act)
    make.received(people.bob, order=order, packs=(60,))
    make.issue(people.bob, to=pour, of=bags, packs=30)
    return people, bags, pour, first, order


@pytest.mark.data
@pytest.mark.parametrize(
    ("bags", "cut_back", "here_too_much", "to_buy"),
    [(70, 30, 0, 0), (50, 40, 10, 0), (120, 0, 0, 20), (0, 40, 60, 0)],
)
def test_a_new_bill_says_what_to_cut_back_and_what_lies_here(bought, bags, cut_back, here_too_much, to_buy):
    people, cement, pour, _, order = bought
    later = a_bill(pour, of=cement, bags=bags)
    [row] = revision.of_bill(people.alice, later.pk).rows
    found = (row.touched.cut_back, row.touched.here_too_much, row.touched.to_buy)
    assert found == (cut_back * BAG_G, here_too_much * BAG_G, to_buy * BAG_G)
    assert (row.before, row.after, row.received, row.used, row.open_order) == (
        100 * BAG_G,
        bags * BAG_G,
        60 * BAG_G,
        30 * BAG_G,
        40 * BAG_G,
    )
    assert [line.row.order_id for line in row.open_lines] == [order.pk]


@pytest.mark.data
def test_an_unchanged_bill_touches_nothing(bought):
    people, cement, pour, first, _ = bought
    assert revision.of_bill(people.alice, first.pk).before is None
    later = a_bill(pour, of=cement, bags=100)
    assert revision.of_bill(people.alice, later.pk).rows == ()


@pytest.mark.data
def test_less_than_a_pack_too_much_is_rounding():
    assert touched(Bought(allowed=1_010, received=0, open_order=1_050, pack=50)).fits


def test_bought_figures_below_nothing_are_refused():
    with pytest.raises(ValueError, match="open_order -1 must be 0 or more"):
        Bought(allowed=1, received=0, open_order=-1, pack=1)
    with pytest.raises(ValueError, match="a pack of 0 must hold more than 0"):
        Bought(allowed=1, received=0, open_order=0, pack=0)


@pytest.mark.data
def test_a_stranger_finds_no_bill(bought):
    people, _, _, first, _ = bought
    with pytest.raises(NotFound):
        revision.of_bill(people.charlie, first.pk)


@pytest.mark.data
def test_the_number_of_queries_does_not_grow(bought, django_assert_num_queries):
    people, cement, pour, _, _ = bought
    later = a_bill(pour, of=cement, bags=70)
    with django_assert_num_queries(9):
        revision.of_bill(people.alice, later.pk)
    sand = make.sand(people.firm.pk)
    act = make.order_act(
        people.site,
        by=make.supplier(people.firm.pk, name="Hillfoot Sand Pit"),
        lines=(make.line_of(sand, packs=2, price=1_000_000, pour=pour),),
    )
    make.ordered(people.alice, act=act)
    with django_assert_num_queries(9):
        assert len(revision.of_bill(people.alice, later.pk).rows) == 2
