"""Each check on the reinforcement on both sides of its limit, in three profiles; limits by hand."""

from dataclasses import replace
from datetime import date

import pytest

from estimates.calc.checks.steel import amount, joints, spacing
from estimates.calc.reading.reader import BarMark, CountRule, SpacingRule
from estimates.calc.sheet.answers import Answer
from estimates.calc.steel import lengths, schedule
from estimates.calc.steel.lengths import Place
from estimates.standards import load
from tests.estimates.calc.checks.profiled import mix, sound

PROFILES = ("is", "en", "aci")
SMALL = {"is": 10, "en": 10, "aci": 10}


def rule(profile, **changes):
    """Bars of the small size at 150 along x in the bottom."""
    row = {"mark": "R1", "size_mm": SMALL[profile], "direction": "x", "spacing_mm": 150.0, "layer": "bottom"}
    return SpacingRule(**(row | changes))


def both_ways(profile, **changes):
    return (rule(profile, **changes), rule(profile, **(changes | {"mark": "R2", "direction": "y"})))


def row(**changes):
    given = {"mark": "S1", "member": "slab", "size_mm": 10, "shape": "straight", "dimensions": {"A": 3000.0}}
    return BarMark(**(given | {"per_member": 10} | changes))


def of_spacing(sheet):
    return [(one.code, str(one.severity)) for one in spacing.find(sheet, profile=load.profile(sheet.profile))]


def of_amount(sheet):
    profile = load.profile(sheet.profile)
    worked = schedule.compute(sheet, profile=profile)
    return {one.code: one for one in amount.find(sheet, schedule=worked, profile=profile)}


def of_joints(sheet):
    return {one.code: one for one in joints.find(sheet, profile=load.profile(sheet.profile))}


# --- Spacing: slab of 150 mm, cover 50, bars of 10 mm (9.5 mm for #3)


@pytest.mark.parametrize(
    # IS: main min(3d, 300), d = 150 - 50 - 5 = 95: 285; distribution min(5d, 450): 450 (475).
    # EN: main min(3h, 400): 400 (450); distribution min(3.5h, 450): 450. ACI: both 18 in = 457.2 at most,
    # main 3h = 450, distribution 5h.
    ("profile", "use", "most"),
    [
        ("is", "main", 285),
        ("is", "distribution", 450),
        ("en", "main", 400),
        ("en", "distribution", 450),
        ("aci", "main", 450),
        ("aci", "distribution", 457.2),
    ],
)
def test_spacing_most(profile, use, most):
    at = sound(profile, spacing_rules=(rule(profile, spacing_mm=float(most), use=use),))
    beyond = sound(profile, spacing_rules=(rule(profile, spacing_mm=most + 0.5, use=use),))
    assert of_spacing(at) == []
    assert of_spacing(beyond) == [("steel.spacing_most", "stop")]
    (found,) = spacing.find(beyond, profile=load.profile(profile))
    assert (found.value, found.limit, found.unit) == (most + 0.5, pytest.approx(most), "mm")


@pytest.mark.parametrize(("profile", "main"), [("is", 285), ("en", 400), ("aci", 450)])
def test_bars_of_unknown_use_that_main_bars_would_not_keep_are_a_note(profile, main):
    beyond = sound(profile, spacing_rules=(rule(profile, spacing_mm=main + 5.0),))
    assert of_spacing(beyond) == [("steel.spacing_main", "note")]


@pytest.mark.parametrize(
    # IS and EN: stone of 20 mm + 5 = 25, so 35 centre to centre for 10 mm; ACI: 4/3 x 20 = 26.67, or 1 in,
    # and 9.5 mm.
    ("profile", "least", "severity"),
    [("is", 35, "stop"), ("en", 35, "stop"), ("aci", 36.17, "warn")],
)
def test_clear_spacing_for_the_stone(profile, least, severity):
    at = sound(profile, spacing_rules=(rule(profile, spacing_mm=least + 0.01),))
    closer = sound(profile, spacing_rules=(rule(profile, spacing_mm=least - 0.5),))
    assert of_spacing(at) == []
    assert of_spacing(closer) == [("steel.spacing_clear", severity)]


