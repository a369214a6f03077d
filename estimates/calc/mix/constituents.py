"""Concrete into its constituents, whatever kind of mix the drawing states."""

from estimates.calc.derivation import Input, Quantity
from estimates.calc.mix import admixtures, designed, mass, volume
from estimates.calc.sheet.mix import AnyMix, DesignedMix, NominalMassMix
from estimates.standards.load import Profile


def quantities(mix: AnyMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    """Cement, sand, stone by size, water and admixtures of a volume of concrete.

    Source: the mix's own: `volume`, `mass` and `designed` beside this file, then `admixtures`.

    Args:
        mix: the mix of the drawing.
        concrete: net concrete [m³].
        profile: the standards profile.

    Returns:
        `cement` [kg], `sand` and `stone.<size>` [m³ loose], their masses [kg], `water` [L], admixtures [L].

    Raises:
        ValueError: the method or the row is not one of the profile's; the message names those that are.

    >>> from estimates.calc.sheet.mix import MixParts, NominalVolumeMix
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="analysis_of_rates")
    >>> one = quantities(m20, concrete=Input(1, "m³", "by hand"), profile=load.profile("is"))
    >>> {item.key: round(item.net, 3) for item in one[:2]}
    {'cement': 399.981, 'sand': 0.425}
    """
    if isinstance(mix, DesignedMix):
        found = designed.quantities(mix, concrete=concrete, profile=profile)
    elif isinstance(mix, NominalMassMix):
        found = mass.quantities(mix, concrete=concrete, profile=profile)
    else:
        found = volume.quantities(mix, concrete=concrete, profile=profile)
    method = found[0].method
    doses = (
        admixtures.quantity(item, cement=found[0], concrete=concrete, method=method)
        for item in mix.admixtures
    )
    return (*found, *doses)
