"""What is impossible or contradictory in the bars of a sheet."""

import pytest

from tests.factories import sheets

CRANKED = {"shape": "cranked", "dimensions": {"B": 3000, "D": 90}}


def with_bar(**changes):
    return sheets.small(bars=[sheets.bar(**changes)])


@pytest.mark.parametrize(
    ("data", "path", "message"),
    [
        (
            with_bar(size_mm=11),
            "bars[0].size_mm",
            (
                "bars[0] S1: size_mm 11 is not in the bar table of profile is; "
                "use 4, 5, 6, 8, 10, 12, 16, 20, 25, 28, 32, 36, 40 mm"
            ),
        ),
        (
            with_bar(shape="l", dimensions={"A": 900}),
            "bars[0].dimensions.B",
            "bars[0] S1: a l bar needs dimension B; add it in mm",
        ),
        (
            with_bar(dimensions={"A": 900, "C": 50}),
            "bars[0].dimensions.C",
            (
                "bars[0] S1: a straight bar has no dimension C (50 mm); it has A: "
                "take it out or correct the shape"
            ),
        ),
        (
            with_bar(ends="up"),
            "bars[0].ends",
            "bars[0] S1: a straight bar has no ends; take it out or correct the shape",
        ),
        (
            with_bar(cranks=1),
            "bars[0].cranks",
            "bars[0] S1: a straight bar has no cranks; take it out or correct the shape",
        ),
        (
            with_bar(shape="u", dimensions={"A": 20, "B": 900, "C": 85}),
            "bars[0].dimensions.A",
            (
                "bars[0] S1: dimension A 20 mm must be more than 20 mm, "
                "or a 10 mm bar cannot be bent so; correct it"
            ),
        ),
        (
            # Two cranks of 90 at 45° take 180, and 8 × 10 is left for their bends.
            with_bar(shape="cranked", dimensions={"B": 260, "D": 90}),
            "bars[0].dimensions.B",
            (
                "bars[0] S1: dimension B 260 mm must be more than 260 mm, "
                "or a 10 mm bar cannot be bent so; correct it"
            ),
        ),
        (
            with_bar(per_member=None),
            "bars[0].per_member",
            "bars[0] S1: has neither per_member nor count_rule; give the number of bars or the spacing rule",
        ),
        (
            with_bar(count_rule={"length_mm": 40, "spacing_mm": 150}),
            "bars[0].count_rule.length_mm",
            "bars[0] S1: two end covers of 20 mm leave nothing of the length 40 mm; correct one of them",
        ),
        (
            with_bar(count_rule={"length_mm": 60_000, "spacing_mm": 5}),
            "bars[0].count_rule.spacing_mm",
            # 59,960 of clear length, 5 apart, and one more.
            (
                "bars[0] S1: its count_rule gives 11993 bars, and at most 10000 are taken; "
                "correct spacing_mm 5 mm or length_mm"
            ),
        ),
        (
            sheets.small(
                beams=[sheets.beam()],
                beam_cover_mm=25,
                bars=[
                    sheets.bar(
                        mark="ST1",
                        member="stirrups B1",
                        size_mm=8,
                        shape="stirrup",
                        dimensions={"A": 180, "B": 4000},
                    )
                ],
            ),
            "bars[0].dimensions",
            (
                "bars[0] ST1: 180 × 4000 mm outside does not fit into beam B1 of 230 × 450 mm; "
                "correct the stirrup or its member"
            ),
        ),
        (
            sheets.small(bars=[sheets.bar(), sheets.bar()]),
            "bars[1].mark",
            "mark 'S1' already stands at bars[0]; give each row its own mark",
        ),
        (
            sheets.small(bars=[sheets.bar()], spacing_rules=[sheets.rule(mark="S1")]),
            "spacing_rules[0].mark",
            "mark 'S1' already stands at bars[0]; give each row its own mark",
        ),
        (
            sheets.small(spacing_rules=[sheets.rule(size_mm=7)]),
            "spacing_rules[0].size_mm",
            (
                "spacing_rules[0] R1: size_mm 7 is not in the bar table of profile is; "
                "use 4, 5, 6, 8, 10, 12, 16, 20, 25, 28, 32, 36, 40 mm"
            ),
        ),
        (
            sheets.small(
                spacing_rules=[sheets.rule(region=[[7000, 0], [9000, 0], [9000, 4000], [7000, 4000]])]
            ),
            "spacing_rules[0].region",
            "spacing_rules[0] R1: its region lies outside the slab's outline; move it onto the slab",
        ),
        (
            sheets.small(spacing_rules=[sheets.rule(region=[[0, 0], [0, 0], [6000, 4000], [0, 4000]])]),
            "spacing_rules[0].region",
            "spacing_rules[0] R1: its region repeats its corner (0, 0); leave the second one out",
        ),
        (
            sheets.small(spacing_rules=[sheets.rule(region=[[0, 0], [6000, 0], [6000, 30], [0, 30]])]),
            "spacing_rules[0]",
            (
                "spacing_rules[0] R1: two covers of 20 mm leave nothing of the 30 mm across its bars; "
                "correct region, direction or cover"
            ),
        ),
    ],
)
def test_impossible_bar_is_named(data, path, message):
    assert sheets.messages(data) == {path: message}


