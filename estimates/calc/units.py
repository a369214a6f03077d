"""The one registry of physical and trade units, and conversions between them.

Packs (a bag, a bar, a truck load) are not units: they are rows with a content, see `packs`.
"""

from functools import cache
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    import pint

# Exact definitions: the international yard and pound of 1959 (yard 0.9144 m, pound 0.45359237 kg);
# the US liquid gallon is 231 cubic inches. Trade: quintal 100 kg, brass 100 cubic feet.
# A registry of our own holds these units only, so that a slip such as "c" for "cm" is refused
# instead of being read as the speed of light.
_DEFINITIONS: Final = """
milli- = 1e-3 = m-
centi- = 1e-2 = c-
kilo- = 1e3 = k-
meter = [length] = m = metre
inch = 25.4 * millimeter = in
foot = 12 * inch = ft = feet
yard = 3 * foot = yd
liter = 1e-3 * meter ** 3 = L = l = litre
gallon = 231 * inch ** 3 = gal
fluid_ounce = gallon / 128 = fl_oz
cubic_foot = foot ** 3 = cft
brass = 100 * foot ** 3
gram = [mass] = g
tonne = 1000 * kilogram = t
quintal = 100 * kilogram = q
pound = 0.45359237 * kilogram = lb
short_ton = 2000 * pound = sh_tn
long_ton = 2240 * pound
day = [time] = d
hour = day / 24 = h
minute = hour / 60 = min
"""


@cache
def registry() -> "pint.UnitRegistry[Any]":
    """The registry, made on first use.

    Source: the yard and pound agreement of 1959 and the international system of units; trade units by custom.

    Returns:
        The one registry of the project.

    >>> "brass" in registry(), "sack" in registry()
    (True, False)
    """
    import pint  # noqa: PLC0415 - importing pint costs a quarter of a second, which a take-off in metric never needs

    found: pint.UnitRegistry[Any] = pint.UnitRegistry(None)
    for line in _DEFINITIONS.strip().splitlines():
        found.define(line)
    return found


def convert(value: float, *, unit: str, to: str) -> float:
    """Converts a quantity between units of the same dimension.

    Source: the registry's definitions.

    Args:
        value: the quantity, in `unit`.
        unit: a unit of the registry, as "ft³", "quintal" or "brass".
        to: a unit of the same dimension.

    Returns:
        The quantity in `to`.

    Raises:
        ValueError: a unit that the registry does not hold, or two units of different dimension.

    >>> round(convert(1, unit="brass", to="m³"), 4)
    2.8317
    """
    import pint  # noqa: PLC0415 - see registry

    units = registry()
    try:
        return float(units.Quantity(value, unit).to(to).magnitude)
    except pint.DimensionalityError as error:
        message = (
            f"cannot turn {unit!r} into {to!r}: their dimensions differ"
            " (a volume becomes a mass only through a bulk density)"
        )
        raise ValueError(message) from error
    except (pint.UndefinedUnitError, pint.errors.DefinitionSyntaxError) as error:
        message = f"unit {unit!r} or {to!r} is not known: {error}"
        raise ValueError(message) from error


def mass(volume: float, *, unit: str, bulk_density_kg_m3: float, to: str) -> float:
    """Mass of a loose volume at a stated bulk density.

    Source: derived: mass = volume × bulk density.

    Args:
        volume: loose volume, in `unit`.
        unit: a unit of volume.
        bulk_density_kg_m3: bulk density [kg/m³], greater than 0.
        to: a unit of mass.

    Returns:
        The mass in `to`.

    Raises:
        ValueError: a density of 0 or less, or units of another dimension.

    >>> mass(2, unit="m³", bulk_density_kg_m3=1600, to="t")
    3.2
    """
    _require_density(bulk_density_kg_m3)
    return convert(convert(volume, unit=unit, to="m³") * bulk_density_kg_m3, unit="kg", to=to)


def volume(mass_value: float, *, unit: str, bulk_density_kg_m3: float, to: str) -> float:
    """Loose volume of a mass at a stated bulk density.

    Source: derived: volume = mass ÷ bulk density.

    Args:
        mass_value: the mass, in `unit`.
        unit: a unit of mass.
        bulk_density_kg_m3: bulk density [kg/m³], greater than 0.
        to: a unit of volume.

    Returns:
        The loose volume in `to`.

    Raises:
        ValueError: a density of 0 or less, or units of another dimension.

    >>> volume(3.2, unit="t", bulk_density_kg_m3=1600, to="m³")
    2.0
    """
    _require_density(bulk_density_kg_m3)
    return convert(convert(mass_value, unit=unit, to="kg") / bulk_density_kg_m3, unit="m³", to=to)


def _require_density(bulk_density_kg_m3: float) -> None:
    if not bulk_density_kg_m3 > 0:
        message = f"bulk density {bulk_density_kg_m3} kg/m³ must be greater than 0"
        raise ValueError(message)
