"""Lists: who sees which rows, in which order, and in how many queries whatever their number."""

from dataclasses import replace
from datetime import date

import pytest

from estimates.models import Bill
from estimates.queries import bills, designs, lines, materials, rates, requirements, slabs, takeoffs
from estimates.queries.slabs import State
from estimates.services import requirements as deriving
from projects.errors import NotFound
from projects.services import pours
from projects.services import slabs as slab_acts
from projects.services.pours import ClosingAct, PouredAct
from projects.services.slabs import SlabClosingAct
from tests.factories import estimates as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

POUR_DAY = date(2026, 5, 20)


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


def poured(team, *, name):
    bill = make.billed_slab(team.alice, site=team.site, name=name)
    return bill, make.pour(team.alice, on=bill.design.slab, day=POUR_DAY)


def states(actor):
    return {row.slab.name: row.state for row in slabs.listing(actor)}


def test_state_tells_how_far_a_slab_is(team):
    make.slab(team.alice, site=team.site, name="a")
    make.design(team.alice, on=make.slab(team.alice, site=team.site, name="b"))
    make.billed_slab(team.alice, site=team.site, name="c")
    poured(team, name="d")
    make.pour(team.alice, on=make.slab(team.alice, site=team.site, name="g"), day=POUR_DAY)
    for name in ("e", "f"):
        bill, pour = poured(team, name=name)
        act = PouredAct(pour_id=pour.pk, poured_at=NOW)
        pours.mark_poured(actor=team.alice, act=act, key=f"p{name}", now=NOW)
    pours.close(actor=team.alice, act=ClosingAct(pour_id=pour.pk), key="c", now=NOW)
    slab_acts.finish(actor=team.alice, act=SlabClosingAct(slab_id=bill.design.slab_id), key="f", now=NOW)

    assert states(team.alice) == {
        "a": State.NEW,
        "b": State.IN_DESIGN,
        "c": State.BILLED,
        "d": State.PLANNED,
        "e": State.POURED,
        "f": State.FINISHED,
        "g": State.NEW,
    }


def test_list_of_slabs_has_budget_drawing_and_next_pour(team):
    bill, pour = poured(team, name="a")

    row = slabs.listing(team.alice)[0]

    assert (row.bill, row.next_pour, row.design.drawing.revision) == (bill, pour, "A")


def test_site_manager_sees_the_slabs_of_own_sites(team):
    make.billed_slab(team.alice, site=team.site, name="here")
    make.billed_slab(team.alice, site=team.other_site, name="there")

    assert set(states(team.bob)) == {"here"}
    assert set(states(team.olga)) == {"here", "there"}
    assert states(team.charlie) == {}
    assert (slabs.how_many(team.bob), slabs.how_many(team.alice)) == (1, 2)


def test_pages_of_the_list_follow_each_other(team):
    for name in "abc":
        make.slab(team.alice, site=team.site, name=name)

    assert [row.slab.name for row in slabs.listing(team.alice, start=1, count=1)] == ["b"]


@pytest.mark.parametrize("rows", [1, 3])
def test_list_of_slabs_takes_four_queries(team, rows, django_assert_num_queries):
    for number in range(rows):
        poured(team, name=f"slab {number}")

    with django_assert_num_queries(4):
        for row in slabs.listing(team.alice):
            assert row.slab.site.name
            assert row.design.drawing.number
            assert row.bill.total_minor


@pytest.mark.parametrize("rows", [1, 3])
def test_one_slab_takes_four_queries(team, rows, django_assert_num_queries):
    bill, _pour = poured(team, name="slab")
    for number in range(1, rows):
        make.bill(team.alice, of=make.design(team.alice, on=bill.design.slab, thickness_mm=125 + number))

    with django_assert_num_queries(4):
        sheet = slabs.one(team.alice, slab_id=bill.design.slab_id)
        assert [row.number for row in sheet.bills] == list(range(rows, 0, -1))
        assert [row.created_by.name for row in sheet.designs] == ["Alice"] * rows
        assert sheet.bill.number == rows
        assert not sheet.bill_is_behind


