import json
from dataclasses import replace

import pytest

from estimates.calc import bill
from estimates.calc.bill import Difference
from estimates.calc.packs import PackSize
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")
BOUGHT = [
    "cement",
    "sand",
    "stone.20",
    "stone.10",
    "admixture.waterproofer",
    "formwork.total",
    "steel.size.8",
    "steel.size.10",
    "steel.size.12",
    "steel.size.16",
    "steel.binding_wire",
    "curing.cover",
]


@pytest.fixture(scope="module")
def house():
    return drawn.ridge_house()


@pytest.fixture(scope="module")
def takeoff(house):
    return bill.compute(house, profile=IS)


def test_only_what_is_bought_has_a_material(takeoff):
    assert [line.key for line in takeoff.lines if line.material] == BOUGHT


def test_keys_stand_once(takeoff):
    keys = [line.key for line in takeoff.lines]
    assert len(keys) == len(set(keys))


def test_a_line_that_is_only_stated_orders_nothing_more(takeoff):
    stated = [line for line in takeoff.lines if line.material is None]
    assert [(line.allowance, line.surplus, line.pack) for line in stated] == [(0, 0, None)] * len(stated)


def test_allowance_stands_apart_from_net_and_surplus_from_both(takeoff):
    line = takeoff.line("steel.size.10")
    # 759.5 m of 10 mm (worked out in tests/worked/test_ridge_house.py); 3 % for cutting; 66 bars of 7.404 kg.
    assert line.net == pytest.approx(759.5 * 0.617)
    assert line.allowance == pytest.approx(759.5 * 0.617 * 0.03)
    assert line.order == pytest.approx(66 * 7.404)
    assert line.surplus == pytest.approx(66 * 7.404 - 759.5 * 0.617 * 1.03)


def test_dry_factor_that_holds_the_loss_leaves_no_allowance(takeoff):
    # 1.558 over 1.50 holds 3.87 %, more than the usual 1 % of cement and 2.5 % of sand and stone.
    for key in ("cement", "sand", "stone.20", "stone.10"):
        assert takeoff.line(key).allowance == 0
    assert "holds already" in takeoff.line("sand").allowance_percent.source


def test_dry_factor_that_holds_part_of_the_loss_leaves_the_rest(house):
    mix = replace(house.mix, method="dry_volume_152")
    takeoff = bill.compute(replace(house, mix=mix), profile=IS)
    # 1.52 holds 1.333 %; the usual allowance of sand is 2.5 %, of cement 1 %.
    assert takeoff.line("sand").allowance_percent.value == pytest.approx(2.5 - 4 / 3)
    assert takeoff.line("cement").allowance == 0


def test_allowance_of_the_sheet_is_taken_as_it_stands(house):
    takeoff = bill.compute(replace(house, allowances={"cement": 2.0}), profile=IS)
    line = takeoff.line("cement")
    assert line.allowance == pytest.approx(line.net * 0.02)
    assert line.allowance_percent.source == "design sheet: allowances"


def test_needed_is_net_and_allowance_unrounded(takeoff):
    line = takeoff.line("curing.cover")
    assert line.needed == pytest.approx(70.885 * 1.1)
    assert line.order == 78


def test_packs_of_the_firm_take_the_place_of_the_profiles(house):
    packs = {"cement": PackSize("bag", 40, "kg", "dealer"), "steel-10": PackSize("bar", 6, "m", "dealer")}
    takeoff = bill.compute(house, profile=IS, packs=packs)
    # 5,013.46 / 40 = 125.3; 482.67 kg of 10 mm in bars of 6 × 0.617 = 3.702 kg: 130.4.
    assert (takeoff.line("cement").packs, takeoff.line("steel.size.10").packs) == (126, 131)
    assert takeoff.line("sand").pack is None
    assert takeoff.line("sand").order == takeoff.line("sand").needed


def test_pack_in_a_unit_that_cannot_be_turned_is_refused(house):
    with pytest.raises(ValueError, match="the sack of cement is stated in lb"):
        bill.compute(house, profile=IS, packs={"cement": PackSize("sack", 94, "lb", "dealer")})


def test_slab_without_bars_has_no_steel_lines(house):
    takeoff = bill.compute(replace(house, bars=()), profile=IS)
    assert [line.key for line in takeoff.lines if line.key.startswith("steel")] == []


def test_take_off_carries_profile_edition_and_digests(takeoff, house):
    assert (takeoff.profile, takeoff.edition, takeoff.standards) == (IS.id, IS.edition, IS.digest)
    assert takeoff.sheet == bill.digest(house)
    assert takeoff.slab_area_m2 == pytest.approx(70.885)
    assert takeoff.concrete_m3 == pytest.approx(takeoff.line("concrete.net").net)


def test_digest_follows_the_design(house):
    assert bill.digest(house) == bill.digest(drawn.ridge_house())
    assert bill.digest(house) != bill.digest(replace(house, thickness_mm=130.0))


def test_same_sheet_gives_the_same_bill(takeoff, house):
    assert bill.compute(house, profile=IS) == takeoff


def test_as_dict_is_plain_json(takeoff):
    line = json.loads(json.dumps(takeoff.as_dict()))["lines"][0]
    assert line["key"] == "concrete.slab"
    assert line["inputs"]["thickness"] == {"value": 0.125, "unit": "m", "source": "drawing"}


def test_line_that_is_not_there_is_a_key_error(takeoff):
    with pytest.raises(KeyError):
        takeoff.line("concrete.column")


def test_compare_lists_what_a_revision_changes(house):
    before = bill.compute(house, profile=IS)
    bars = (replace(house.bars[0], per_member=60), *house.bars[1:-1])
    after = bill.compute(replace(house, bars=bars), profile=IS)
    found = {row.key: row for row in bill.compare(before, after=after)}
    assert list(found) == [
        "steel.mark.S1",
        "steel.size.8",
        "steel.size.10",
        "steel.total",
        "steel.binding_wire",
        "steel.mark.ST3",
    ]
    # Four bars of 3.92 m fewer, at 0.617 kg/m; ST3 (150 of 1.288 m at 0.395) fell away.
    assert found["steel.mark.S1"].change == pytest.approx(-4 * 3.92 * 0.617)
    assert found["steel.mark.ST3"] == Difference(
        key="steel.mark.ST3", unit="kg", before=pytest.approx(150 * 1.288 * 0.395), after=None
    )
    assert found["steel.mark.ST3"].change == pytest.approx(-150 * 1.288 * 0.395)


def test_compare_lists_a_new_line(house):
    fewer = bill.compute(replace(house, bars=house.bars[:1]), profile=IS)
    more = bill.compute(replace(house, bars=house.bars[:2]), profile=IS)
    added = {row.key for row in bill.compare(fewer, after=more) if row.before is None}
    assert added == {"steel.mark.S2", "steel.size.8"}


def test_compare_of_the_same_is_empty(takeoff):
    assert bill.compare(takeoff, after=takeoff) == ()
