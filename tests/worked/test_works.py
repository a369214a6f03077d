"""Published figures of curing, consumables, waterproofing, plant, crew and orders of concrete."""

import pytest

from estimates.calc import packs, units
from estimates.calc.derivation import Input
from estimates.calc.mix import constituents, yields
from estimates.calc.reading.reader import Curing, DesignedMix
from estimates.calc.sheet.mix import NominalMassMix
from estimates.calc.sheet.types import Point
from estimates.calc.sheet.works import Consumable, Crew, Plant, Supply, TurnUp, Waterproofing
from estimates.calc.works import consumables, curing, plant, supply, waterproofing
from estimates.standards import load

IS, EN, ACI = (load.profile(name) for name in ("is", "en", "aci"))
TEMPERATURES = ("over_25", "15_25", "10_15", "5_10")


def days(profile, **given):
    return curing.least_days(Curing(method="ponding", **({"cement": "opc"} | given)), profile=profile).value


# A concrete maker's page with the German table to EN 13670: rapid, medium, slow, very slow.
@pytest.mark.parametrize(
    ("temperature", "row"),
    [
        ("over_25", (1, 2, 2, 3)),
        ("15_25", (1, 2, 4, 5)),
        ("10_15", (2, 4, 7, 10)),
        ("5_10", (3, 6, 10, 15)),
    ],
)
def test_german_days_of_curing(temperature, row):
    gains = ("rapid", "medium", "slow", "very_slow")
    found = [days(EN, rule="din_1045_3", strength_gain=gain, temperature=temperature) for gain in gains]
    assert tuple(found) == row


# EN 13670 annex F, from memory: classes 2, 3 and 4 at rapid, medium and slow gain.
@pytest.mark.parametrize(
    ("number", "rows"),
    [
        (2, ((1, 1.5, 2), (1, 2.5, 5), (1.5, 4, 8), (2, 5, 11))),
        (3, ((1.5, 2.5, 3.5), (2, 4, 7), (2.5, 7, 12), (3.5, 9, 18))),
        (4, ((3, 5, 6), (5, 9, 12), (7, 13, 21), (9, 18, 30))),
    ],
)
def test_european_days_of_curing(number, rows):
    for temperature, row in zip(TEMPERATURES, rows, strict=True):
        rule = f"en_13670_class_{number}"
        gains = ("rapid", "medium", "slow")
        found = [days(EN, rule=rule, strength_gain=gain, temperature=temperature) for gain in gains]
        assert tuple(found) == row


def test_british_builders_cure_reinforced_concrete_for_a_week():
    # NHBC 3.1.15: reinforced concrete, or with replacements, normally 7 days.
    assert [days(EN, cement=cement) for cement in ("opc", "blended", "unknown")] == [7, 7, 7]


# ACI 318-19 26.5.3.2 and ACI 308, from memory.
@pytest.mark.parametrize(
    ("rule", "cement", "expected"),
    [
        ("aci_318", "opc", 7),
        ("aci_318", "high_early", 3),
        ("aci_308", "opc", 7),
        ("aci_308", "blended", 10),
        ("aci_308", "high_early", 3),
    ],
)
def test_american_days_of_curing(rule, cement, expected):
    assert days(ACI, rule=rule, cement=cement) == expected


def test_ponding_fill_of_fifty_millimetres():
    # Trade notes: open ponding 50 mm deep takes 50 L/m² for one fill.
    pond = Curing(cement="opc", method="ponding", days=1)
    found = curing.water(Input(1, "m²", ""), curing=pond, profile=IS)
    assert found.inputs["depth"].value == 50


def test_mould_oil_of_three_kinds_of_sheeting():
    # paramvisions.com: 200 m² of steel, 150 of coated plywood and 80 of timber take 10.167 L.
    areas = {"steel": 200, "coated_plywood": 150, "timber": 80}
    total = sum(
        consumables.quantity(
            Consumable(item="mould_oil", method=method),
            formwork=Input(area, "m²", ""),
            slab=Input(0, "m²", ""),
            profile=IS,
        ).net
        for method, area in areas.items()
    )
    assert total == pytest.approx(10.167, abs=0.005)


def test_mould_oil_and_nails_of_published_costings():
    # A panel of 1.2 × 2.5 m at 0.36 L/m²; nails and bolts at 0.20 kg/m² of a beam's 12 m².
    panel = Input(3.0, "m²", "")
    oil = Consumable(item="mould_oil", method="panel")
    assert consumables.quantity(oil, formwork=panel, slab=panel, profile=IS).net == pytest.approx(1.08)
    beam, nails = Input(12.0, "m²", ""), Consumable(item="nails")
    assert consumables.quantity(nails, formwork=beam, slab=beam, profile=IS).net == pytest.approx(2.4)


def test_rate_that_the_sheet_states_wins():
    wanted = Consumable(item="rain_cover", rate=1.2)
    area = Input(100.0, "m²", "")
    found = consumables.quantity(wanted, formwork=area, slab=area, profile=IS)
    assert (found.net, found.inputs["rate"].source) == (120.0, "design sheet: consumables")


