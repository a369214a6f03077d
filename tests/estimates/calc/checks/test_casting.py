"""Each check on both sides of its limit; the example's findings are in tests/worked/test_ridge_house.py."""

from dataclasses import replace
from datetime import date

import pytest

from estimates.calc.checks import casting as checks
from estimates.calc.checks import finding
from estimates.calc.reading.reader import DesignedMix, MixParts
from estimates.calc.sheet.answers import Answer
from estimates.calc.sheet.falsework import Falsework, HireItem
from estimates.calc.sheet.joints import ConstructionJoint
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")


@pytest.fixture(scope="module")
def sound():
    """A sheet without a finding: the example with what its findings ask for."""
    house = drawn.ridge_house()
    curing = replace(house.curing, cement="opc")
    props = Falsework(drawing_number="FW-1", designer="T. E.", items=(HireItem(name="prop", number=60),))
    sound = replace(house, exposure="mild", curing=curing, bars=(), openings=(), falsework=props)
    assert checks.find(sound, profile=IS) == ()
    return sound


def test_joint_without_engineer_or_date_is_asked_for(sound):
    line = ((0, 2000), (9200, 2000))
    bare, agreed = (
        ConstructionJoint(name="J1", line=line, **more)
        for more in ({}, {"engineer": "N. Orveld", "agreed": "2026-05-11"})
    )

    assert set(found(replace(sound, construction_joints=(bare,)))) == {"joint.agreed"}
    assert found(replace(sound, construction_joints=(agreed,))) == {}


def found(sheet):
    return {row.code: row for row in checks.find(sheet, profile=IS)}


def designed(**changes):
    given = {
        "cement_kg_m3": 400.0,
        "water_kg_m3": 180.0,
        "sand_kg_m3": 660.0,
        "stone_kg_m3": {"20": 701.0, "10": 467.0},
        "sand_bulk_kg_m3": 1650.0,
        "stone_bulk_kg_m3": {"20": 1402.0, "10": 1556.0},
    }
    return DesignedMix(kind="designed", **(given | changes))


# IS 456 table 5 for reinforced concrete: least grade and most water/cement; table 16: nominal cover.
# Both as reprinted in public lecture notes (scribd.com documents 315648009 and 429648732).
@pytest.mark.parametrize(
    ("exposure", "grade", "water_cement", "cover"),
    [
        ("mild", 20, 0.55, 20),
        ("moderate", 25, 0.50, 30),
        ("severe", 30, 0.45, 45),
        ("very_severe", 35, 0.45, 50),
        ("extreme", 40, 0.40, 75),
    ],
)
def test_exposure_limits(sound, exposure, grade, water_cement, cover):
    cement = 400.0
    at = replace(
        sound,
        exposure=exposure,
        grade=f"M{grade}",
        cover_mm=float(cover),
        beam_cover_mm=float(cover),
        mix=designed(cement_kg_m3=cement, water_kg_m3=cement * water_cement),
    )
    # Stone of 20 mm in a beam with cover of 20 mm is a warning of its own.
    assert set(found(at)) <= {"stone.cover"}
    beyond = replace(
        at,
        grade=f"M{grade - 1}",
        cover_mm=cover - 1.0,
        beam_cover_mm=cover - 1.0,
        mix=designed(cement_kg_m3=cement, water_kg_m3=cement * (water_cement + 0.01)),
    )
    rows = {code: str(row.severity) for code, row in found(beyond).items() if code != "stone.cover"}
    assert rows == dict.fromkeys(
        ("exposure.grade", "exposure.water_cement", "exposure.slab_cover", "exposure.beam_cover"), "stop"
    )


def test_slab_without_beams_has_no_beam_cover_to_check(sound):
    bare = replace(sound, beams=(), beam_cover_mm=None)
    assert found(bare) == {}


# IS 456 table 5: least cement 300 kg/m³ for mild exposure and 20 mm stone; table 6: 40 more with 10 mm stone
# (from memory: it warns); cl. 8.2.4.2: at most 450.
@pytest.mark.parametrize(
    ("cement", "stone", "expected"),
    [
        (300, {"20": 1168.0}, {}),
        (299, {"20": 1168.0}, {"exposure.cement": "stop"}),
        (340, {"10": 1168.0}, {}),
        (339, {"10": 1168.0}, {"exposure.cement": "warn"}),
        (450, {"20": 1168.0}, {}),
        (451, {"20": 1168.0}, {"cement.most": "stop"}),
    ],
)
def test_cement_limits(sound, cement, stone, expected):
    bulk = dict.fromkeys(stone, 1500.0)
    mix = designed(cement_kg_m3=float(cement), water_kg_m3=150.0, stone_kg_m3=stone, stone_bulk_kg_m3=bulk)
    rows = found(replace(sound, mix=mix))
    assert {code: str(row.severity) for code, row in rows.items()} == expected


def test_too_much_cement_of_a_published_mix(sound):
    # A published M30 mix by IS 10262 comes to 480 kg/m³ and 192 L: above what cl. 8.2.4.2 allows.
    rows = found(replace(sound, grade="M30", mix=designed(cement_kg_m3=480.0, water_kg_m3=192.0)))
    assert rows["cement.most"].text == (
        "Cement of 480 kg/m³ is above 450 kg/m³. More cement cracks more; ask the engineer."
    )


