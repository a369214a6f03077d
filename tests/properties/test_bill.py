"""Bills of changed designs: every formula redone by another evaluator, every order enough, none too large."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.calc import bill
from estimates.calc.mix import methods
from estimates.calc.reading.reader import DesignedMix, MixParts
from estimates.standards import load
from tests.worked import drawn

IS = load.profile("is")
HOUSE = drawn.ridge_house()
FUNCTIONS = {"__builtins__": {}, "min": min, "max": max, "ceil": math.ceil, "floor": math.floor}


@st.composite
def nominal_mixes(draw):
    twenty = draw(st.integers(0, 100))
    parts = MixParts(1, draw(st.floats(0.5, 5)), draw(st.floats(0.5, 10)))
    split = {"20": float(twenty), "10": 100.0 - twenty}
    method = draw(st.sampled_from(methods.methods(IS)))
    ratio = draw(st.floats(0.3, 0.7))
    return replace(HOUSE.mix, parts=parts, stone_split=split, method=method, water_cement=ratio)


@st.composite
def designed_mixes(draw):
    masses = st.floats(200, 900)
    return DesignedMix(
        kind="designed",
        cement_kg_m3=draw(st.floats(250, 500)),
        water_kg_m3=draw(st.floats(120, 220)),
        sand_kg_m3=draw(masses),
        stone_kg_m3={"20": draw(masses), "10": draw(masses)},
        sand_bulk_kg_m3=draw(st.floats(1300, 1800)),
        stone_bulk_kg_m3={"20": draw(st.floats(1300, 1800)), "10": 1500.0},
    )


@st.composite
def designs(draw):
    """The example with another thickness, mix, curing, allowances and part of its bars and beams."""
    kinds = st.sampled_from(("cement", "sand", "stone", "steel", "formwork", "binding-wire"))
    cement, method = (
        draw(st.sampled_from(("opc", "blended", "unknown"))),
        draw(st.sampled_from(("ponding", "wet_cover"))),
    )
    curing = replace(HOUSE.curing, cement=cement, method=method, hot_dry=draw(st.booleans()))
    return replace(
        HOUSE,
        thickness_mm=draw(st.floats(80, 300)),
        beams=HOUSE.beams[: draw(st.integers(0, 6))],
        openings=HOUSE.openings[: draw(st.integers(0, 2))],
        bars=HOUSE.bars[: draw(st.integers(0, len(HOUSE.bars)))],
        mix=draw(st.one_of(nominal_mixes(), designed_mixes())),
        curing=curing,
        allowances=draw(st.dictionaries(kinds, st.floats(0, 25), max_size=4)),
    )


@given(design=designs())
def test_every_line_can_be_redone_and_is_enough(design):
    for line in bill.compute(design, profile=IS).lines:
        values = {name: item.value for name, item in line.inputs.items()}
        redone = eval(line.formula, FUNCTIONS, values)  # noqa: S307 - a second evaluator, on our own formula
        assert redone == pytest.approx(line.net, rel=1e-12, abs=1e-12), line.key
        assert line.net >= 0
        assert line.allowance == pytest.approx(line.net * line.allowance_percent.value / 100)
        assert line.order >= line.needed * (1 - 1e-8)
        if line.pack is None:
            assert line.order == line.needed
        else:
            assert line.order == pytest.approx(line.packs * line.pack.content)
            assert line.order - line.pack.content < line.needed or line.packs == 0
            assert line.surplus == pytest.approx(line.order - line.needed, abs=1e-6)


@given(design=designs())
def test_parts_add_up_to_their_wholes(design):
    net = {line.key: line.net for line in bill.compute(design, profile=IS).lines}
    assert net["formwork.slab_soffit"] + net["formwork.beam_soffit"] == pytest.approx(net["curing.cover"])
    marks = math.fsum(value for key, value in net.items() if key.startswith("steel.mark."))
    sizes = math.fsum(value for key, value in net.items() if key.startswith("steel.size."))
    assert marks == pytest.approx(sizes)
    assert sizes == pytest.approx(net.get("steel.total", 0.0))
    assert net["concrete.slab"] + net.get("concrete.beams", 0.0) == pytest.approx(net["concrete.net"])


@given(design=designs(), other=designs())
def test_compare_turned_round_changes_the_signs(design, other):
    one, two = (bill.compute(each, profile=IS) for each in (design, other))
    there = {row.key: row.change for row in bill.compare(one, after=two)}
    back = {row.key: -row.change for row in bill.compare(two, after=one)}
    assert there == back
