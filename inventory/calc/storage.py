"""How much a store takes: bags by floor and height of the stacks."""

import math
from fractions import Fraction

from estimates.standards.values import Profile


def bagged_kg(floor_m2: Fraction, *, high: int, profile: Profile) -> int:
    """Tell how much bagged material a floor takes.

    Source: IS 4082 as a public page gives it: 4.5 to 5 m² of floor for a tonne in one layer, and 0.75 m² at
    ten bags high with half as much again for aisles, which is 5 / 10 × 1.5; other heights follow from it.

    Args:
        floor_m2: dry floor of the store with its aisles [m²], above 0.
        high: bags on each other, from 1 to the profile's most.
        profile: the firm's figures, under `storage.bags`.

    Returns:
        Whole kilograms, rounded down.

    Raises:
        ValueError: no floor, or a height out of its bounds.

    15 m² at ten bags high take 20 t (0.75 m² for a tonne):

    >>> from estimates.standards import load
    >>> bagged_kg(Fraction(15), high=10, profile=load.profile("is"))
    20000
    """
    most = round(profile.number("storage.bags.most_high"))
    if floor_m2 <= 0:
        raise ValueError(f"a floor of {float(floor_m2):g} m² must be above 0")
    if not 1 <= high <= most:
        raise ValueError(f"{high} bags high must be from 1 to {most}")
    layer = Fraction(str(profile.number("storage.bags.layer")))
    aisles = 1 + Fraction(str(profile.number("storage.bags.aisles"))) / 100
    return math.floor(floor_m2 * 1_000 * high / (layer * aisles))


def beyond(*, capacity: int, on_hand: int, coming: int) -> int:
    """Tell how much will not fit when all that is ordered comes.

    Source: derived: on hand + coming − capacity.

    Args:
        capacity: stock units that the store takes.
        on_hand: stock units in it.
        coming: stock units still to come by open orders.

    Returns:
        Stock units, 0 when all of it fits.

    >>> [beyond(capacity=20, on_hand=8, coming=c) for c in (12, 15)]
    [0, 3]
    """
    over = on_hand + coming - capacity
    return over if over > 0 else 0
