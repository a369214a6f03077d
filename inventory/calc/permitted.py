"""How far the use of a material may lie from its design before it is a finding."""

from inventory.calc.variances import PermittedVariation

CEMENT = PermittedVariation(
    over_bp=300,
    under_bp=300,
    source="common practice (from memory): public works contracts of India, cement within 3 %",
)
STEEL = PermittedVariation(
    over_bp=200,
    under_bp=200,
    source="common practice (from memory): public works contracts of India, steel within 2 % per size",
)
OTHER = PermittedVariation(
    over_bp=500, under_bp=500, source="ours: heaps are measured less finely than bags and bars are counted"
)


def variation(material: str) -> PermittedVariation:
    """Tell the permitted variation of a material by its code.

    Source: common practice, as each variation says.

    Args:
        material: code of the material, such as cement or steel-12.

    Returns:
        The permitted variation, in basis points of what the bill allows.

    >>> [variation(code).over_bp for code in ("cement", "steel-12", "sand")]
    [300, 200, 500]
    """
    if material == "cement":
        return CEMENT
    return STEEL if material.startswith("steel-") else OTHER
