"""Steel is paid by mass and used by length: what a delivery's mass per metre means for both."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Delivered:
    """A delivery paid by mass [kg], in length [m] and in the mass that this length should have [kg].

    `loss_kg` is positive when bars are heavy (paid for, but no metre gained), negative when they are light.
    `excess_percent` is how far the measured mass per metre lies above the nominal one [%].
    """

    length_m: float
    length_at_nominal_m: float
    nominal_mass_kg: float
    loss_kg: float
    excess_percent: float


def delivered(paid_kg: float, *, measured_kg_per_m: float, nominal_kg_per_m: float) -> Delivered:
    """Turns paid mass into usable length and the loss or gain between the two.

    Source: derived: length = mass / measured mass per metre; loss = paid mass less
    length × nominal mass per metre.

    Args:
        paid_kg: mass on the bill [kg].
        measured_kg_per_m: mass of a metre as weighed on site [kg/m].
        nominal_kg_per_m: mass of a metre by the standard's table [kg/m].

    Returns:
        The delivery in length and mass.

    Raises:
        ValueError: a number is not positive.

    >>> round(delivered(100_000, measured_kg_per_m=1.63, nominal_kg_per_m=1.58).loss_kg, 1)
    3067.5
    """
    for name, value in (
        ("mass paid", paid_kg),
        ("measured mass per metre", measured_kg_per_m),
        ("nominal mass per metre", nominal_kg_per_m),
    ):
        if not value > 0:
            message = f"{name} {value:g} must be more than 0; weigh and measure again"
            raise ValueError(message)
    length_m = paid_kg / measured_kg_per_m
    nominal_mass_kg = length_m * nominal_kg_per_m
    return Delivered(
        length_m=length_m,
        length_at_nominal_m=paid_kg / nominal_kg_per_m,
        nominal_mass_kg=nominal_mass_kg,
        loss_kg=paid_kg - nominal_mass_kg,
        excess_percent=(measured_kg_per_m / nominal_kg_per_m - 1) * 100,
    )
