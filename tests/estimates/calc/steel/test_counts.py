"""Bar counts against published schedules, which disagree: each rule gives its own."""

import pytest

from estimates.calc.sheet.steel import CountRule, SteelMethods
from estimates.calc.steel import counts, rules
from estimates.standards import load

PROFILE = load.profile("is")
CHOSEN = rules.choose(SteelMethods(), profile=PROFILE)


def count(length, spacing, method, **more):
    rule = CountRule(length_mm=length, spacing_mm=spacing, method=method, **more)
    return counts.by_rule(rule, rules=CHOSEN, cover_mm=25, read_in="mark S1")


@pytest.mark.parametrize(
    ("length", "spacing", "method", "expected"),
    [
        # One-way slab of 2,500 at 150: one published schedule drops the fraction of 17.67, another raises it.
        (2500, 150, "spacing_plus_one_dropped", 17),
        (2500, 150, "spacing_plus_one_raised", 18),
        # (2500 - 50) / 150 + 1 = 17.33
        (2500, 150, "clear_spacing_plus_one_raised", 18),
        # The same slab's main bars, 6,000 at 150: 41 in both schedules.
        (6000, 150, "spacing_plus_one_dropped", 41),
        (6000, 150, "spacing_plus_one_raised", 41),
        # Two-way slab, published: 3,960 / 150 = 26.4, taken as 27 without the one.
        (3960, 150, "spacing_raised", 27),
        # The roof's own rule: 7,400 at 200 is 37 + 1.
        (7400, 200, "spacing_plus_one_dropped", 38),
        (100, 200, "spacing_plus_one_dropped", 1),
    ],
)
def test_count_equals_the_published_one(length, spacing, method, expected):
    assert count(length, spacing, method).count == expected


@pytest.mark.parametrize("spacing", [0.1 * 1000 / 3, 110.1, 333.3, 70.7])
def test_noise_of_floating_point_adds_no_bar(spacing):
    # A length of exactly seven spaces has eight bars under every rule with the one.
    length = spacing * 7
    assert count(length, spacing, "spacing_plus_one_dropped").count == 8
    assert count(length, spacing, "spacing_plus_one_raised").count == 8
    assert count(length, spacing, "spacing_raised").count == 7


def test_own_end_cover_replaces_the_slabs():
    # (2500 - 2 × 75) / 150 + 1 = 16.67
    found = count(2500, 150, "clear_spacing_plus_one_raised", end_cover_mm=75)
    assert (found.count, found.inputs["end_cover"].source) == (17, "mark S1")


def test_slabs_cover_is_named_as_source():
    found = count(2500, 150, "clear_spacing_plus_one_raised")
    assert (found.inputs["end_cover"].value, found.inputs["end_cover"].source) == (
        25,
        "cover of the design sheet",
    )


def test_schedules_method_is_taken_where_the_rule_names_none():
    found = counts.by_rule(
        CountRule(length_mm=2500, spacing_mm=150), rules=CHOSEN, cover_mm=25, read_in="mark S1"
    )
    assert found.method == "(length - 2 covers) / spacing + 1, rounded up"


def test_covers_that_leave_no_length_are_refused():
    with pytest.raises(ValueError, match="two end covers of 25 mm leave nothing of the length 50 mm"):
        count(50, 150, "clear_spacing_plus_one_raised")
