"""Units of the trade beside metric ones: which of them a profile's trade uses for a quantity."""

from collections.abc import Mapping
from typing import Final, NamedTuple

from estimates.calc import units

SACK_LB: Final = 94.0
"""A sack of portland cement in American trade [lb]: one cubic foot, loose (ASTM C150 packaging)."""

_QUINTAL_KG: Final = 100
_AMERICAN: Final[Mapping[str, tuple[str, ...]]] = {
    "m³": ("yd³",),
    "m²": ("ft²",),
    "m": ("ft",),
    "mm": ("in",),
    "kg": ("lb",),
    "L": ("gal",),
    "ml": ("fl oz",),
    "kg/m": ("lb/ft",),
}
_LOOSE: Final[Mapping[str, tuple[str, ...]]] = {"m³": ("ft³", "brass"), "L": ("ft³",)}
_HEAPS: Final = ("sand", "stone", "gauge")
_OF_A_BATCH: Final = ("gauge", "bag.yield")
_HEAVY: Final = ("cement", "steel")
_WRITTEN: Final[Mapping[str, str]] = {"fl oz": "fl_oz"}
"""Units whose sign the registry writes otherwise."""

_YARD_M3: Final = 0.9144**3


class Amount(NamedTuple):
    """A quantity in a unit of the trade."""

    value: float
    unit: str


def also(value: float, *, unit: str, profile: str, key: str = "") -> tuple[Amount, ...]:
    """A metric quantity in the units of a profile's trade.

    Source: the registry's definitions; common practice: American trade goes by yards, feet, pounds, gallons
    and sacks of 94 lb; Indian trade measures sand and stone by the cubic foot and the brass, and weighs by
    the quintal.

    Args:
        value: the quantity, in `unit`.
        unit: a metric unit as shown, as "m³", "kg" or "kg/m".
        profile: id of the profile.
        key: what is measured, as a line or step names it: "sand", "cement", "steel.size.8", "gauge.sand".

    Returns:
        The same quantity in each unit; nothing where the trade goes by metric units.

    >>> [(round(one.value, 2), one.unit) for one in also(426.3768278, unit="kg", profile="aci", key="cement")]
    [(940.0, 'lb'), (10.0, 'sacks')]
    """
    found = tuple(
        Amount(_convert(value, unit=unit, to=other), other)
        for other in _units(value, unit=unit, profile=profile, key=key)
    )
    if profile == "aci" and unit == "kg" and key.startswith("cement"):
        return (*found, Amount(found[0].value / SACK_LB, "sacks"))
    return found


def of_a_yard(value: float, *, unit: str, to: str) -> float:
    """What one cubic yard of concrete takes, of what one cubic metre takes so much.

    Source: the yard of 1959; derived: a cubic yard is 0.9144³ m³.

    Args:
        value: the content of one cubic metre, in `unit`.
        unit: a metric unit.
        to: a unit of the trade of the same dimension.

    Returns:
        The content of one cubic yard, in `to`.

    >>> round(of_a_yard(356, unit="kg", to="lb"))
    600
    """
    return units.convert(value * _YARD_M3, unit=unit, to=to)


def _units(value: float, *, unit: str, profile: str, key: str) -> tuple[str, ...]:
    if profile == "aci":
        return ("ft³",) if unit == "L" and key.startswith(_OF_A_BATCH) else _AMERICAN.get(unit, ())
    if profile != "is":
        return ()
    if key.startswith(_HEAPS):
        return _LOOSE.get(unit, ())
    return ("quintal",) if unit == "kg" and key.startswith(_HEAVY) and value >= _QUINTAL_KG else ()


def _convert(value: float, *, unit: str, to: str) -> float:
    unit = "cm³" if unit == "ml" else unit
    return units.convert(value, unit=unit, to=_WRITTEN.get(to, to))
