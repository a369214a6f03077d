"""The mean of weeks against the published table of a moving average."""

from __future__ import annotations

import pytest

from inventory.calc.reorder import background

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.4.2.1, single moving average of three (figures as
# remembered, and each can be added up by hand): twelve suppliers' amounts in thousands.
AMOUNTS = (9, 8, 9, 12, 9, 12, 11, 7, 13, 9, 11, 10)
MEANS = (8.667, 9.667, 10.000, 11.000, 10.667, 10.000, 10.333, 9.667, 11.000, 10.000)


@pytest.mark.parametrize(("first", "mean"), list(enumerate(MEANS)))
def test_mean_of_three_published(first, mean):
    thousandths = [1_000 * amount for amount in AMOUNTS[first : first + 3]]
    assert background.mean_of_weeks(thousandths) == round(1_000 * mean)


def test_only_the_latest_eight_weeks_count_and_what_came_back_is_taken_off():
    assert background.mean_of_weeks([800, *[10] * 8]) == 10
    assert background.mean_of_weeks([30, -10]) == 10
    assert background.mean_of_weeks([-30, 10]) == 0
