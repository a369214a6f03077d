"""A design worked out and priced before anything is frozen."""

from datetime import date

import pytest

from estimates.models import Design, Material
from estimates.queries import takeoffs
from estimates.queries.takeoffs import Unworkable
from estimates.services import materials
from estimates.services.materials import PackAct
from projects.errors import NotFound
from tests.factories import estimates as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def design(team):
    return make.design(team.alice, on=make.slab(team.alice, site=team.site))


def test_preview_is_what_the_bill_freezes(team, design):
    make.with_rates(team.alice)

    priced = takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)

    bill = make.bill(team.alice, of=design)
    assert priced.complete
    assert priced.total_minor == bill.total_minor
    assert [(row.line.key, row.net, row.amount_minor) for row in priced.lines] == list(
        bill.lines.values_list("key", "net", "amount_minor")
    )


def test_what_stands_in_the_way_is_named(team, design):
    nothing = takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)
    make.with_materials(team.alice)
    no_rates = takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)

    assert "cement" in nothing.no_material
    assert no_rates.no_material == ()
    assert "Cement" in [row.name for row in no_rates.no_rate]
    assert not nothing.complete
    assert not no_rates.complete
    assert no_rates.total_minor == 0


def test_first_pack_entered_is_the_usual_one(team, design):
    cement = make.with_rates(team.alice)["cement"]
    act = PackAct(material_id=cement.pk, name="small bag", content=25_000, source="label")
    materials.add_pack(actor=team.alice, act=act, key="k", now=NOW)

    priced = takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)

    # 1.776 m³ at 400 kg are 710.3 kg: 15 bags of 50 kg.
    line = next(row.line for row in priced.lines if row.line.key == "cement")
    assert (line.pack.name, line.packs) == ("bag", 15)


def test_bars_are_packed_in_their_own_length(team, design):
    make.with_rates(team.alice)
    bar = Material.objects.get(code="steel-10").packs.order_by("id").first()
    bar.content = 6_000
    bar.save()

    priced = takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)

    # 27 × 2.96 m and 3 % make 82.3 m: 14 bars of 6 m.
    line = next(row.line for row in priced.lines if row.line.key == "steel.size.10")
    assert line.packs == 14


def test_rate_of_the_day_holds(team):
    sand = make.with_rates(team.alice)["sand"]

    assert takeoffs.rates_on(team.alice, day=date(2026, 3, 31)) == {}
    assert takeoffs.rates_on(team.alice, day=TODAY)[sand.pk].landed == 1_800_000_000
    assert takeoffs.rates_on(team.charlie, day=TODAY) == {}


@pytest.mark.parametrize("change", [{"thickness_mm": -1}, {"mix": make.SHEET["mix"] | {"method": "by_eye"}}])
def test_saved_design_that_no_longer_fits_is_refused(team, design, change):
    Design.objects.filter(pk=design.pk).update(sheet=design.sheet | change)

    with pytest.raises(Unworkable):
        takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)


def test_pack_in_a_unit_that_the_line_does_not_have_is_refused(team, design):
    make.with_rates(team.alice)
    Material.objects.filter(code="sand", firm=team.firm).update(show_unit="L")

    with pytest.raises(Unworkable):
        takeoffs.priced(team.alice, design_id=design.pk, as_of=TODAY)


def test_stranger_and_other_site_find_nothing(team):
    elsewhere = make.design(team.alice, on=make.slab(team.alice, site=team.other_site))

    for who in (team.charlie, team.bob):
        with pytest.raises(NotFound):
            takeoffs.priced(who, design_id=elsewhere.pk, as_of=TODAY)
