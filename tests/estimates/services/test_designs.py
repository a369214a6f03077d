"""Designs: saved whole or not at all, numbered, and never twice the same."""

import json

import pytest

from estimates.calc.reading import reader as sheets
from estimates.models import Design
from estimates.services import designs
from estimates.services.designs import DesignAct, SlabFinished
from projects.errors import Faulty, KeyReused, NotAllowed, NotFound
from projects.models import Drawing
from projects.services.drawings import DrawingDiffers
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def save(by, *, slab, sheet, key="k"):
    return designs.save(actor=by, act=DesignAct(slab_id=slab.pk, sheet=sheet), key=key, now=NOW)


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def slab(team):
    return make.slab(team.alice, site=team.site)


def test_design_is_saved_with_its_drawing(team, slab):
    design = save(team.alice, slab=slab, sheet=make.sheet())

    assert (design.number, design.created_by.name) == (1, "Alice")
    assert (design.drawing.number, design.drawing.revision, design.drawing.engineer) == (
        "MY-S-01",
        "A",
        "R. Almqvist",
    )
    assert sheets.read(design.sheet) == sheets.read(make.sheet())


def test_designs_count_up_and_share_a_drawing(team, slab):
    first = save(team.alice, slab=slab, sheet=make.sheet())
    second = save(team.alice, slab=slab, sheet=make.sheet(thickness_mm=130), key="k2")

    assert (second.number, second.drawing) == (2, first.drawing)


def test_sheet_of_the_latest_design_gives_that_design(team, slab):
    first = save(team.alice, slab=slab, sheet=make.sheet())

    # The same design in other words: decimals written out, and a default spelt out.
    again = make.sheet(thickness_mm=125.0, openings=[])
    assert save(team.alice, slab=slab, sheet=again, key="k2") == first
    assert Design.objects.count() == 1


def test_order_of_names_within_a_group_makes_no_other_design(team, slab):
    # PostgreSQL gives the names of a JSON object back in an order of its own.
    first = save(team.alice, slab=slab, sheet=make.sheet(allowances={"steel": 4, "cement": 1}))
    bars = [row | {"dimensions": dict(reversed(row["dimensions"].items()))} for row in make.SHEET["bars"]]
    mix = make.SHEET["mix"] | {"stone_split": {"10": 40, "20": 60}}

    again = make.sheet(allowances={"cement": 1, "steel": 4}, mix=mix, bars=bars)

    assert save(team.alice, slab=slab, sheet=again, key="k2") == first


def test_going_back_to_an_earlier_design_is_a_new_one(team, slab):
    save(team.alice, slab=slab, sheet=make.sheet())
    save(team.alice, slab=slab, sheet=make.sheet(thickness_mm=130), key="k2")

    assert save(team.alice, slab=slab, sheet=make.sheet(), key="k3").number == 3


def test_key_sent_twice_saves_once(team, slab):
    first = save(team.alice, slab=slab, sheet=make.sheet())

    assert save(team.alice, slab=slab, sheet=make.sheet()) == first
    with pytest.raises(KeyReused):
        save(team.alice, slab=slab, sheet=make.sheet(thickness_mm=130))


def test_every_fault_is_listed_and_nothing_is_saved(team, slab):
    bad = make.sheet(thickness_mm="thick", grade="20", colour="grey")
    del bad["curing"]["method"]

    with pytest.raises(Faulty) as refused:
        save(team.alice, slab=slab, sheet=bad)

    found = {(fault.path, fault.code) for fault in refused.value.faults}
    assert found == {
        ("thickness_mm", "wrong_type"),
        ("grade", "bad_text"),
        ("colour", "unknown_field"),
        ("curing.method", "missing"),
    }
    assert (Design.objects.count(), Drawing.objects.count()) == (0, 0)


def test_drawing_without_its_date_is_a_fault(team, slab):
    with pytest.raises(Faulty) as refused:
        save(team.alice, slab=slab, sheet=make.sheet(drawing={"number": "MY-S-01"}))

    assert [fault.path for fault in refused.value.faults] == ["drawing.dated"]


def test_bar_size_that_the_profile_lacks_is_a_fault(team, slab):
    bad = make.sheet()
    bad["bars"][0]["size_mm"] = 11

    with pytest.raises(Faulty) as refused:
        save(team.alice, slab=slab, sheet=bad)

    assert [fault.path for fault in refused.value.faults] == ["bars[0].size_mm"]


def test_mix_method_that_the_profile_lacks_is_a_fault(team, slab):
    mix = make.SHEET["mix"] | {"method": "by_eye"}

    with pytest.raises(Faulty) as refused:
        save(team.alice, slab=slab, sheet=make.sheet(mix=mix))

    assert "by_eye" in refused.value.faults[0].message


def test_same_revision_with_another_date_is_refused(team, slab):
    save(team.alice, slab=slab, sheet=make.sheet())
    changed = make.SHEET["drawing"] | {"dated": "2026-04-09"}

    with pytest.raises(DrawingDiffers):
        save(team.alice, slab=slab, sheet=make.sheet(drawing=changed), key="k2")

    assert Design.objects.count() == 1


def test_finished_slab_takes_no_design(team, slab):
    slab.closed_at = NOW
    slab.save()

    with pytest.raises(SlabFinished):
        save(team.alice, slab=slab, sheet=make.sheet())


@pytest.mark.parametrize("who", ["bob", "olga"])
def test_only_the_office_saves_designs(team, slab, who):
    with pytest.raises(NotAllowed):
        save(getattr(team, who), slab=slab, sheet=make.sheet())


def test_stranger_finds_no_slab(team, slab):
    with pytest.raises(NotFound):
        save(team.charlie, slab=slab, sheet=make.sheet())


def test_saved_sheet_is_plain_json(team, slab):
    design = save(team.alice, slab=slab, sheet=make.sheet())

    assert json.loads(json.dumps(design.sheet)) == design.sheet