@pytest.mark.parametrize(("profile", "least"), [("is", 64), ("en", 64)])
def test_clear_spacing_for_the_bar(profile, least):
    # Bars of 32 mm: as much as the bar, 64 centre to centre.
    at = sound(profile, spacing_rules=(rule(profile, size_mm=32, spacing_mm=float(least)),))
    closer = sound(profile, spacing_rules=(rule(profile, size_mm=32, spacing_mm=least - 1.0),))
    assert of_spacing(at) == []
    assert of_spacing(closer) == [("steel.spacing_clear", "stop")]


def test_clear_spacing_of_small_stone_has_the_european_least():
    # Stone of 10 mm + 5 = 15 and bars of 10 mm: 20 mm is the least.
    fine = mix(stone_kg_m3={"10": 1168.0}, stone_bulk_kg_m3={"10": 1556.0})
    at = sound("en", mix=fine, spacing_rules=(rule("en", spacing_mm=30.0),))
    closer = sound("en", mix=fine, spacing_rules=(rule("en", spacing_mm=29.0),))
    assert of_spacing(at) == []
    assert of_spacing(closer) == [("steel.spacing_clear", "stop")]


def test_rows_of_the_schedule_with_a_spacing_are_checked_too_but_not_stirrups():
    wide = CountRule(length_mm=3000, spacing_mm=500)
    sheet = sound("is", bars=(row(per_member=None, count_rule=wide),))
    assert of_spacing(sheet) == [("steel.spacing_most", "stop")]
    stirrups = row(member="beam B1", shape="stirrup", dimensions={"A": 180.0, "B": 400.0}, count_rule=wide)
    assert of_spacing(sound("is", bars=(stirrups,))) == []


# --- Least steel


@pytest.mark.parametrize(
    # Areas of a metre: IS 0.12 % of 150 mm = 180 mm², EN C30/37 (fctm 2.896) 0.26 x 2.896 / 500 = 0.1506 % of
    # d = 95: 143.1 mm², ACI 0.0018 x 150 = 270 mm². A bar of 10 mm is 78.6, 78.5, 71 mm².
    ("profile", "area", "bar", "severity"),
    [("is", 180, 78.6, "stop"), ("en", 143.1, 78.5, "stop"), ("aci", 270, 71, "warn")],
)
def test_minimum_steel(profile, area, bar, severity):
    widest = bar * 1000 / area
    enough = sound(profile, spacing_rules=both_ways(profile, spacing_mm=round(widest * 0.998, 1)))
    little = sound(profile, spacing_rules=both_ways(profile, spacing_mm=round(widest * 1.002, 1)))
    assert "steel.minimum" not in of_amount(enough)
    found = of_amount(little)["steel.minimum"]
    assert (str(found.severity), found.unit) == (severity, "mm²/m")
    assert found.limit == pytest.approx(area, rel=0.002)


def test_plain_bars_need_more():
    # IS 456: 0.15 % of 150 = 225 mm²/m for mild steel: 10 mm at 400 gives 196.
    few = both_ways("is", spacing_mm=400.0)
    assert of_amount(sound("is", spacing_rules=few)).keys() == set()
    assert "steel.minimum" in of_amount(sound("is", steel_grade="Fe250", spacing_rules=few))


def test_both_faces_count_together_where_the_code_takes_the_whole_section():
    # 10 mm at 500 in each face: 157 mm²/m each, 314 together, above 180.
    faces = [rule("is", mark=f"{layer}{way}", layer=layer, direction=way, spacing_mm=500.0)
             for layer in ("top", "bottom") for way in ("x", "y")]  # fmt: skip
    assert of_amount(sound("is", spacing_rules=tuple(faces))).keys() == set()
    assert "steel.minimum" in of_amount(sound("is", spacing_rules=tuple(faces[2:])))


def test_region_or_slanting_bars_do_not_count_for_the_whole_slab():
    part = rule("is", region=((0, 0), (2000, 0), (2000, 2000), (0, 2000)), spacing_mm=700.0)
    assert "steel.minimum" not in of_amount(sound("is", spacing_rules=(part,)))


