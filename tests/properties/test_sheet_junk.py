"""Whatever is handed in as a design sheet: faults or a sheet, and what is accepted can be taken off."""

import copy
import json
import unicodedata

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimates.calc import bill
from estimates.calc.checks import casting
from estimates.calc.reading import reader as sheet
from estimates.calc.steel import schedule
from estimates.standards import load
from tests.factories import sheets

PROFILE = load.profile("is")
SAID = {"decision": "as agreed", "engineer": "N. Orveld", "dated": "2026-05-11"}
LONG = sheets.bar(mark="L9", shape="straight", dimensions={"A": 13_500}, per_member=2)
ROOF = sheets.roof() | {
    "spacing_rules": [
        sheets.rule(mark="R1", region=[[0, 0], [3000, 0], [3000, 2000], [0, 2000]]),
        sheets.rule(mark="R2", direction="both", angle_deg=20, first_bar="half_spacing", shorter_mm=300),
        sheets.rule(mark="R3", layer="top", number=21, use="main"),
    ],
    "answers": [
        {"question": "lap", "marks": ["L9", "R2"], "lap_mm": 600, "joints": 1, "share_percent": 50, **SAID},
        {
            "question": "trimmers",
            "opening": "stair",
            "marks": ["T1"],
            "size_mm": 12,
            "length_mm": 2400,
            **SAID,
        }
        | {"number": 4},
        {"question": "coupler", "marks": ["R3"], **SAID},
    ],
    "supports": {
        "chairs": [
            {"mark": "CH1", "size_mm": 12, "per_m2": 1.5},
            {"mark": "CH2", "size_mm": 12, "number": 7, "height_mm": 60, "head_mm": 300, "foot_mm": 200},
        ],
        "cover_blocks": {"by": "stated", "per_m2": 2, "beam_spacing_mm": 900},
    },
    "steel_methods": {"count": "spacing_plus_one_dropped", "crank": "exact", "catalogue": "bs8666-2005"},
}
CRANK = sheets.bar(mark="C1", shape="cranked", dimensions={"A": 300, "B": 3000, "C": 300, "D": 90})
LINK = sheets.bar(mark="L1", shape="51", dimensions={"A": 180, "B": 400, "C": 120, "D": 120})
HELIX = sheets.bar(mark="H1", shape="77", dimensions={"A": 300, "B": 90, "C": 12})
BOW = sheets.bar(mark="R1B", shape="12", dimensions={"A": 900, "B": 700, "R": 200})
ROOF["bars"] = [*ROOF["bars"], CRANK, LINK, HELIX, BOW, LONG]

numbers = st.one_of(
    st.integers(),
    st.integers(-10, 20_000),
    st.floats(),
    st.floats(0, 10_000, allow_nan=False),
    st.sampled_from([0, -1, 1e-300, 1e300, 10**400, True, False]),
)
texts = st.one_of(
    st.text(st.characters(), max_size=30),
    st.sampled_from(
        ["S1", "A", "straight", "cranked", "stirrup", "u", "l", "nominal_volume", "designed", "20"]
    ),
)
junk = st.recursive(
    st.one_of(st.none(), st.booleans(), numbers, texts, st.binary(max_size=5)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.one_of(texts, st.integers()), inner, max_size=4)
    ),
    max_leaves=12,
)


def places(data, *, above=()):
    """Every place of a sheet, from the top down."""
    yield above
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, value in inner:
        yield from places(value, above=(*above, step))


PLACES = [place for place in places(ROOF) if place]


def put(data, *, place, value):
    """Puts a value at a place, where the place still exists."""
    *steps, last = place
    for step in steps:
        reachable = isinstance(data, dict) and step in data
        if not (reachable or (isinstance(data, list) and isinstance(step, int) and step < len(data))):
            return
        data = data[step]
    if isinstance(data, dict) or (isinstance(data, list) and isinstance(last, int) and last < len(data)):
        data[last] = value


def check_words(faults):
    """At least one fault, each with a code and one line that any output can hold: no control characters."""
    assert faults
    for fault in faults:
        assert fault.code
        assert fault.message
        assert not {unicodedata.category(sign) for sign in fault.path + fault.message} & {"Cc", "Cs"}


def check(data):
    """Faults with paths, codes and sentences that any output can hold; or a sheet that can be taken off."""
    try:
        read = sheet.read(data)
    except sheet.SheetFaults as refused:
        check_words(refused.faults)
        return
    assert sheet.read(sheet.to_json(read)) == read
    worked = schedule.compute(read, profile=PROFILE)
    assert all(mark.mass_kg >= 0 and mark.total_length_mm >= 0 for mark in worked.marks)
    bill.compute(read, profile=PROFILE)
    casting.find(read, profile=PROFILE)


@pytest.fixture
def examples(full_size):
    return 5_000 if full_size else 200


@pytest.mark.long
def test_junk_is_refused_or_read(examples):
    @settings(max_examples=examples, deadline=None, database=None, derandomize=True)
    @given(junk)
    def run(data):
        check(data)

    run()


@pytest.mark.long
def test_example_with_junk_in_it_is_refused_or_read(examples):
    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(
        st.lists(st.tuples(st.sampled_from(PLACES), st.one_of(numbers, texts, junk)), min_size=1, max_size=4)
    )
    def run(changes):
        data = copy.deepcopy(ROOF)
        for place, value in changes:
            put(data, place=place, value=value)
        check(data)

    run()


@pytest.mark.long
def test_text_with_junk_in_it_is_refused_or_read(examples):
    text = json.dumps(ROOF)

    @settings(max_examples=examples, deadline=None, database=None, derandomize=True)
    @given(st.integers(0, len(text)), st.integers(0, 12), st.text(max_size=6))
    def run(start, length, put_in):
        check(text[:start] + put_in + text[start + length :])

    run()


@pytest.mark.long
def test_small_changes_of_numbers_keep_a_sheet_workable(examples):
    """Numbers near the real ones mostly pass the bounds, and so reach the arithmetic."""
    numeric = [place for place in PLACES if isinstance(at(ROOF, place), int | float)]

    @settings(max_examples=examples, deadline=None, database=None, derandomize=True)
    @given(st.lists(st.tuples(st.sampled_from(numeric), st.floats(0.05, 3)), min_size=1, max_size=3))
    def run(changes):
        data = copy.deepcopy(ROOF)
        for place, factor in changes:
            value = at(data, place) * factor
            put(data, place=place, value=round(value) if place[-1] in WHOLE else value)
        check(data)

    run()


WHOLE = {"per_member", "members", "size_mm", "number", "joints"}


def at(data, place):
    """The value at a place."""
    for step in place:
        data = data[step]
    return data
