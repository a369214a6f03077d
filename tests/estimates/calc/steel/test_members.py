import pytest

from estimates.calc.steel import members

BEAMS = {"B1", "B3", "B10"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("beam B1", ["B1"]),
        ("stirrups B1 B3", ["B1", "B3"]),
        ("stirrups (B1/B3); B10", ["B1", "B3", "B10"]),
        ("B1, B1", ["B1"]),
        ("beam B100", []),
        ("b1", []),
        ("", []),
    ],
)
def test_beams_are_found_as_whole_words(text, expected):
    assert members.beams_named(text, beams=BEAMS) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("slab", 1), (" Slab ", 1), ("terrace ROOF", 1), ("beams B1 B3", 2), ("stair flight", None)],
)
def test_number_of_members_named(text, expected):
    assert members.number_named(text, beams=BEAMS, slab="Terrace roof") == expected
