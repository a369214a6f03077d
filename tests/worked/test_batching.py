"""Published figures of batches, moisture, bulking, gauge boxes, mass tables, densities and doses."""

import pytest

from estimates.calc import units
from estimates.calc.batch import boxes, card, moisture
from estimates.calc.batch.moisture import State
from estimates.calc.derivation import Input
from estimates.calc.mix import constituents, yields
from estimates.calc.reading.reader import Admixture, DesignedMix, MixParts, NominalVolumeMix
from estimates.calc.sheet.mix import NominalMassMix
from estimates.standards import load

IS = load.profile("is")
ONE = Input(1, "m³", "by hand")
SPLIT = {"20": 60.0, "10": 40.0}


def volume_mix(*parts, **changes):
    given = {"water_cement": 0.5, "stone_split": SPLIT} | changes
    return NominalVolumeMix(kind="nominal_volume", parts=MixParts(*parts), **given)


def net(mix, *, profile=IS, concrete=ONE):
    return {item.key: item.net for item in constituents.quantities(mix, concrete=concrete, profile=profile)}


# Bulking: a question paper, 15 over 12 cm; a test of 200 over 160 mm; slides with 540 over 430 and
# 320 over 280 mm.
@pytest.mark.parametrize(
    ("moist", "flooded", "percent", "within"),
    [(15, 12, 25, 1e-9), (200, 160, 25, 1e-9), (540, 430, 25, 0.6), (320, 280, 14.25, 0.05)],
)
def test_bulking_from_the_jar(moist, flooded, percent, within):
    assert moisture.bulking_percent(moist=moist, flooded=flooded) == pytest.approx(percent, abs=within)


# Study pages that quote IS 2386-3: moisture and bulking in percent.
@pytest.mark.parametrize(("moist", "bulking"), [(2, 15), (3, 20), (4, 25), (5, 30)])
def test_rule_table_of_bulking(moist, bulking):
    assert IS.number(f"bulking_rule.{moist}") == bulking


# Trade notes: dry sand of a slab at 8 bags/m³, and the same at 25 % of bulking, in m³.
@pytest.mark.parametrize(("dry", "moist"), [(2.55, 3.2), (5.3125, 6.6), (8.5, 10.6), (12.75, 15.9)])
def test_sand_at_a_quarter_of_bulking(dry, moist):
    heap = State(bulking_percent=25.0)
    found = moisture.by_volume("sand", volume=Input(dry, "m³", ""), state=heap)
    assert found.net == pytest.approx(moist, abs=0.05)


def test_two_volumes_at_thirty_percent_hold_one_and_a_half():
    # A page on bulking: 2 volumes of sand at 30 % hold 1.54 of dry sand.
    heap = State(bulking_percent=30.0)
    assert moisture.by_volume("sand", volume=Input(1.54, "m³", ""), state=heap).net == pytest.approx(
        2, abs=0.01
    )


def test_army_course_moisture_of_both_heaps():
    # US Army EN5466: 6 % on 1083 lb of sand and 2 % on 1768 lb of stone are 64.98 + 35.36 = 100.34 lb =
    # 12 gal; of 38.6 gal, 26.6 are added.
    sand = moisture.by_mass(
        "sand", mass=Input(1083, "lb", ""), state=State(moisture_percent=6.0), basis="ssd_free"
    )[1]
    stone = moisture.by_mass(
        "stone-20", mass=Input(1768, "lb", ""), state=State(moisture_percent=2.0), basis="ssd_free"
    )[1]
    assert (sand.net, stone.net) == pytest.approx((64.98, 35.36))
    gallons = units.convert(units.convert(sand.net + stone.net, unit="lb", to="kg"), unit="L", to="gal")
    assert gallons == pytest.approx(12, abs=0.05)
    assert 38.6 - gallons == pytest.approx(26.6, abs=0.05)


def test_volume_batch_of_one_bag_with_moist_heaps():
    # civilblog.org: 1:2:4, w/c 0.6, bag of 35 L, bulking 20 %: sand 70 L dry, 84 L moist; stone 140 L;
    # water 30 L less 4.2 and 2.1 L that the heaps carry (6 % and 1.5 % by volume) leaves 23.7 L.
    heavy = {"cement": 50 / 0.035, "sand": 1000.0, "20": 1000.0}
    mix = volume_mix(
        1, 2, 4, water_cement=0.6, stone_split={"20": 100.0}, method="absolute_volumes", bulk_kg_m3=heavy
    )
    asked = card.Asked(
        concrete_m3=1,
        batching="volume",
        mixer_l=250,
        sand=State(bulking_percent=20.0, moisture_percent=6.0),
        stone=State(moisture_percent=1.5),
    )
    found = card.make(mix, asked=asked, profile=IS)
    assert [item.net / found.bags for item in found.aggregates] == pytest.approx([84, 140])
    assert found.water.net / found.bags == pytest.approx(23.7)


