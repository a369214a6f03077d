"""Bars: kept by length, spoken of by mass. Length is the fact; mass follows from the mass per metre."""

from inventory.calc import money

MILLIGRAMS_PER_GRAM = 1_000


def mass_g(length_mm: int, *, mg_per_mm: int) -> int:
    """Tell what a length of bar weighs.

    Source: derived: mass = length x mass per metre (1 g/m is 1 mg/mm).

    Args:
        length_mm: length of bar in mm, of any sign (a difference may be negative).
        mg_per_mm: mass per metre in g/m, nominal or as weighed, above 0.

    Returns:
        Grams, rounded half to even, with the sign of the length.

    Raises:
        ValueError: the mass per metre is not above 0.

    A bar of 12 m of 16 mm at 1.58 kg/m:

    >>> mass_g(12_000, mg_per_mm=1_580)
    18960
    """
    _require_mass(mg_per_mm)
    return money.half_even(length_mm * mg_per_mm, denominator=MILLIGRAMS_PER_GRAM)


def length_mm(mass_g: int, *, mg_per_mm: int) -> int:
    """Tell how much bar a mass is.

    Source: derived: length = mass / mass per metre (1 g/m is 1 mg/mm).

    Args:
        mass_g: mass in g, of any sign.
        mg_per_mm: mass per metre in g/m, nominal or as weighed, above 0.

    Returns:
        Millimetres of bar, rounded half to even, with the sign of the mass.

    Raises:
        ValueError: the mass per metre is not above 0.

    >>> length_mm(18_960, mg_per_mm=1_580)
    12000
    """
    _require_mass(mg_per_mm)
    return money.half_even(mass_g * MILLIGRAMS_PER_GRAM, denominator=mg_per_mm)


def _require_mass(mg_per_mm: int) -> None:
    if mg_per_mm <= 0:
        raise ValueError(f"mass per metre {mg_per_mm} must be above 0 g/m")
