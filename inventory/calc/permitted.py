"""How far the use of a material may lie from its design before it is a finding."""

from estimates.standards.values import Profile
from inventory.calc.variances import PermittedVariation

BASIS_POINTS = 100
"""Basis points in one per cent."""


def variation(material: str, *, profile: Profile) -> PermittedVariation:
    """Tell the permitted variation of a material by its code.

    Source: the profile's values under `permitted`, each with its own citation.

    Args:
        material: code of the material, such as cement or steel-12.
        profile: standards profile of the slab's bill.

    Returns:
        The permitted variation, in basis points of what the bill allows.

    >>> from estimates.standards import load
    >>> [variation(code, profile=load.profile("is")).over_bp for code in ("cement", "steel-12", "sand")]
    [300, 200, 500]
    """
    kind = material.split("-", maxsplit=1)[0]
    cited = profile.value(f"permitted.{kind if kind in {'cement', 'steel'} else 'other'}")
    points = round(cited.value * BASIS_POINTS)
    return PermittedVariation(over_bp=points, under_bp=points, source=cited.citation)
