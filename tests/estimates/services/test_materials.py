"""The firm's materials: taken over from the profile, then the firm's own."""

import pytest

from estimates.models import Material, Pack
from estimates.services import materials
from estimates.services.materials import AdoptionAct, BadPack, BadTiming, PackAct, PackNameTaken, TimingAct
from projects.errors import NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

CODES = {
    "cement",
    "sand",
    "stone-20",
    "stone-10",
    "water",
    "waterproofer",
    "plasticiser",
    "binding-wire",
    "formwork",
    "curing-cover",
    "curing-water",
    "steel-8",
    "steel-10",
    "steel-12",
    "steel-16",
    "steel-20",
    "steel-25",
    "steel-28",
    "steel-32",
}


def test_adoption_gives_every_code_that_bills_use():
    team = cast()

    kept = make.with_materials(team.alice)

    assert set(kept) == CODES
    assert {code for code, row in kept.items() if not row.stocked} == {"water", "curing-water"}
    assert Material.objects.exclude(firm=team.firm).count() == 0


def test_cover_blocks_are_kept_by_the_piece_where_they_are_asked_for():
    team = cast()
    act = AdoptionAct(beside=True)
    materials.adopt(actor=team.alice, act=act, key="materials-beside", now=NOW)

    block = Material.objects.get(firm=team.firm, code="cover-block")
    assert (block.stock_unit, block.show_unit, block.show_factor) == ("piece", "no.", 1)


# IS 1786, table of nominal mass, in g/m.
@pytest.mark.parametrize(
    ("code", "grams_per_metre"),
    [("steel-8", 395), ("steel-10", 617), ("steel-12", 888), ("steel-16", 1_580), ("steel-32", 6_310)],
)
def test_bars_carry_the_mass_of_the_table_and_its_source(code, grams_per_metre):
    kept = make.with_materials(cast().alice)

    assert kept[code].nominal_mg_per_mm == grams_per_metre
    assert kept[code].mass_source.startswith("is-1786-2008")
    assert kept[code].grade == "Fe500"


@pytest.mark.parametrize(
    ("code", "content"), [("cement", 50_000), ("sand", 500_000), ("stone-10", 500_000), ("steel-25", 12_000)]
)
def test_materials_come_with_their_usual_pack(code, content):
    kept = make.with_materials(cast().alice)

    assert [pack.content for pack in kept[code].packs.filter(mass_g=None)] == [content]


def test_thin_bars_are_sold_by_the_bundle_too():
    kept = make.with_materials(cast().alice)

    # Published (paramvisions.com, bars in one bundle): 3 bars of 16 mm of 12 m; the bar stays the usual pack.
    sold = [(pack.name, pack.content) for pack in kept["steel-16"].packs.filter(mass_g=None).order_by("id")]
    assert sold == [("bar", 12_000), ("bundle of 3", 36_000)]


def test_bars_are_sold_by_mass_too():
    kept = make.with_materials(cast().alice)

    sold = {pack.name: (pack.mass_g, pack.content) for pack in kept["steel-16"].packs.exclude(mass_g=None)}

    # 1,000 kg of 16 mm at 1.58 kg/m (IS 1786) are 632.911 m, to the millimetre.
    assert sold == {"tonne": (1_000_000, 632_911), "quintal": (100_000, 63_291), "kilogram": (1_000, 633)}
    assert not kept["cement"].packs.exclude(mass_g=None).exists()


def test_adoption_twice_adds_nothing():
    team = cast()
    make.with_materials(team.alice)

    materials.adopt(actor=team.alice, act=AdoptionAct(), key="again", now=NOW)

    assert Material.objects.count() == len(CODES)
    assert Pack.objects.filter(material__code="cement").count() == 1


