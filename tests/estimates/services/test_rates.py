"""Rates: dated, never overwritten, in a unit that fits."""

from datetime import date

import pytest

from estimates.models import Rate
from estimates.services import rates
from estimates.services.rates import BadRate, RateAct, RateDateTaken
from projects.errors import KeyReused, NotAllowed, NotFound
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

DAY = date(2026, 5, 1)


def test_rate_is_set_with_all_its_parts():
    team = cast()
    sand = make.with_materials(team.alice)["sand"]
    act = RateAct(
        material_id=sand.pk,
        from_date=DAY,
        basic=1_500_000_000,
        freight=200_000_000,
        loading=50_000_000,
        tax=25_000_000,
        source="quotation of 28 April",
    )

    rate = rates.set_rate(actor=team.alice, act=act, key="k", now=NOW)

    assert rate.landed == 1_775_000_000
    assert (rate.set_by.name, rate.per) == ("Alice", "unit")
    assert rates.set_rate(actor=team.alice, act=act, key="k", now=NOW) == rate


def test_key_of_another_rate_is_refused():
    team = cast()
    kept = make.with_materials(team.alice)
    act = RateAct(material_id=kept["sand"].pk, from_date=DAY, basic=1)
    rates.set_rate(actor=team.alice, act=act, key="k", now=NOW)

    other = RateAct(material_id=kept["sand"].pk, from_date=DAY, basic=2)
    with pytest.raises(KeyReused):
        rates.set_rate(actor=team.alice, act=other, key="k", now=NOW)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"basic": -1}, "basic"),
        ({"freight": 10**15 + 1}, "freight"),
        ({"loading": -1}, "loading"),
        ({"tax": -1}, "tax"),
        ({"per": "bag"}, "per"),
        ({"per": "kg"}, "per"),
    ],
)
def test_bad_rate_is_refused(change, field):
    team = cast()
    sand = make.with_materials(team.alice)["sand"]

    act = RateAct(**{"material_id": sand.pk, "from_date": DAY, "basic": 1} | change)
    with pytest.raises(BadRate) as refused:
        rates.set_rate(actor=team.alice, act=act, key="k", now=NOW)

    assert refused.value.field == field
    assert Rate.objects.count() == 0


def test_steel_and_cement_may_be_priced_by_the_kilogram():
    team = cast()
    kept = make.with_materials(team.alice)

    for code in ("steel-16", "cement"):
        act = RateAct(material_id=kept[code].pk, from_date=DAY, basic=1, per="kg")
        assert rates.set_rate(actor=team.alice, act=act, key=code, now=NOW).per == "kg"


def test_second_rate_of_a_day_is_refused():
    team = cast()
    sand = make.with_rates(team.alice)["sand"]

    act = RateAct(material_id=sand.pk, from_date=make.RATES_FROM, basic=1)
    with pytest.raises(RateDateTaken):
        rates.set_rate(actor=team.alice, act=act, key="k", now=NOW)


@pytest.mark.parametrize("who", ["bob", "olga"])
def test_only_the_office_sets_rates(who):
    team = cast()
    sand = make.with_materials(team.alice)["sand"]

    act = RateAct(material_id=sand.pk, from_date=DAY, basic=1)
    with pytest.raises(NotAllowed):
        rates.set_rate(actor=getattr(team, who), act=act, key="k", now=NOW)


def test_stranger_finds_no_material():
    team = cast()
    sand = make.with_materials(team.alice)["sand"]

    act = RateAct(material_id=sand.pk, from_date=DAY, basic=1)
    with pytest.raises(NotFound):
        rates.set_rate(actor=team.charlie, act=act, key="k", now=NOW)