def test_site_mix_1_1_5_3_for_one_bag():
    # civilsuccessonline.com: 1 bag, 1.5 boxes of sand, 3 of stone, 26 L of water at 0.52; box 1.25 ft³ =
    # 35.4 L.
    box = units.convert(1.25, unit="ft³", to="L")
    assert box == pytest.approx(35.4, abs=0.01)
    mix = volume_mix(1, 1.5, 3, water_cement=0.52)
    found = card.make(mix, asked=card.Asked(concrete_m3=6, batching="volume"), profile=IS)
    sand, *stones = (item.net for item in found.aggregates)
    # The public analysis takes 35.41 L for a bag of cement.
    assert sand / box == pytest.approx(1.5, abs=0.005)
    assert sum(stones) / box == pytest.approx(3, abs=0.01)
    assert found.water.net == pytest.approx(26, abs=0.01)


# Trade notes, one-bag batches at 8 bags/m³ and 0.125 m³: m³, bags, hours at 12, 15 and 20 batches an hour.
@pytest.mark.parametrize(
    ("m3", "bags", "hours"),
    [
        (6, 48, (4.0, 3.2, 2.4)),
        (12.5, 100, (8.3, 6.7, 5.0)),
        (20, 160, (13.3, 10.7, 8.0)),
        (30, 240, (20, 16, 12)),
    ],
)
def test_hours_of_one_mixer(m3, bags, hours):
    mix = DesignedMix(
        kind="designed",
        cement_kg_m3=400,
        water_kg_m3=200,
        sand_kg_m3=640,
        stone_kg_m3={"20": 1200},
        sand_bulk_kg_m3=1500,
        stone_bulk_kg_m3={"20": 1450},
    )
    for rate, expected in zip((12, 15, 20), hours, strict=True):
        asked = card.Asked(concrete_m3=m3, batching="mass", mixer_l=140, batches_per_hour=rate)
        found = card.make(mix, asked=asked, profile=IS)
        assert found.step("batch.yield").net == pytest.approx(0.125)
        assert found.step("bags.total").net == bags
        assert found.step("hours").net == pytest.approx(expected, abs=0.05)


def test_gauge_boxes_of_a_designed_mix():
    # civilatwork.blogspot.com, M25 at 400 kg, for a bag: 20 mm stone 64.0 L, 10 mm stone 40.4 L, water 23 L
    # (22.5 raised), at 1.46 and 1.54 kg/L. Its sand, 46.7 L, is not its 617.44 kg at 1.69 kg/L (45.7 L).
    mix = DesignedMix(
        kind="designed",
        cement_kg_m3=400,
        water_kg_m3=180,
        sand_kg_m3=617.44,
        stone_kg_m3={"20": 747.79, "10": 498.53},
        sand_bulk_kg_m3=1690,
        stone_bulk_kg_m3={"20": 1460, "10": 1540},
    )
    found = card.make(mix, asked=card.Asked(concrete_m3=5, batching="volume", mixer_l=130), profile=IS)
    sand, twenty, ten = (item.net for item in found.aggregates)
    assert (twenty, ten) == pytest.approx((64.0, 40.4), abs=0.1)
    assert sand == pytest.approx(45.67, abs=0.01)
    assert found.water.net == pytest.approx(22.5)
    assert [(box.name, box.count) for box in found.boxes] == [("sand", 2), ("stone-20", 2), ("stone-10", 2)]


def test_box_of_a_bag():
    # gharpedia.com: 33.3 × 30 × 35 cm holds 35 L.
    box = boxes.fitted("sand", litres=35.0, profile=IS)
    assert (box.length_mm, box.width_mm, box.height_mm) == (333, 300, 350)
    assert box.holds == pytest.approx(35, abs=0.05)


# IS 456 table 9, with relative densities 3.15 and 2.65 and no air: kg of cement in a cubic metre.
@pytest.mark.parametrize(
    ("row", "cement"), [("m20", 357), ("m15", 290), ("m10", 216), ("m7_5", 168), ("m5", 132)]
)
def test_table_9_by_mass_implies_less_cement_than_the_schedules(row, cement):
    mix = NominalMassMix(kind="nominal_mass", row=row, stone_split=SPLIT, air_percent=0.0)
    assert net(mix)["cement"] == pytest.approx(cement, abs=0.6)


