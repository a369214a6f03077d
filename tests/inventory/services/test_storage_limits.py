from decimal import Decimal
from fractions import Fraction

import pytest

from estimates.standards import load
from inventory.calc import storage as arithmetic
from inventory.models import StorageLimit
from inventory.queries import storage
from inventory.services import storage_limits
from inventory.services.storage_limits import LimitAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW
from tests.factories.looking import constant

pytestmark = [pytest.mark.django_db, pytest.mark.data]

TONNE = 1_000_000


@pytest.fixture
def at():
    return made.yard()


def limit(at, *, by=None, of=None, **figures):
    act = LimitAct(site_id=at.cast.site.pk, material_id=(of or at.cement).material.pk, **figures)
    return storage_limits.set_limit(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


@pytest.mark.parametrize(("high", "kilograms"), [(10, 20_000), (1, 2_000), (8, 16_000)])
def test_floor_takes_as_much_as_the_published_rule_says(high, kilograms):
    """IS 4082 by a public page: 0.75 m² for a tonne ten bags high with aisles; one layer 5 m² without."""
    assert arithmetic.bagged_kg(Fraction(15), high=high, profile=load.profile("is")) == kilograms


def test_what_is_ordered_beyond_the_floor_is_pointed_out(at):
    # 15 m² ten high take 20 t: 100 bags lie there, 100 wait, 250 are on order, so 2.5 t too much.
    limit(at, floor_m2=Decimal(15), bags_high=10)
    made.receive(at, packs=100)
    made.receive(at, packs=100, hold_reason="certificate missing")
    made.ordered(at, packs=250)

    room = storage.beyond(at.cast.alice)[0]

    assert (room.limit.capacity, room.on_hand, room.coming) == (20 * TONNE, 10 * TONNE, 12.5 * TONNE)
    assert room.beyond == 2.5 * TONNE


def test_what_fits_is_not_pointed_out(at):
    limit(at, floor_m2=Decimal(15), bags_high=10)
    made.ordered(at, packs=400)

    assert storage.beyond(at.cast.alice) == []
    assert [room.coming for room in storage.rooms(at.cast.alice)] == [20 * TONNE]


def test_heap_is_limited_by_a_figure_with_its_source(at):
    limit(at, of=at.sand, capacity=Decimal(12), source="measured: 4 × 3 × 1 m")
    limit(at, of=at.sand, capacity=Decimal(18), source="wall moved")

    assert [(row.capacity, row.source) for row in StorageLimit.objects.all()] == [(18_000_000, "wall moved")]


REFUSED = [
    ({}, "capacity"),
    ({"capacity": Decimal(5)}, "source"),
    ({"capacity": Decimal(0), "source": "x"}, "capacity"),
    ({"floor_m2": Decimal(15)}, "floor_m2"),
    ({"floor_m2": Decimal(15), "bags_high": 10, "capacity": Decimal(5)}, "floor_m2"),
    ({"floor_m2": Decimal(15), "bags_high": 11}, "bags_high"),
    ({"floor_m2": Decimal(0), "bags_high": 10}, "floor_m2"),
]


@pytest.mark.parametrize(("figures", "field"), REFUSED)
def test_limit_that_is_none_is_refused_at_its_field(at, figures, field):
    with pytest.raises(Exception, match=r"\w") as fault:
        limit(at, **figures)

    assert fault.value.field == field


def test_sand_has_no_stacks(at):
    with pytest.raises(storage_limits.BadLimit):
        limit(at, of=at.sand, floor_m2=Decimal(15), bags_high=10)


def test_only_the_firms_office_sets_limits(at):
    for who, refused in ((at.cast.bob, NotAllowed), (at.cast.charlie, NotFound)):
        with pytest.raises(refused):
            limit(at, by=who, capacity=Decimal(5), source="x")


def test_rooms_ask_a_constant_number_of_queries(at):
    limit(at, floor_m2=Decimal(15), bags_high=10)
    made.ordered(at, packs=2)

    constant(
        lambda: storage.rooms(at.cast.alice),
        more=lambda: (
            limit(at, of=at.sand, capacity=Decimal(9), source="x"),
            made.ordered(at, packs=1, of=at.sand),
        ),
    )
