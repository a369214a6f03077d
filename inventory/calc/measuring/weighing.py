"""Loads that were weighed: on a bridge, by ten of their bags, by a few of their bars."""

from fractions import Fraction


def net(*, gross: Fraction, tare: Fraction) -> Fraction:
    """Mass of a load from two weighings of its vehicle.

    Source: derived: difference.

    Args:
        gross: vehicle with its load [kg].
        tare: vehicle without it [kg], 0 or more.

    Returns:
        The mass [kg], above 0.

    Raises:
        ValueError: the vehicle weighs as much without its load as with it, or a mass is below 0.

    >>> net(gross=Fraction(26_480), tare=Fraction(9_730))
    Fraction(16750, 1)
    """
    if tare < 0 or gross <= tare:
        raise ValueError(
            f"gross {float(gross):g} kg must be above the tare {float(tare):g} kg, and that 0 or more"
        )
    return gross - tare


def loose_volume(mass: Fraction, *, density: Fraction) -> Fraction:
    """Volume of loose material from its mass.

    Source: derived: mass ÷ bulk density of the material as it lies.

    Args:
        mass: mass as it lies [kg], above 0.
        density: bulk density as it lies [kg/m³], above 0.

    Returns:
        The volume [m³].

    Raises:
        ValueError: a density that is not above 0.

    33.48 t at 1.6 t/m³ (paramvisions.com, 2022):

    >>> float(loose_volume(Fraction(33_480), density=Fraction(1_600)))
    20.925
    """
    if density <= 0:
        raise ValueError(f"bulk density {float(density):g} kg/m³ must be above 0")
    return mass / density


def mean(total: Fraction, *, of: int) -> Fraction:
    """Mean mass of the bags weighed.

    Source: derived: total ÷ number.

    Args:
        total: mass of the bags weighed together [kg], above 0.
        of: how many, above 0.

    Returns:
        The mean [kg].

    Raises:
        ValueError: no bag, or no mass.

    >>> float(mean(Fraction("494.5"), of=10))
    49.45
    """
    if of <= 0 or total <= 0:
        raise ValueError(f"{of} bags of together {float(total):g} kg: both must be above 0")
    return total / of


def per_metre(mass: Fraction, *, length: Fraction) -> Fraction:
    """Mass of a metre of bar from pieces that were weighed and measured together.

    Source: derived: mass ÷ length.

    Args:
        mass: mass of all pieces [kg], above 0.
        length: length of all pieces [m], above 0.

    Returns:
        The mass of a metre [kg/m].

    Raises:
        ValueError: no mass or no length.

    >>> float(per_metre(Fraction("4.89"), length=Fraction(3)))
    1.63
    """
    if mass <= 0 or length <= 0:
        raise ValueError(f"{float(mass):g} kg over {float(length):g} m: both must be above 0")
    return mass / length


def deviation_percent(found: Fraction, *, nominal: Fraction) -> Fraction:
    """How far what was found lies from what it should be.

    Source: derived: (found − nominal) ÷ nominal.

    Args:
        found: mass found, in any unit.
        nominal: mass by the print or the table, in the same unit, above 0.

    Returns:
        The deviation [%], below 0 when it is short.

    Raises:
        ValueError: a nominal mass that is not above 0.

    16 mm at 1.63 where the table has 1.58 kg/m:

    >>> round(float(deviation_percent(Fraction("1.63"), nominal=Fraction("1.58"))), 2)
    3.16
    """
    if nominal <= 0:
        raise ValueError(f"nominal {float(nominal):g} must be above 0")
    return (found - nominal) / nominal * 100