def test_slab_with_bars_one_way_only():
    sheet = sound("is", spacing_rules=(rule("is"),))
    assert of_amount(sheet)["steel.one_way"].text == (
        "No bar runs along y over the whole slab. Ask the engineer."
    )
    with_rows = replace(sheet, bars=(row(),))
    assert "steel.one_way" not in of_amount(with_rows)


def test_row_alone_below_the_least_warns():
    # 8 mm at 300: 50.3 x 1000 / 300 = 168 mm²/m, below 180; at 250, 201.
    def with_spacing(spacing_mm):
        thin = CountRule(length_mm=3000, spacing_mm=spacing_mm)
        return of_amount(sound("is", bars=(row(size_mm=8, count_rule=thin),)))

    assert str(with_spacing(300)["steel.minimum_row"].severity) == "warn"
    assert "steel.minimum_row" not in with_spacing(250)


def test_weaker_way_of_a_european_slab():
    # EC2 9.3.1.1 (2), from memory: 20 %. 12 mm at 100 is 1131 mm²/m; 8 mm at 220 is 228.6, 20.2 %.
    strong = rule("en", size_mm=12, spacing_mm=100.0)

    def with_weak(spacing_mm):
        weak = rule("en", mark="R2", size_mm=8, direction="y", spacing_mm=spacing_mm)
        return of_amount(sound("en", spacing_rules=(strong, weak)))

    assert "steel.secondary" not in with_weak(220.0)
    assert str(with_weak(225.0)["steel.secondary"].severity) == "warn"


def test_largest_bar_of_an_indian_slab():
    # IS 456 cl. 26.5.2.2: an eighth of the thickness; 128 mm takes 16, 127 does not.
    bars = both_ways("is", size_mm=16)
    assert "steel.size_most" not in of_amount(sound("is", thickness_mm=128.0, spacing_rules=bars))
    found = of_amount(sound("is", thickness_mm=127.0, spacing_rules=bars))["steel.size_most"]
    assert (str(found.severity), found.value, found.limit) == ("stop", 16, 15.875)


@pytest.mark.parametrize("profile", PROFILES)
def test_size_of_less_than_one_stock_bar_is_a_note(profile):
    main, odd = row(size_mm=10), row(mark="S2", size_mm=16, per_member=3)
    found = of_amount(sound(profile, bars=(main, odd)))
    assert str(found["steel.one_off"].severity) == "note"
    assert "9 m of" in found["steel.one_off"].text
    more = replace(odd, per_member=5)
    assert "steel.one_off" not in of_amount(sound(profile, bars=(main, more)))
    assert "steel.one_off" not in of_amount(sound(profile, bars=(odd,)))


# --- Laps and legs


def lapped(profile, lap_mm, *, share=50.0, size=16, **changes):
    answer = Answer(
        question="lap",
        marks=("S1",),
        decision="as said",
        engineer="N. Orveld",
        dated=date(2026, 5, 11),
        lap_mm=lap_mm,
        share_percent=share,
    )
    bar = row(size_mm=size, dimensions={"A": 13_000.0})
    return of_joints(sound(profile, bars=(bar,), answers=(answer,), **changes))


@pytest.mark.parametrize(
    # IS M30, Fe 500, 16 mm: 0.87 x 500 x 16 / (4 x 2.4) = 725. EN C30/37, 16 mm, good bond, cover 50: alpha 2
    # = 0.7 (1 - 0.15 x 34 / 16 = 0.681), fbd = 2.25 x 0.7 x 2.896 / 1.5 = 3.041; 4 x 434.78 / 3.041 = 571.9;
    # x 0.7 x 1.414 (half lapped) = 566. ACI #5 at 4000 psi: 1.3 x 60000 x 0.625 / (25 x 63.246)
    # = 30.83 in = 783.
    ("profile", "needed"),
    [("is", 725), ("en", 566), ("aci", 783)],
)
def test_lap_of_the_answer_against_the_code(profile, needed):
    assert lapped(profile, needed + 2.0) == {}
    found = lapped(profile, needed - 3.0)["steel.lap_short"]
    assert (str(found.severity), round(found.limit)) == ("warn", needed)