def test_bill_of_an_earlier_design_is_behind(team):
    bill = make.billed_slab(team.alice, site=team.site)
    later = make.design(team.alice, on=bill.design.slab, thickness_mm=130)

    sheet = slabs.one(team.alice, slab_id=bill.design.slab_id)

    assert sheet.bill_is_behind
    assert sheet.design == later
    assert designs.latest(team.alice, slab_id=bill.design.slab_id) == later
    assert designs.latest(team.charlie, slab_id=bill.design.slab_id) is None


def test_one_slab_bill_and_design_are_not_a_strangers(team):
    bill = make.billed_slab(team.alice, site=team.other_site)

    for who in (team.bob, team.charlie):
        with pytest.raises(NotFound):
            slabs.one(who, slab_id=bill.design.slab_id)
        with pytest.raises(NotFound):
            bills.one(who, bill_id=bill.pk)
        with pytest.raises(NotFound):
            designs.one(who, design_id=bill.design_id)


@pytest.mark.parametrize("marks", [1, 3])
def test_bill_takes_two_queries(team, marks, django_assert_num_queries):
    slab = make.slab(team.alice, site=team.site)
    bars = [make.SHEET["bars"][0] | {"mark": f"S{number}"} for number in range(marks)]
    bill = make.bill(team.alice, of=make.design(team.alice, on=slab, bars=bars))

    with django_assert_num_queries(2):
        sheet = bills.one(team.alice, bill_id=bill.pk)
        assert [key for key, _rows in sheet.groups] == ["concrete", "formwork", "steel", "curing"]
        assert len(dict(sheet.groups)["steel"]) == marks + 3


def test_bill_says_what_a_square_and_a_cubic_metre_cost(team):
    bill = make.billed_slab(team.alice, site=team.site)
    Bill.objects.filter(pk=bill.pk).update(total_minor=2_100_006)

    sheet = bills.one(team.alice, bill_id=bill.pk)

    # 12 m² and 1.776 m³: 175,000.5 goes to the even 175,000; 1,182,435.8 to 1,182,436.
    assert (sheet.area_m2, sheet.per_m2_minor, sheet.per_m3_minor) == (12.0, 175_000, 1_182_436)


def test_bought_line_keeps_net_allowance_order_and_surplus_apart(team):
    bill = make.billed_slab(team.alice, site=team.site)

    rows = {row.key: row for row in bills.one(team.alice, bill_id=bill.pk).rows}
    steel, formwork, soffit = rows["steel.size.10"], rows["formwork.total"], rows["formwork.slab_soffit"]

    # 27 × 2.96 m and 3 %, in bars of 12 m.
    assert (steel.net, steel.allowance, steel.packs, steel.order) == (79_920, 2_398, 7, 84_000)
    assert steel.surplus == 84_000 - 82_318
    assert steel.rate_unit == "kg"
    assert (formwork.packs, formwork.order, formwork.surplus) == (None, formwork.needed, 0)
    assert (soffit.bought, soffit.needed, soffit.order, soffit.surplus) == (False, None, None, None)


def test_priced_lines_read_as_the_frozen_ones(team):
    bill = make.billed_slab(team.alice, site=team.site)
    priced = takeoffs.priced(team.alice, design_id=bill.design_id, as_of=TODAY)

    frozen = bills.one(team.alice, bill_id=bill.pk).rows
    assert [replace(lines.from_priced(row), working={}) for row in priced.lines] == [
        replace(row, working={}) for row in frozen
    ]


def test_inputs_stand_in_the_order_of_the_formula(team):
    bill = make.billed_slab(team.alice, site=team.site)

    cement = next(row for row in bills.one(team.alice, bill_id=bill.pk).rows if row.key == "cement")

    formula = cement.working["formula"]
    places = [formula.index(name) for name in cement.working["inputs"]]
    assert places == sorted(places)


def test_line_without_material_or_rate_shows_its_quantity_alone(team):
    slab = make.slab(team.charlie, site=team.charlie_site)
    design = make.design(team.charlie, on=slab)
    bare = takeoffs.priced(team.charlie, design_id=design.pk, as_of=TODAY)
    make.with_materials(team.charlie)
    unpriced = takeoffs.priced(team.charlie, design_id=design.pk, as_of=TODAY)

    first, second = (
        next(lines.from_priced(row) for row in found.lines if row.line.key == "cement")
        for found in (bare, unpriced)
    )
    assert (first.bought, first.rate) == (False, None)
    assert (second.bought, second.rate, second.amount_minor, second.packs) == (True, None, None, 15)


