"""Usage and price variance, and permitted variation, against figures worked outside the code."""

from inventory.calc import spend, variances
from inventory.calc.spend import Facts
from inventory.calc.variances import Finding, PermittedVariation

ESTIMATE = 8_000_000  # 8.00 a bag


def test_usage_64_and_price_54_of_118():
    # Standard costing as taught for owners: allowed 100 bags at 8.00, used 108 at 8.50: usage +64, price +54,
    # together 118 over the 800 planned.
    split = variances.split(108 * 8_50, used=108, budget=800_00, rate=ESTIMATE, per=1)
    assert (split.usage, split.price, split.total) == (64_00, 54_00, 118_00)


def test_the_same_through_the_spend_of_a_finished_slab():
    row = spend.amounts(
        Facts(
            material="cement",
            budget=800_00,
            allowed=100,
            rate=ESTIMATE,
            per=1,
            used=108,
            issued_value=918_00,
            finished=True,
        )
    )
    assert (row.usage_variance, row.price_variance, row.over_budget) == (64_00, 54_00, 118_00)


def test_eight_percent_of_cement_is_over_every_published_limit():
    # CPWD Schedule F, clause 42 (as remembered): cement 3 % up to a small estimated cost, 2 % above.
    for limit in (300, 200):
        variation = PermittedVariation(over_bp=limit, under_bp=limit, source="CPWD Schedule F, clause 42")
        assert variances.judge(108, allowed=100, variation=variation) is Finding.OVER