def test_british_set_raises_lengths_to_ten():
    # As above with 435 MPa and alpha 6 of 1.4 from the table: 572.2 x 0.98 = 560.7, raised to 570.
    from estimates.calc.sheet.durability import Durability  # noqa: PLC0415 - only this test needs it

    british = Durability(values="british", surroundings="sheltered")
    assert lapped("en", 569.0, durability=british)["steel.lap_short"].limit == 570
    assert lapped("en", 570.0, durability=british) == {}


@pytest.mark.parametrize(
    # Half of the bars at one section: IS 456 cl. 26.2.5; EC2 and ACI lengthen the lap instead.
    ("profile", "share", "codes"),
    [("is", 50.0, set()), ("is", 51.0, {"steel.lap_share"}), ("en", 100.0, set()), ("aci", 100.0, set())],
)
def test_laps_all_in_one_place(profile, share, codes):
    assert set(lapped(profile, 3_000.0, share=share)) == codes


def test_answer_that_does_not_speak_of_staggering_has_all_laps_in_one_place():
    found = lapped("is", 3_000.0, share=None)["steel.lap_share"]
    assert (found.value, found.limit, str(found.severity)) == (100, 50, "warn")


@pytest.mark.parametrize(("profile", "most", "beyond"), [("is", 36, 40), ("en", 32, 40), ("aci", 36, 43)])
def test_large_bars_are_not_lapped(profile, most, beyond):
    assert "steel.lap_size" not in lapped(profile, 5_000.0, size=most)
    assert str(lapped(profile, 5_000.0, size=beyond)["steel.lap_size"].severity) == "warn"


SAID = [("is", 40), ("aci", 43)]


def test_size_is_said_as_the_trade_says_it():
    # #14 is the metric number 43 in ASTM A615M.
    said = {profile: lapped(profile, 5_000.0, size=size)["steel.lap_size"].text for profile, size in SAID}

    assert {profile: text.split(" are ")[0].rpartition(" of ")[2] for profile, text in said.items()} == {
        "is": "40 mm",
        "aci": "#14",
    }


def test_weak_concrete_without_a_figure_is_a_note():
    found = lapped("is", 900.0, grade="M15")["steel.lap_open"]
    assert str(found.severity) == "note"
    assert "15 MPa has no bond stress" in found.text


@pytest.mark.parametrize(
    # IS: radius 2d + d + 4d = 7d, at least 75 mm; EN: 2d + d + 5d = 8d = 80 (BS 8666 P without the machine's
    # 120 for 10 mm: that stands in its catalogue); ACI #3: 3 + 1 + 12 = 16 diameters of 9.5 mm = 152.
    ("profile", "least", "severity"),
    [("is", 75, "stop"), ("en", 80, "stop"), ("aci", 152, "warn")],
)
def test_leg_of_a_plain_bent_bar(profile, least, severity):
    def with_leg(length):
        bent = row(shape="l", dimensions={"A": 2000.0, "B": float(length)})
        return of_joints(sound(profile, bars=(bent,)))

    assert with_leg(least) == {}
    assert str(with_leg(least - 1)["steel.leg"].severity) == severity


def test_both_legs_of_a_u_bar_are_looked_at():
    bent = row(shape="u", dimensions={"A": 60.0, "B": 2000.0, "C": 60.0})
    found = list(joints.find(sound("is", bars=(bent,)), profile=load.profile("is")))
    assert [one.params["letter"] for one in found] == ["A", "C"]


@pytest.mark.parametrize(
    # EC2 cl. 8.9.1 from memory: 3 bars in tension, an equivalent size of 55 mm; 32 x 3^0.5 = 55.4.
    ("size", "bundle", "codes"),
    [
        (25, 3, set()),
        (25, 4, {"steel.bundle_bars"}),
        (32, 3, {"steel.bundle_size"}),
        (32, 2, set()),
    ],
)
def test_european_bundles(size, bundle, codes):
    found = of_joints(sound("en", bars=(row(size_mm=size, bundle=bundle),)))
    assert set(found) == codes
    assert {str(one.severity) for one in found.values()} <= {"warn"}


