import pytest

from estimates.calc.steel import store


def test_light_bars_are_a_gain_in_length():
    # 1,000 kg at 0.60 kg/m is 1,666.7 m; at the nominal 0.617 that length should have 1,028.3 kg.
    found = store.delivered(1000, measured_kg_per_m=0.60, nominal_kg_per_m=0.617)
    assert found.length_m == pytest.approx(1666.667, abs=0.001)
    assert found.loss_kg == pytest.approx(-28.333, abs=0.001)


@pytest.mark.parametrize(
    ("paid", "measured", "nominal", "name"),
    [
        (0, 1.6, 1.58, "mass paid 0"),
        (1000, -1, 1.58, "measured mass per metre -1"),
        (1000, 1.6, float("nan"), "nominal mass per metre nan"),
    ],
)
def test_numbers_that_are_not_positive_are_refused(paid, measured, nominal, name):
    with pytest.raises(ValueError, match=name):
        store.delivered(paid, measured_kg_per_m=measured, nominal_kg_per_m=nominal)