def test_two_coats_of_cement_slurry_take_a_bag_for_nine_square_metres():
    # Public specification: 2.75 kg/m² twice; a bag of 50 kg does 9.1 m².
    wanted = Waterproofing(system="cement_slurry")
    found = waterproofing.quantities(wanted, slab=Input(9.1, "m²", ""), outline=(), profile=IS)[1]
    assert (found.material, found.net) == ("cement", pytest.approx(50, abs=0.1))


def test_turn_ups_by_edge_height_and_length():
    # By hand: 5 × 4 m; 300 mm up edges 1 and 2 (9 m), 150 mm round a pipe of 1.2 m: 20 + 2.7 + 0.18 m².
    outline = (Point(0, 0), Point(5000, 0), Point(5000, 4000), Point(0, 4000))
    turn_ups = (TurnUp(height_mm=300, edges=(1, 2)), TurnUp(height_mm=150, length_mm=1200))
    wanted = Waterproofing(system="bitumen_primer", turn_ups=turn_ups)
    area, coats = waterproofing.quantities(wanted, slab=Input(20, "m²", ""), outline=outline, profile=IS)
    assert area.net == pytest.approx(22.88)
    assert (coats.unit, coats.net) == ("L", pytest.approx(22.88 * 0.40))


def test_turn_up_without_edges_goes_all_round():
    outline = (Point(0, 0), Point(5000, 0), Point(5000, 4000), Point(0, 4000))
    wanted = Waterproofing(system="cement_slurry", turn_ups=(TurnUp(height_mm=300),))
    area = waterproofing.quantities(wanted, slab=Input(20, "m²", ""), outline=outline, profile=IS)[0]
    assert area.net == pytest.approx(20 + 18 * 0.3)


# Analysis of rates, item 5.1.2, and the notes for 10 m³ of 1:1.5:3: days of mason, labourer, water carrier.
@pytest.mark.parametrize(
    ("norm", "m3", "expected"),
    [
        ("analysis_of_rates", 1, (0.17, 2.0, 0.9)),
        ("rate_analysis_notes_1153", 10, (1.7, 20, 9)),
        ("rate_analysis_notes_148", 10, (1, 21.3, 7)),
        ("analysis_of_rates", 6, (1, 12, 5)),
        ("analysis_of_rates", 12.5, (2, 25, 11)),
        ("analysis_of_rates", 20, (3, 40, 18)),
        ("analysis_of_rates", 30, (5, 60, 27)),
    ],
)
def test_crew_by_norm(norm, m3, expected):
    found = plant.people(Crew(norm=norm), concrete=Input(m3, "m³", ""), profile=IS)
    # The trade notes' table of slabs is in whole days.
    assert [item.net for item in found] == pytest.approx(expected, abs=0.01 if m3 in (1, 10) else 0.5)


def test_one_mixer_day_and_one_vibrator_day_for_14_3_cubic_metres():
    # Analysis of rates: 0.07 day/m³ of each; the spare vibrator is a second one.
    hired = plant.machines(Plant(), concrete=Input(14.3, "m³", ""), on_site=True, profile=IS)
    assert [item.net for item in hired] == pytest.approx([1, 2], abs=0.005)


def test_ready_mixed_concrete_needs_no_mixer():
    hired = plant.machines(Plant(), concrete=Input(14.3, "m³", ""), on_site=False, profile=IS)
    assert [item.key for item in hired] == ["plant.vibrator"]


# US Army EN5466 and the Navy's course: a retaining wall of 63.7 yd³ with 10 % of waste.
def test_army_wall_from_volume_to_purchase_units():
    # 1720.6 ft³ = 63.7 yd³, with 10 % 70.1 yd³; 7.05 sacks: 494.2, so 495; stone 123 937 lb = 62 short
    # tons, sand 75 918 lb = 38 short tons.
    yards = units.convert(1720.6, unit="ft³", to="yd³")
    assert yards == pytest.approx(63.7, abs=0.03)
    ordered = round(63.7 * 1.1, 1)
    assert ordered == 70.1
    sacks = packs.rounded_up(ordered * 7.05, pack=packs.PackSize("sack", 1, "sack", ""))
    assert (sacks.packs, ordered * 7.05) == (495, pytest.approx(494.2, abs=0.05))
    for pounds, total, tons in ((1768, 123_937, 62), (1083, 75_918, 38)):
        assert ordered * pounds == pytest.approx(total, abs=1)
        short = units.convert(ordered * pounds, unit="lb", to="sh_tn")
        assert packs.rounded_up(short, pack=packs.PackSize("ton", 1, "sh_tn", "")).packs == tons


