from datetime import date
from fractions import Fraction

import pytest
from django.db.models import Sum

from inventory.calc.spend import Amounts
from inventory.models import Place, ledger
from inventory.queries import spend
from projects.errors import NotAllowed, NotFound
from projects.models import Firm
from tests.factories import inventory_orders as make
from tests.factories import two_slabs
from tests.factories.cast import TODAY, actor

pytestmark = [pytest.mark.django_db, pytest.mark.data]

ROOF = Amounts(
    budget=8_000_000,
    committed=205_000,
    received=7_175_000,
    used=6_150_000,
    to_come=2_030_000,
    forecast=8_180_000,
    usage_variance=0,
    price_variance=180_000,
)
STAIR = Amounts(
    budget=800_000,
    committed=0,
    received=0,
    used=966_000,
    to_come=0,
    forecast=966_000,
    usage_variance=120_000,
    price_variance=46_000,
)


def test_each_slab_has_the_figures_worked_out_by_hand_and_the_dearest_comes_first():
    made = two_slabs.build()
    found = spend.of_firm(made.people.olga, today=TODAY)
    assert [(one.row.slab.name, one.amounts) for one in found.slabs] == [("Roof", ROOF), ("Stair", STAIR)]
    assert (found.total.budget, found.total.forecast, found.total.over_budget) == (
        8_800_000,
        9_146_000,
        346_000,
    )


def test_cost_per_square_and_cubic_metre():
    # 120 m² and 20 m³: 8,180,000 / 120 and / 20.
    made = two_slabs.build()
    roof = spend.of_slab(made.people.olga, made.roof.slab_id, today=TODAY)
    assert (roof.per_m2, roof.per_m3) == (Fraction(8_180_000, 120), Fraction(409_000))


def test_everything_bought_lies_somewhere():
    made = two_slabs.build()
    make.waste(made.people.alice, site=made.people.other_site, of=made.bags, packs=1)
    where = spend.of_firm(made.people.olga, today=TODAY).whereabouts
    assert where == spend.Whereabouts(
        bought=8_435_000,
        on_slabs=6_027_000 + 966_000,
        wasted_for_slabs=123_000,
        in_stores=1_025_000 + 252_000,
        other_works=0,
        lost_otherwise=42_000,
    )
    parts = where.on_slabs + where.wasted_for_slabs + where.in_stores
    parts += where.other_works + where.lost_otherwise
    assert parts == where.bought


def test_what_the_slabs_used_equals_the_sum_of_their_movements():
    made = two_slabs.build()
    make.issue(made.people.bob, to=made.roof, of=made.bags, packs=7)
    moves = ledger.Movement.objects.all()
    slab, waste = Place.Kind.SLAB, Place.Kind.WASTE
    came = moves.filter(target__kind=slab).aggregate(v=Sum("value_minor"))["v"]
    went = moves.filter(source__kind=slab).exclude(target__kind=waste).aggregate(v=Sum("value_minor"))["v"]
    assert spend.of_firm(made.people.olga, today=TODAY).total.used == came - went


def test_steel_priced_by_mass_is_forecast_by_its_nominal_mass():
    # 1,000 m of 12 mm at 0.888 kg/m are 888 kg; at 60.00 a kg 53,280.00.
    made = two_slabs.build()
    bars = make.steel(made.people.firm.pk)
    pour = make.pour(made.people.site, slab="Canopy", on=date(2026, 6, 1))
    line = make.Priced(
        material=bars.material, net=1_000_000, allowance=0, rate=60_000_000, amount_minor=5_328_000
    )
    make.bill(pour.slab, [line]).lines.update(rate_per="kg")
    found = spend.of_slab(made.people.olga, pour.slab_id, today=TODAY).amounts
    assert (found.budget, found.forecast, found.over_budget) == (5_328_000, 5_328_000, 0)


def test_spend_is_for_those_who_may_see_money_and_bob_sees_his_site_only():
    made = two_slabs.build()
    with pytest.raises(NotAllowed):
        spend.of_firm(made.people.bob, today=TODAY)
    Firm.objects.filter(pk=made.people.firm.pk).update(site_sees_money=True)
    bob = actor("bob")
    found = spend.of_firm(bob, today=TODAY)
    assert ([one.row.slab.name for one in found.slabs], found.whereabouts.bought) == (["Roof"], 7_175_000)
    with pytest.raises(NotFound):
        spend.of_slab(bob, made.stair.slab_id, today=TODAY)


def test_another_firm_sees_none_of_it():
    made = two_slabs.build()
    found = spend.of_firm(made.people.charlie, today=TODAY)
    assert (found.slabs, found.total, found.whereabouts.bought) == ((), Amounts(), 0)


def test_a_page_of_slabs_still_has_the_total_of_all():
    made = two_slabs.build()
    found = spend.of_firm(made.people.olga, start=1, count=1, today=TODAY)
    assert ([one.row.slab.name for one in found.slabs], found.of_all) == (["Stair"], 2)
    assert found.total.budget == 8_800_000


@pytest.mark.parametrize("slabs", [1, 3])
def test_the_number_of_queries_does_not_grow(slabs, django_assert_num_queries):
    made = two_slabs.build()
    for number in range(1, slabs):
        pour = make.pour(made.people.site, slab=f"Slab {number}", on=date(2026, 6, number))
        make.need(pour, of=made.bags, quantity=10 * make.BAG_G, on=date(2026, 6, number))
        make.issue(made.people.bob, to=pour, of=made.bags, packs=2)
    with django_assert_num_queries(25):
        found = spend.of_firm(made.people.olga, today=TODAY)
        shown = [(one.row.slab.site.name, one.per_m2, len(one.materials)) for one in found.slabs]
    assert len(shown) == slabs + 1


def test_orders_for_no_pour_are_committed_too():
    # 5 bags to come for the roof at 410.00 and 8 of 10 for nobody at 420.00: together all that is on order.
    made = two_slabs.build()
    by = made.order.supplier
    line = make.line_of(made.bags, packs=10, price=420_000_000)
    loose = make.ordered(made.people.alice, act=make.order_act(made.people.site, by=by, lines=(line,)))
    make.received(made.people.bob, order=loose, packs=(2,))
    found = spend.of_firm(made.people.olga, today=TODAY)
    assert (found.total.committed, found.committed_for_stock) == (5 * 41_000, 8 * 42_000)