def test_bars_of_another_grade_stand_beside_the_first():
    team = cast()
    make.with_materials(team.alice)

    materials.adopt(actor=team.alice, act=AdoptionAct(steel_grade="Fe550D"), key="other", now=NOW)

    grades = Material.objects.filter(size_mm=16).order_by("code").values_list("code", "grade")
    assert list(grades) == [("steel-16", "Fe500"), ("steel-16-fe550d", "Fe550D")]


def test_grade_of_another_profile_brings_the_bars_of_its_table():
    team = cast()
    make.with_materials(team.alice)

    materials.adopt(actor=team.alice, act=AdoptionAct(steel_grade="Grade 60"), key="other", now=NOW)

    bar = Material.objects.get(size_mm=13, grade="Grade 60")
    # ASTM A615, bar no. 4: 0.668 lb/ft, which is 0.994 kg/m; sold in lengths of 20 ft.
    assert (bar.name, bar.nominal_mg_per_mm) == ("Bar #4, Grade 60", 994)
    assert bar.packs.order_by("pk")[0].content == 6_096


def test_site_manager_may_not_adopt():
    with pytest.raises(NotAllowed):
        materials.adopt(actor=cast().bob, act=AdoptionAct(), key="k", now=NOW)


def test_pack_is_added():
    team = cast()
    cement = make.with_materials(team.alice)["cement"]
    act = PackAct(material_id=cement.pk, name="bag of 25 kg", content=25_000, source="printed on the bag")

    pack = materials.add_pack(actor=team.alice, act=act, key="k", now=NOW)

    assert (pack.material, pack.content) == (cement, 25_000)
    assert materials.add_pack(actor=team.alice, act=act, key="k", now=NOW) == pack


@pytest.mark.parametrize(
    ("change", "refusal", "field"),
    [
        ({"name": " "}, BadPack, "name"),
        ({"content": 0}, BadPack, "content"),
        ({"source": ""}, BadPack, "source"),
        ({"name": "bag"}, PackNameTaken, "name"),
    ],
)
def test_bad_pack_is_refused(change, refusal, field):
    team = cast()
    cement = make.with_materials(team.alice)["cement"]
    good = {"material_id": cement.pk, "name": "drum", "content": 1, "source": "label"}

    with pytest.raises(refusal) as refused:
        materials.add_pack(actor=team.alice, act=PackAct(**good | change), key="k", now=NOW)

    assert refused.value.field == field
    assert cement.packs.count() == 1


def test_stranger_finds_no_material():
    team = cast()
    cement = make.with_materials(team.alice)["cement"]
    pack = PackAct(material_id=cement.pk, name="drum", content=1, source="label")
    timing = TimingAct(material_id=cement.pk, lead_days=1, shelf_days=None)

    with pytest.raises(NotFound):
        materials.add_pack(actor=team.charlie, act=pack, key="k", now=NOW)
    with pytest.raises(NotFound):
        materials.set_timing(actor=team.charlie, act=timing, key="k", now=NOW)


def test_timing_is_set_and_needs_are_asked_for():
    team = cast()
    sand = make.with_materials(team.alice)["sand"]

    act = TimingAct(material_id=sand.pk, lead_days=3, shelf_days=None)
    materials.set_timing(actor=team.alice, act=act, key="k", now=NOW)

    sand.refresh_from_db()
    assert (sand.lead_days, sand.shelf_days) == (3, None)
    assert Outbox.objects.get().job == "estimates.requirements"


@pytest.mark.parametrize(
    ("lead_days", "shelf_days", "field"),
    [(-1, None, "lead_days"), (366, None, "lead_days"), (1, 0, "shelf_days"), (1, 366, "shelf_days")],
)
def test_days_out_of_bounds_are_refused(lead_days, shelf_days, field):
    team = cast()
    sand = make.with_materials(team.alice)["sand"]
    act = TimingAct(material_id=sand.pk, lead_days=lead_days, shelf_days=shelf_days)

    with pytest.raises(BadTiming) as refused:
        materials.set_timing(actor=team.alice, act=act, key="k", now=NOW)

    assert refused.value.field == field