def test_navy_wall_by_the_same_waste():
    # 63.7 × 1.10 = 70.07 yd³; sand 1153 lb: 80 790.7 lb = 40.4 short tons; 6.49 sacks: 454.8, so 455;
    # stone 60.8 short tons.
    loss = ACI.number("allowance.ready-mixed")
    ordered = 63.7 * (1 + loss / 100)
    assert ordered == pytest.approx(70.07)
    assert units.convert(ordered * 1153, unit="lb", to="sh_tn") == pytest.approx(40.4, abs=0.05)
    assert units.convert(ordered * 1735, unit="lb", to="sh_tn") == pytest.approx(60.8, abs=0.05)
    assert packs.rounded_up(ordered * 6.49, pack=packs.PackSize("sack", 1, "sack", "")).packs == 455


def test_truck_loads_of_a_large_pour():
    # A teaching case: 120 m³ in trucks of 8 m³ are 15 loads.
    eight = Supply(kind="ready_mixed", truck_m3=8.0)
    none = Input(0.0, "%", "")
    assert supply.loads(Input(120, "m³", ""), supply=eight, loss=none, profile=IS).net == 15


# NHBC 3.1.4 table 2, kg: cement, fine and coarse aggregate of the standardised prescribed mixes.
@pytest.mark.parametrize(
    ("row", "cement", "sand", "stone"),
    [
        ("st1_s1", 230, 770, 1155),
        ("st2_s2", 265, 760, 1135),
        ("st2_s3", 285, 735, 1105),
        ("st2_s4", 300, 815, 990),
        ("st3_s2", 295, 745, 1120),
        ("st4_s2", 330, 735, 1100),
        ("st5_s2", 375, 720, 1080),
        ("st5_s2_42", 337.5, 720, 1080),
    ],
)
def test_standardised_prescribed_mix(row, cement, sand, stone):
    mix = NominalMassMix(kind="nominal_mass", row=row, water_cement=0.6, stone_split={"20": 100.0})
    found = constituents.quantities(mix, concrete=Input(1, "m³", ""), profile=EN)
    net = {item.key: item.net for item in found}
    assert (net["cement"], net["sand.mass"], net["stone.20.mass"]) == pytest.approx((cement, sand, stone))
    # They fill a cubic metre within a few percent at 3150 and 2650 kg/m³ and 1 % of air.
    assert yields.implied(mix, found=found, profile=EN).net == pytest.approx(1, abs=0.06)


# Portland Cement Association, small jobs: pounds to make one cubic foot of concrete.
@pytest.mark.parametrize(
    ("row", "cement", "sand", "stone", "water"),
    [
        ("3_8", 29, 59, 46, 11),
        ("1_2", 27, 53, 55, 11),
        ("3_4", 25, 47, 65, 10),
        ("1", 24, 45, 70, 10),
        ("1_1_2", 23, 43, 75, 9),
        ("3_8_air", 29, 53, 46, 10),
        ("3_4_air", 25, 42, 65, 10),
        ("1_1_2_air", 23, 38, 75, 9),
    ],
)
def test_small_job_mix_for_one_cubic_foot(row, cement, sand, stone, water):
    mix = NominalMassMix(kind="nominal_mass", row=f"small_job_{row}", stone_split={"20": 100.0})
    foot = Input(units.convert(1, unit="ft³", to="m³"), "m³", "")
    net = {item.key: item.net for item in constituents.quantities(mix, concrete=foot, profile=ACI)}
    found = [
        units.convert(net[key], unit="kg", to="lb")
        for key in ("cement", "sand.mass", "stone.20.mass", "water")
    ]
    assert found == pytest.approx([cement, sand, stone, water], rel=1e-6)


def test_concrete_is_two_thirds_of_its_loose_volumes():
    # The same page: combined volume about two-thirds of the sum of the loose ones; a sack of 94 lb is 1 ft³.
    assert ACI.number("mix.two_thirds.dry_factor") == pytest.approx(1 / (2 / 3))
    sack = units.convert(94, unit="lb", to="kg")
    assert sack / ACI.number("density.cement") == pytest.approx(
        units.convert(1, unit="ft³", to="m³"), rel=1e-4
    )
    assert packs.defaults(ACI)["cement"].content == pytest.approx(sack)


def test_designed_mix_of_the_navy_in_sacks():
    # 610 lb of cement in a cubic yard are 6.49 sacks.
    lb_yd3 = units.convert(1, unit="lb/yd³", to="kg/m³")
    mix = DesignedMix(
        kind="designed",
        cement_kg_m3=610 * lb_yd3,
        water_kg_m3=305 * lb_yd3,
        sand_kg_m3=1152 * lb_yd3,
        stone_kg_m3={"20": 1735 * lb_yd3},
        sand_bulk_kg_m3=1600,
        stone_bulk_kg_m3={"20": 1600},
    )
    yard = Input(units.convert(1, unit="yd³", to="m³"), "m³", "")
    cement = constituents.quantities(mix, concrete=yard, profile=ACI)[0].net
    assert cement / packs.defaults(ACI)["cement"].content == pytest.approx(6.49, abs=0.005)


def test_class_b_slab_by_factors():
    # Class B at 6.48 bags/m³: 6 × 9 × 0.10 m = 5.40 m³ takes 34.99, so 35 bags.
    assert packs.rounded_up(5.4 * 6.48, pack=packs.PackSize("bag", 1, "bag", "")).packs == 35
