"""What is refused: all faults at once, each with its name, value, bound and remedy."""

from dataclasses import replace

import pytest

from estimates.calc.cutting.facts import Kind, Piece, Stock
from tests.estimates.calc.cutting import tasks

GIVEN = tasks.task({3000: 4})


def _piece(**changes):
    return replace(GIVEN, pieces=(replace(GIVEN.pieces[0], **changes),))


def _stock(**changes):
    return replace(GIVEN, stocks=(replace(GIVEN.stocks[0], **changes),))


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (
            _piece(length_mm=12_001),
            "piece P3000: length 12001 mm is more than the longest stock, 12000 mm; add",
        ),
        (_piece(length_mm=0), "piece P3000: length 0 mm must be from 1"),
        (_piece(length_mm=-5), "piece P3000: length -5 mm must be from 1"),
        (_piece(length_mm=10.5), "piece P3000: length 10.5 must be a whole number"),
        (_piece(count=0), "piece P3000: count 0 must be from 1"),
        (_piece(count=True), "piece P3000: count True must be a whole number"),
        (replace(GIVEN, pieces=()), "no piece is given"),
        (replace(GIVEN, stocks=()), "no stock is given"),
        (_stock(length_mm=0), "stock bar: length 0 mm must be from 1"),
        (_stock(available=-1), "stock bar: number -1 must be from 0"),
        (_stock(kind=Kind.OFFCUT), "stock bar: offcuts cannot be bought"),
        (_stock(cost=0), "stock bar: cost 0 of what is bought must be more than 0"),
        (_stock(cost=-1, available=3), "stock bar: cost -1"),
        (_stock(available=0), "piece P3000: length 3000 mm is more than the longest stock, 0 mm"),
        (replace(GIVEN, blade_mm=-1), "blade -1 mm must be from 0"),
        (replace(GIVEN, keep_mm=0), "shortest kept rest 0 mm must be from 1"),
        (replace(GIVEN, max_patterns=0), "number of patterns 0 must be from 1"),
        (replace(GIVEN, credit_percent=100), "credit 100 % must be from 0 to 99"),
    ],
)
def test_fault_is_named_with_its_bound(given, words):
    with pytest.raises(ValueError, match=r"must|add|name|cannot") as refusal:
        tasks.solved(given)
    assert words in str(refusal.value)


def test_all_faults_are_named_at_once():
    given = replace(
        GIVEN,
        pieces=(Piece(mark="A", length_mm=20_000, count=1), Piece(mark="B", length_mm=5, count=0)),
        keep_mm=0,
    )
    with pytest.raises(ValueError, match="piece A") as refusal:
        tasks.solved(given)
    assert [
        part.split(":")[0].split(" 0")[0] for part in str(refusal.value).split("; ") if "piece" in part
    ] == [
        "piece A",
        "piece B",
    ]


def test_stock_that_does_not_suffice_says_for_what():
    short = replace(GIVEN, stocks=(Stock(label="bar", length_mm=6000, available=1),))
    with pytest.raises(ValueError, match="lacks room for 2 of 3000 mm; add stock"):
        tasks.solved(short)