def test_zero_spacing_is_refused():
    assert sheets.faults(sheets.small(spacing_rules=[sheets.rule(spacing_mm=0)])) == [
        ("spacing_rules[0].spacing_mm", "too_small")
    ]


def test_spacing_rules_have_a_limit_together():
    # 4000 / 1 + 2 bars in each of five rules are 20,010.
    rules = [sheets.rule(mark=f"R{index}", spacing_mm=1) for index in range(5)]
    assert sheets.faults(sheets.small(spacing_rules=rules)) == [("spacing_rules", "too_many_bars")]
    assert sheets.faults(sheets.small(spacing_rules=rules[:4])) == []


def test_region_is_not_measured_against_a_broken_outline():
    data = sheets.small(
        outline=[[0, 0], [6000, 4000], [6000, 0], [0, 4000]],
        spacing_rules=[sheets.rule(region=[[0, 0], [9000, 0], [9000, 4000]])],
    )
    assert sheets.faults(data) == [("outline", "crosses_itself")]


@pytest.mark.parametrize(
    "changes",
    [
        CRANKED,
        {**CRANKED, "cranks": 1, "crank_angle_deg": 60, "ends": "down"},
        {"shape": "cranked", "dimensions": {"A": 300, "B": 3000, "C": 300, "D": 90}},
        {"shape": "cranked", "dimensions": {"B": 261, "D": 90}},
        {"shape": "u", "dimensions": {"A": 21, "B": 900, "C": 85}, "ends": "down"},
        # A stirrup whose text names no beam of the sheet is not measured.
        {"shape": "stirrup", "dimensions": {"A": 180, "B": 4000}, "member": "stirrups"},
        {"count_rule": {"length_mm": 40, "spacing_mm": 150, "method": "spacing_raised"}},
    ],
)
def test_possible_bar_is_accepted(changes):
    assert sheets.faults(with_bar(**changes)) == []


@pytest.mark.parametrize(
    ("stirrup", "expected"),
    # Beam 230 × 450: 450 outside fits exactly; read as an inside dimension it is 450 + 2 × 8 outside.
    [("outside_16d", []), ("inside_24d", [("bars[0].dimensions", "stirrup_larger_than_beam")])],
)
def test_stirrup_is_measured_as_its_method_reads_it(stirrup, expected):
    row = sheets.bar(member="B1", size_mm=8, shape="stirrup", dimensions={"A": 450, "B": 180})
    data = sheets.small(
        beams=[sheets.beam()], beam_cover_mm=25, bars=[row], steel_methods={"stirrup": stirrup}
    )
    assert sheets.faults(data) == expected


def test_stirrup_without_its_dimensions_is_not_measured():
    row = sheets.bar(member="B1", size_mm=8, shape="stirrup", dimensions={"A": 180})
    data = sheets.small(beams=[sheets.beam()], beam_cover_mm=25, bars=[row])
    assert sheets.faults(data) == [("bars[0].dimensions.B", "dimension_missing")]


def test_faulty_cover_leaves_the_counts_unsaid():
    data = sheets.small(
        cover_mm="20",
        bars=[sheets.bar(count_rule={"length_mm": 40, "spacing_mm": 150})],
        spacing_rules=[sheets.rule(region=[[0, 0], [6000, 0], [6000, 30], [0, 30]])],
    )
    assert sheets.faults(data) == [("cover_mm", "wrong_type")]
