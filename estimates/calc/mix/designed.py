"""The engineer's designed mix: masses per cubic metre as the drawing states them."""

from estimates.calc.derivation import Input, Quantity
from estimates.calc.mix import lines
from estimates.calc.mix.lines import DRAWN, Made
from estimates.calc.sheet.mix import DesignedMix
from estimates.standards.load import Profile


def quantities(mix: DesignedMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    """Cement, sand, stone by size and water of a volume of concrete.

    Source: the drawing's masses per cubic metre, loose volumes through the bulk densities that it states.

    Args:
        mix: the mix of the drawing, aggregates saturated and surface-dry.
        concrete: net concrete [m³].
        profile: the standards profile.

    Returns:
        `cement` [kg], `sand` and `stone.<size>` [m³ loose], their masses [kg], `water` [L].

    >>> from estimates.standards import load
    >>> m25 = DesignedMix(kind="designed", cement_kg_m3=400, water_kg_m3=180, sand_kg_m3=660,
    ...     stone_kg_m3={"20": 1168}, sand_bulk_kg_m3=1650, stone_bulk_kg_m3={"20": 1460})
    >>> one = quantities(m25, concrete=Input(2, "m³", "by hand"), profile=load.profile("is"))
    >>> {item.key: item.net for item in one if item.material}
    {'cement': 800.0, 'sand': 0.8, 'stone.20': 1.6}
    """
    made = Made("designed mix by mass", DRAWN)

    def content(mass_kg_m3: float) -> dict[str, Input]:
        return {"concrete": concrete, "content": Input(mass_kg_m3, "kg/m³", DRAWN)}

    found = [lines.cement("concrete * content", inputs=content(mix.cement_kg_m3), made=made)]
    stones = [(f"stone-{size}", mass, mix.stone_bulk_kg_m3[size]) for size, mass in mix.stone_kg_m3.items()]
    for code, mass, bulk in [("sand", mix.sand_kg_m3, mix.sand_bulk_kg_m3), *stones]:
        density = Input(bulk, "kg/m³", "drawing: bulk density as bought")
        inputs = content(mass) | {"bulk_density": density}
        formula = "concrete * content / bulk_density"
        found += lines.loose(code, formula=formula, inputs=inputs, made=made, density=density)
    inputs = content(mix.water_kg_m3) | {"water_density": lines.water_density(profile)}
    water = lines.water("concrete * content / water_density", inputs=inputs, made=made)
    return (*found, water)