def test_nominal_mix_above_m20_warns(sound):
    # Known from memory: nominal mixes up to M20.
    assert str(found(replace(sound, grade="M25"))["mix.nominal_grade"].severity) == "warn"


def test_parts_other_than_the_grades_usual_ones(sound):
    row = found(replace(sound, mix=replace(sound.mix, parts=MixParts(1, 2, 4))))["mix.parts"]
    assert row.text == "Parts 1:2:4 are not the usual 1:1.5:3 of M20. Check the drawing."


def test_parts_are_read_as_a_ratio(sound):
    assert found(replace(sound, mix=replace(sound.mix, parts=MixParts(2, 3, 6)))) == {}


def test_stone_split_other_than_sixty_to_forty_is_a_note(sound):
    rows = found(replace(sound, mix=replace(sound.mix, stone_split={"20": 67.0, "10": 33.0})))
    assert {code: str(row.severity) for code, row in rows.items()} == {"mix.stone_split": "note"}


# Common practice: not under 120 mm, better 125 mm.
@pytest.mark.parametrize(
    ("thickness", "expected"),
    [
        (125, {}),
        (124, {"thickness.better": "note"}),
        (120, {"thickness.better": "note"}),
        (119, {"thickness.least": "warn"}),
        (79, {"thickness.least": "warn", "stone.size": "stop"}),
    ],
)
def test_thickness(sound, thickness, expected):
    rows = found(replace(sound, thickness_mm=float(thickness)))
    assert {code: str(row.severity) for code, row in rows.items()} == expected


@pytest.mark.parametrize(
    ("field", "empty", "code"),
    [
        ("engineer", " ", "drawing.engineer"),
        ("revision", "", "drawing.revision"),
        ("dated", None, "drawing.date"),
    ],
)
def test_drawing_that_does_not_show_it_warns(sound, field, empty, code):
    rows = found(replace(sound, drawing=replace(sound.drawing, **{field: empty})))
    assert {key: str(row.severity) for key, row in rows.items()} == {code: "warn"}


def test_curing_shorter_than_the_clause_stops(sound):
    # IS 456 cl. 13.5.1: seven days with ordinary cement.
    assert found(replace(sound, curing=replace(sound.curing, days=7))) == {}
    rows = found(replace(sound, curing=replace(sound.curing, days=6)))
    assert {code: str(row.severity) for code, row in rows.items()} == {"curing.days": "stop"}


def test_unknown_cement_is_a_note_with_the_days_reckoned(sound):
    row = found(replace(sound, curing=replace(sound.curing, cement="unknown")))["curing.cement"]
    assert (str(row.severity), row.params) == ("note", {"limit": "10"})


def test_allowance_on_top_of_the_dry_factors_is_a_note(sound):
    rows = found(replace(sound, allowances={"cement": 2.0, "steel": 5.0, "sand": 0.0}))
    assert {code: row.subject for code, row in rows.items()} == {"allowance.twice": "allowances.cement"}


def test_allowance_of_a_designed_mix_is_no_finding(sound):
    assert found(replace(sound, mix=designed(), allowances={"cement": 2.0})) == {}


def test_opening_with_trimmers_is_no_finding():
    house = drawn.ridge_house()
    trimmer = replace(house.bars[4], mark="S6", remark="trimmers at openings", count_rule=None)
    codes = found(replace(house, bars=(*house.bars, trimmer)))
    assert "opening.trimmers" not in codes


def test_opening_that_the_engineer_has_answered_for_is_no_finding():
    said = {"decision": "none needed", "engineer": "N. Orveld", "dated": date(2026, 5, 11)}
    answer = Answer(question="trimmers", opening="stair", **said)
    rows = checks.find(replace(drawn.ridge_house(), answers=(answer,)), profile=IS)
    assert [row.subject for row in rows if row.code == "opening.trimmers"] == ["openings[1]"]


def test_opening_named_by_a_bar_is_no_finding():
    house = drawn.ridge_house()
    beside = replace(house.bars[4], mark="S6", remark="beside stair")
    rows = checks.find(replace(house, bars=(*house.bars, beside)), profile=IS)
    assert [row.subject for row in rows if row.code == "opening.trimmers"] == ["openings[1]"]


def test_findings_come_gravest_first():
    ranks = [
        list(checks.Severity).index(row.severity) for row in checks.find(drawn.ridge_house(), profile=IS)
    ]
    assert ranks == sorted(ranks)


def test_finding_as_data_carries_its_limit_and_source():
    row = checks.find(drawn.ridge_house(), profile=IS)[0]
    assert row.as_dict() == {
        "severity": "stop",
        "code": "exposure.grade",
        "subject": "grade",
        "text": "Grade M20 is below M25, the least for moderate exposure. Ask the engineer.",
        "value": 20,
        "limit": 25,
        "unit": "MPa",
        "source": "is-456-2000, table 5 (secondary)",
    }
    assert row.stops


def test_only_a_limit_of_the_profile_may_stop():
    with pytest.raises(ValueError, match="only a limit"):
        finding.note("drawing.date", subject="", severity=checks.Severity.STOP, params={})
