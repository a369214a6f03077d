import pytest

from inventory.calc import variances
from inventory.calc.variances import Finding, PermittedVariation, Split

CEMENT_SMALL_WORKS = PermittedVariation(over_bp=300, under_bp=300, source="CPWD Schedule F, clause 42")
CEMENT = PermittedVariation(over_bp=200, under_bp=200, source="CPWD Schedule F, clause 42")
BITUMEN = PermittedVariation(over_bp=250, under_bp=0, source="CPWD Schedule F, clause 42")
NONE = PermittedVariation(over_bp=0, under_bp=0, source="CPWD Schedule F, clause 42")


@pytest.mark.parametrize(
    ("variation", "used", "expected"),
    [
        # CPWD Schedule F, clause 42 (as remembered): cement 3 % either way for small works, 2 % above;
        # bitumen +2.5 % and nil; other materials nil. The limits themselves are permitted.
        (CEMENT_SMALL_WORKS, 10_300, Finding.WITHIN),
        (CEMENT_SMALL_WORKS, 10_301, Finding.OVER),
        (CEMENT_SMALL_WORKS, 9_700, Finding.WITHIN),
        (CEMENT_SMALL_WORKS, 9_699, Finding.UNDER),
        (CEMENT, 10_200, Finding.WITHIN),
        (CEMENT, 10_201, Finding.OVER),
        (CEMENT, 9_799, Finding.UNDER),
        (BITUMEN, 10_250, Finding.WITHIN),
        (BITUMEN, 9_999, Finding.UNDER),
        (NONE, 10_000, Finding.WITHIN),
        (NONE, 10_001, Finding.OVER),
        (NONE, 9_999, Finding.UNDER),
    ],
)
def test_judge_against_permitted_variation(variation, used, expected):
    assert variances.judge(used, allowed=10_000, variation=variation) is expected


def test_judge_of_a_material_that_the_bill_does_not_know():
    assert variances.judge(1, allowed=0, variation=CEMENT) is Finding.OVER
    assert variances.judge(0, allowed=0, variation=CEMENT) is Finding.WITHIN


@pytest.mark.parametrize(("used", "allowed", "name"), [(-1, 0, "used"), (0, -1, "allowed")])
def test_judge_refuses_negative(used, allowed, name):
    with pytest.raises(ValueError, match=f"{name} quantity -1 must be 0 or more"):
        variances.judge(used, allowed=allowed, variation=CEMENT)


@pytest.mark.parametrize(
    ("over", "under", "message"),
    [
        (-1, 0, "permitted excess -1 must be 0"),
        (0, -1, "permitted shortfall -1 must lie between"),
        (0, 10_001, "permitted shortfall 10001 must lie between"),
    ],
)
def test_permitted_variation_refuses(over, under, message):
    with pytest.raises(ValueError, match=message):
        PermittedVariation(over_bp=over, under_bp=under, source="contract")


def test_split_of_a_saving_is_negative():
    # By hand: allowed 100 at 8.00, used 95 at 7.90: usage 5 x 8.00 saved, price 95 x 0.10 saved.
    split = variances.split(75_050, used=95, budget=80_000, rate=8_000_000, per=1)
    assert (split, split.total) == (Split(usage=-4_000, price=-950), -4_950)


def test_split_refuses_negative_use():
    with pytest.raises(ValueError, match="used quantity -1 must be 0 or more"):
        variances.split(0, used=-1, budget=0, rate=1, per=1)
