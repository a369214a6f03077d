"""Weighted average against two published perpetual-inventory examples (formula: IAS 2, paragraph 27)."""

import pytest

from inventory.calc import costing
from inventory.calc.costing import Pool

# "CIMA Certificate Paper C1, Fundamentals of Management Accounting, Study Text", chapter 5 "Inventory
# valuation", section 4.1 "Example: AVCO" (read at fliphtml5.com/bmarl/mpft, page 131 of the copy), in cents:
# receipts as (units, value), issues as (units, None), each with the published balance (units, value) and the
# published value of the issue.
STUDY_TEXT = [
    ((400, 840_00), (500, 1_040_00), None),
    ((200, None), (300, 624_00), 416_00),
    ((300, 636_00), (600, 1_260_00), None),
    ((400, None), (200, 420_00), 840_00),
    ((100, 240_00), (300, 660_00), None),
    ((100, None), (200, 440_00), 220_00),
]


def test_study_text_example_to_the_cent():
    pool, issued = Pool(100, 200_00), 0
    for (quantity, value), balance, published in STUDY_TEXT:
        if value is None:
            pool, out = costing.issue(pool, quantity=quantity)
            assert out == published
            issued += out
        else:
            pool = costing.receive(pool, quantity=quantity, value=value)
        assert pool == Pool(*balance)
    # The text's own check: issues 1,476 and closing 440 are opening and purchases, 1,916.
    assert (issued, issued + pool.value) == (1_476_00, 1_916_00)


# "Inventory valuation methods: AVCO: Solution to Example Question", Cambridge AS and A Level Accounting Notes
# (revision.co.zw/inventory-valuation-methods-avco-solution-to-example-question/), in cents. The page rounds
# each unit cost to three places, which moves a line by up to 20 cents from February on; ours stays exact.
NOTES = [
    ((30, None), (20, 600_00), 900_00, 0),
    ((100, 3_000_00), (120, 3_600_00), None, 0),
    ((80, None), (40, 1_200_00), 2_400_00, 0),
    ((120, 3_660_00), (160, 4_860_00), None, 0),
    ((90, None), (70, 2_126_25), 2_733_75, 0),
    ((50, None), (20, 607_50), 1_518_75, 0),
    ((150, 4_650_00), (170, 5_257_50), None, 0),
    ((100, None), (70, 2_164_90), 3_092_60, 20),
    ((30, None), (40, 1_237_12), 927_78, 20),
    ((120, 3_780_00), (160, 5_017_12), None, 20),
    ((120, None), (40, 1_254_28), 3_762_84, 20),
    ((100, 3_200_00), (140, 4_454_28), None, 20),
    ((120, None), (20, 636_36), 3_817_92, 20),
]


def test_notes_example_within_their_rounding():
    pool = Pool(50, 1_500_00)
    for (quantity, value), (units, balance), published, tolerance in NOTES:
        if value is None:
            pool, out = costing.issue(pool, quantity=quantity)
            assert out == pytest.approx(published, abs=tolerance)
        else:
            pool = costing.receive(pool, quantity=quantity, value=value)
        assert pool.quantity == units
        assert pool.value == pytest.approx(balance, abs=tolerance)
