import subprocess
import sys

import pytest

from estimates.calc import units

# Exact by definition: yard 0.9144 m, pound 0.45359237 kg (agreement of 1959), US gallon 231 cubic inches.
EXACT = [
    (1, "ft³", "m³", 0.3048**3),
    (1, "yd³", "m³", 0.9144**3),
    (1, "yd³", "ft³", 27),
    (1, "gal", "L", 3.785411784),
    (1, "lb", "kg", 0.45359237),
    (1, "short_ton", "kg", 907.18474),
    (1, "long_ton", "kg", 1016.0469088),
    (1, "t", "kg", 1000),
    (1, "quintal", "kg", 100),
    (1, "m³", "L", 1000),
    (1, "brass", "ft³", 100),
    (1, "cft", "ft³", 1),
    (1, "m²", "cm²", 10_000),
    (45, "min", "h", 0.75),
]
# As printed in reference lists of the trade, to the figures they print.
PRINTED = [
    (1, "brass", "m³", 2.832, 5e-4),
    (1, "m³", "ft³", 35.315, 5e-4),
    (1, "m²", "ft²", 10.764, 5e-4),
    (739, "ft³", "brass", 7.39, 1e-9),
    (20.9, "m³", "ft³", 739, 1),
    (94, "lb", "kg", 42.64, 5e-3),
]


@pytest.mark.parametrize(("value", "unit", "to", "expected"), EXACT)
def test_convert_exact_definition(value, unit, to, expected):
    assert units.convert(value, unit=unit, to=to) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("value", "unit", "to", "expected", "tolerance"), PRINTED)
def test_convert_printed_equivalent(value, unit, to, expected, tolerance):
    assert units.convert(value, unit=unit, to=to) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("unit", "to"), [("m³", "kg"), ("t", "L"), ("m", "m²"), ("day", "kg")])
def test_convert_between_dimensions_is_refused(unit, to):
    with pytest.raises(ValueError, match="bulk density"):
        units.convert(1, unit=unit, to=to)


@pytest.mark.parametrize("unit", ["c", "bag", "sack", "ton", "m^^3", "kelvin"])
def test_convert_unknown_unit_is_refused(unit):
    with pytest.raises(ValueError, match="is not known"):
        units.convert(1, unit=unit, to="m³")


def test_mass_of_truck_of_sand_at_stated_density():
    # Tipper of 20.9 m³ at 1,600 kg/m³ carries 33.5 t, as a published measurement of a load has it.
    assert units.mass(20.9, unit="m³", bulk_density_kg_m3=1600, to="t") == pytest.approx(33.5, abs=0.1)


@pytest.mark.parametrize(("density", "published"), [(1600, 15.6), (1700, 14.7)])
def test_volume_of_25_tonnes_depends_on_density(density, published):
    # 25 t by two densities that dealers use for the same sand.
    assert units.volume(25, unit="t", bulk_density_kg_m3=density, to="m³") == pytest.approx(
        published, abs=0.05
    )


@pytest.mark.parametrize("turn", [units.mass, units.volume])
@pytest.mark.parametrize("density", [0, -1600, float("nan")])
def test_density_not_above_zero_is_refused(turn, density):
    with pytest.raises(ValueError, match="greater than 0"):
        turn(1, unit="kg", bulk_density_kg_m3=density, to="kg")


def test_importing_the_module_leaves_pint_alone():
    code = "import sys; from estimates.calc import bill, units; print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