def test_difference_lists_the_lines_that_changed(team):
    before = make.billed_slab(team.alice, site=team.site)
    bars = [make.SHEET["bars"][0], make.SHEET["bars"][1] | {"mark": "B1-9"}]
    after = make.bill(
        team.alice, of=make.design(team.alice, on=before.design.slab, thickness_mm=150, bars=bars)
    )

    found = {row.key: row for row in bills.difference(team.alice, before_id=before.pk, after_id=after.pk)}

    assert bills.earlier(team.alice, bill=after) == before
    assert bills.earlier(team.alice, bill=before) is None
    assert "steel.size.10" not in found
    assert (found["steel.mark.B1-9"].before, found["steel.mark.B1-1"].after) == (None, None)
    assert found["steel.mark.B1-1"].change == -found["steel.mark.B1-9"].change
    # 25 mm more over 12 m², less the 0.92 m² where the beam's overall depth stays.
    assert found["concrete.net"].change == pytest.approx(0.025 * (12 - 0.92))
    assert sum(row.amount_change for row in found.values()) == after.total_minor - before.total_minor


def test_bill_differs_from_itself_in_nothing(team):
    bill = make.billed_slab(team.alice, site=team.site)

    assert bills.difference(team.alice, before_id=bill.pk, after_id=bill.pk) == ()


@pytest.mark.parametrize("count", [1, 3])
def test_list_of_materials_takes_three_queries(team, count, django_assert_num_queries):
    with django_assert_num_queries(3):
        rows = materials.listing(team.alice, on=TODAY, count=count)
        assert len(rows) == count
        assert all(row.rate is not None for row in rows)


def test_materials_and_rates_are_the_firms_own(team):
    sand = next(
        row.material for row in materials.listing(team.alice, on=TODAY) if row.material.code == "sand"
    )

    assert materials.listing(team.charlie, on=TODAY) == []
    with pytest.raises(NotFound):
        materials.one(team.charlie, material_id=sand.pk)
    assert materials.one(team.alice, material_id=sand.pk) == sand
    assert list(rates.history(team.charlie, material_id=sand.pk)) == []


@pytest.mark.parametrize("count", [1, 3])
def test_history_of_rates_takes_one_query(team, count, django_assert_num_queries):
    sand = materials.listing(team.alice, on=TODAY)[0].material
    for day in range(1, count):
        act = make.RateAct(material_id=sand.pk, from_date=date(2026, 5, day), basic=day)
        make.rates.set_rate(actor=team.alice, act=act, key=f"d{day}", now=NOW)

    with django_assert_num_queries(1):
        rows = list(rates.history(team.alice, material_id=sand.pk))
        assert [(row.material.code, row.set_by.name) for row in rows] == [(sand.code, "Alice")] * count
        assert rows == sorted(rows, key=lambda row: row.from_date, reverse=True)


@pytest.mark.parametrize("count", [1, 3])
def test_list_of_needs_takes_one_query(team, count, django_assert_num_queries):
    for number in range(count):
        poured(team, name=f"slab {number}")
    deriving.derive(actor=team.alice, now=NOW)

    with django_assert_num_queries(1):
        rows = list(requirements.listing(team.alice))
        assert len(rows) == 9 * count
        assert {row.pour.slab.site.name for row in rows} == {"Mill Yard"}


def test_needs_up_to_a_day_and_of_one_slab(team):
    bill, _pour = poured(team, name="a")
    poured(team, name="b")
    deriving.derive(actor=team.alice, now=NOW)

    until = requirements.listing(team.alice, until=date(2026, 5, 13))
    of_one = requirements.listing(team.alice, slab_id=bill.design.slab_id)

    assert {row.material.code for row in until} == {"formwork"}
    assert len(of_one) == 9
    assert list(requirements.listing(team.charlie)) == []
