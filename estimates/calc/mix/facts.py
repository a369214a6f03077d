"""What the checks ask of a mix, whatever its kind."""

from estimates.calc.mix import mass
from estimates.calc.sheet.mix import AnyMix, DesignedMix, NominalMassMix
from estimates.standards.load import Profile


def water_cement(mix: AnyMix, *, profile: Profile) -> float:
    """Free water to cement, by mass.

    Source: derived: stated on the drawing, by the row of the table, or water ÷ cement of a designed mix.

    Args:
        mix: the mix.
        profile: the standards profile.

    Returns:
        The ratio [1].

    Raises:
        ValueError: a mix by mass whose water is stated nowhere.
    """
    if isinstance(mix, DesignedMix):
        return mix.water_kg_m3 / mix.cement_kg_m3
    if isinstance(mix, NominalMassMix):
        return mass.ratio(mix, profile=profile).value
    return mix.water_cement


def largest_stone_mm(mix: AnyMix) -> int:
    """The largest stone size of which the mix holds any.

    Source: derived.

    Args:
        mix: the mix.

    Returns:
        The nominal size [mm].

    >>> largest_stone_mm(DesignedMix(kind="designed", cement_kg_m3=400, water_kg_m3=180, sand_kg_m3=660,
    ...     stone_kg_m3={"20": 1168}, sand_bulk_kg_m3=1650, stone_bulk_kg_m3={"20": 1460}))
    20
    """
    shares = mix.stone_kg_m3 if isinstance(mix, DesignedMix) else mix.stone_split
    return max(int(size) for size, share in shares.items() if share)