# The same table as printed: kg of sand and stone, litres of water for one bag.
@pytest.mark.parametrize(
    ("row", "aggregate", "water"),
    [("m20", 250, 30), ("m15", 330, 32), ("m10", 480, 34), ("m7_5", 625, 45), ("m5", 800, 60)],
)
def test_table_9_for_one_bag(row, aggregate, water):
    found = net(NominalMassMix(kind="nominal_mass", row=row, stone_split=SPLIT))
    bags = found["cement"] / 50
    masses = found["sand.mass"] + found["stone.20.mass"] + found["stone.10.mass"]
    assert masses / bags == pytest.approx(aggregate)
    assert found["sand.mass"] / bags == pytest.approx(aggregate / 3)
    assert found["water"] / bags == pytest.approx(water)


def test_a_bag_at_m20_by_mass_makes_140_litres():
    # Arithmetic beside a reprint of table 9: one bag yields 0.140 m³.
    mix = NominalMassMix(kind="nominal_mass", row="m20", stone_split=SPLIT, air_percent=0.0)
    asked = card.Asked(concrete_m3=1, batching="mass", mixer_l=140)
    assert card.make(mix, asked=asked, profile=IS).step("bag.yield").net == pytest.approx(140, abs=0.5)


def test_integral_compound_at_three_percent_is_a_kilogram_and_a_half_for_a_bag():
    # Page on IS 2645: at most 3 % by mass, so 1.5 kg for a bag of 50 kg.
    dose = Admixture(material="waterproofer", dose_percent=3.0, density_kg_l=1.0)
    found = net(volume_mix(1, 1.5, 3, admixtures=(dose,)))
    assert found["admixture.waterproofer"] / (found["cement"] / 50) == pytest.approx(1.5)


def test_plasticiser_of_the_m40_mix():
    # engineeringcivil.com: 2.4 kg in a cubic metre with 400 kg of cement, which is 0.6 %.
    given = {
        "cement_kg_m3": 400,
        "water_kg_m3": 160,
        "sand_kg_m3": 660.2,
        "stone_kg_m3": {"20": 1168},
        "sand_bulk_kg_m3": 1600,
        "stone_bulk_kg_m3": {"20": 1500},
    }
    doses = ({"dose_percent": 0.6}, {"dose_kg_m3": 2.4})
    found = [
        net(
            DesignedMix(
                kind="designed",
                admixtures=({"material": "plasticiser", "density_kg_l": 1.2} | dose,),
                **given,
            )
        )
        for dose in doses
    ]
    assert [round(one["admixture.plasticiser"], 9) for one in found] == [2.0, 2.0]


def test_m40_fills_its_cubic_metre():
    # The same mix: 400 kg at 3.15, 160 L, sand 660.2 at 2.61, stone 1168 at 2.654 and 2 % of air are 1 m³.
    solid = {"cement": 3150.0, "sand": 2610.0, "20": 2654.0}
    mix = NominalMassMix(
        kind="nominal_mass",
        parts=MixParts(4.0, 6.602, 11.68),
        water_cement=0.4,
        stone_split={"20": 100.0},
        particle_kg_m3=solid,
        air_percent=2.0,
    )
    assert net(mix)["cement"] == pytest.approx(400, abs=0.2)


def test_implied_yield_of_the_public_analysis_is_above_one():
    # 400 kg of cement, 0.425 m³ of sand and 0.85 of stone with 200 L of water: at 1600 and about 1516 kg/m³,
    # 3150 and 2650 kg/m³ of solid and 1 % of air: (0.1270 + 0.2566 + 0.4863 + 0.2) / 0.99 = 1.081 m³.
    mix = volume_mix(1, 1.5, 3)
    found = constituents.quantities(mix, concrete=ONE, profile=IS)
    assert yields.implied(mix, found=found, profile=IS).net == pytest.approx(1.081, abs=0.001)


# Mixers of IS 1791 by nominal mixed batch, as a study page lists them.
@pytest.mark.parametrize(
    ("name", "litres"), [("85t", 85), ("140t", 140), ("200nt", 200), ("375nt", 375), ("500r", 500)]
)
def test_mixer_is_named_by_its_mixed_batch(name, litres):
    assert card.mixers(IS)[name].value == litres


def test_ten_seven_drum_in_litres():
    # 7 ft³ of mixed concrete.
    assert card.mixers(IS)["10_7_drum"].value == pytest.approx(units.convert(7, unit="ft³", to="L"), abs=0.3)