@pytest.mark.parametrize("profile", ["is", "aci"])
def test_bundles_of_four_are_allowed_elsewhere(profile):
    assert of_joints(sound(profile, bars=(row(size_mm=25, bundle=4),))) == {}


def test_lap_and_clear_distance_of_a_bundle():
    # IS: lap of three in a bundle 1.2 x 725 = 870.
    bar = row(size_mm=16, dimensions={"A": 13_000.0}, bundle=3)
    answer = Answer(
        question="lap", marks=("S1",), decision="as said", engineer="N. Orveld", dated=date(2026, 5, 11),
        lap_mm=860.0, share_percent=50.0,
    )  # fmt: skip
    found = of_joints(sound("is", bars=(bar,), answers=(answer,)))["steel.lap_short"]
    assert found.limit == pytest.approx(870)
    # Bundles of two 20 mm bars, 28.3 mm: 56 centre to centre leaves 27.7, less than the bundle.
    near = CountRule(length_mm=3000, spacing_mm=56)
    bundled = row(size_mm=20, bundle=2, count_rule=near)
    assert of_spacing(sound("is", bars=(bundled,))) == [("steel.spacing_clear", "stop")]
    assert of_spacing(sound("is", bars=(replace(bundled, bundle=None),))) == []


# --- Lengths by the sheet's code


def test_top_bars_of_a_thick_slab_have_poor_bond_in_europe_and_a_factor_in_america():
    # EC2 figure 8.2: above 250 mm; ACI: more than 12 in below the bar.
    for profile, thin, thick, factor in (("en", 250.0, 260.0, 1 / 0.7), ("aci", 300.0, 400.0, 1.3)):
        place, code = Place(size_mm=16, cover_mm=50, top=True), load.profile(profile)
        short = lengths.anchorage(sound(profile, thickness_mm=thin), place, profile=code).value
        long = lengths.anchorage(sound(profile, thickness_mm=thick), place, profile=code).value
        assert long / short == pytest.approx(factor)


def test_top_bars_with_little_cover_have_longer_laps_in_india():
    # 16 mm with cover 30, below 2 diameters: 1.4 x 725.
    place, code = Place(size_mm=16, cover_mm=30, top=True), load.profile("is")
    assert lengths.lap(sound("is"), place, profile=code).value == pytest.approx(1.4 * 725)
    ample = replace(place, cover_mm=32)
    assert lengths.lap(sound("is"), ample, profile=code).value == pytest.approx(725)


@pytest.mark.parametrize(
    # Three bars in a bundle: IS 20 % more; ACI 20 % more; EN has a rule of its own.
    ("profile", "factor"),
    [("is", 1.2), ("aci", 1.2)],
)
def test_bundles_are_anchored_longer(profile, factor):
    code, sheet = load.profile(profile), sound(profile)
    single = lengths.anchorage(sheet, Place(size_mm=16, cover_mm=60), profile=code).value
    bundle = lengths.anchorage(sheet, Place(size_mm=16, cover_mm=60, bundle=3), profile=code).value
    assert bundle / single == pytest.approx(factor)


def test_european_bundle_counts_as_one_large_bar():
    code, sheet = load.profile("en"), sound("en")
    bundle = lengths.anchorage(sheet, Place(size_mm=20, cover_mm=50, bundle=4), profile=code).value
    single = lengths.anchorage(sheet, Place(size_mm=40, cover_mm=50), profile=code).value
    assert bundle == pytest.approx(single)


@pytest.mark.parametrize("profile", PROFILES)
def test_sound_slab_with_bars_both_ways_has_no_finding(profile):
    sheet = sound(profile, spacing_rules=both_ways(profile))
    assert (of_spacing(sheet), of_amount(sheet), of_joints(sheet)) == ([], {}, {})
