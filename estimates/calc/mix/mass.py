"""Nominal mixes by mass: rows of a published table, or parts by mass with their absolute volumes."""

from typing import Final

from estimates.calc import units
from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.mix import lines, methods
from estimates.calc.mix.lines import DRAWN, Made
from estimates.calc.sheet.mix import NominalMassMix
from estimates.standards.load import Profile

_PER_BAG: Final = "kg/bag"


def quantities(mix: NominalMassMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    """Cement, sand, stone by size and water of a volume of concrete.

    Source: a row stated per bag (IS 456 table 9) or parts by mass: derived: masses ÷ particle densities,
    with the water and the air, give the yield of a bag. A row stated per cubic metre or cubic foot
    (the standardised prescribed mixes, the small-job table): the row's masses as they stand.

    Args:
        mix: the mix of the drawing.
        concrete: net concrete [m³].
        profile: the standards profile.

    Returns:
        `cement` [kg], `sand` and `stone.<size>` [m³ loose], their masses [kg], `water` [L].

    Raises:
        ValueError: the row is not one of the profile's, or neither the row nor the sheet states the water.

    >>> from estimates.standards import load
    >>> m20 = NominalMassMix(
    ...     kind="nominal_mass", row="m20", stone_split={"20": 60, "10": 40}, air_percent=0.0)
    >>> round(quantities(m20, concrete=Input(1, "m³", "by hand"), profile=load.profile("is"))[0].net)
    357
    """
    if mix.row is not None and mix.row not in methods.rows(profile):
        known = ", ".join(methods.rows(profile)) or "none"
        message = f"mix by mass {mix.row!r} is not known to profile {profile.id}; it has {known}"
        raise ValueError(message)
    if mix.row is not None and f"mass_mix.{mix.row}.cement" in profile.values:
        return _per_volume(mix, row=mix.row, concrete=concrete, profile=profile)
    return _per_bag(mix, concrete=concrete, profile=profile)


def per_bag(mix: NominalMassMix, *, profile: Profile) -> dict[str, Input]:
    """What goes to one bag, or to the parts of cement, of a mix that is stated so.

    Source: IS 456 table 9 as the standards data cite it, or the drawing's parts by mass.

    Args:
        mix: the mix of the drawing, not one stated per cubic metre.
        profile: the standards profile.

    Returns:
        `bag` [kg of cement], `sand` and `stone` [kg] as inputs, with `aggregate` and `ratio` where the row
        gives their sum.

    >>> from estimates.standards import load
    >>> m20 = NominalMassMix(kind="nominal_mass", row="m20", stone_split={"20": 60, "10": 40})
    >>> per_bag(m20, profile=load.profile("is"))["aggregate"].value
    250.0
    """
    if mix.parts is not None:
        return {
            "bag": Input(mix.parts.cement, "part", DRAWN),
            "sand": Input(mix.parts.sand, "part", DRAWN),
            "stone": Input(mix.parts.stone, "part", DRAWN),
        }
    ratio = cited(profile.value("mass_ratio.stone_to_sand"))
    if mix.stone_to_sand is not None:
        ratio = Input(mix.stone_to_sand, "1", "drawing: stone to sand by mass")
    return {
        "bag": cited(profile.value("mass_ratio.bag")),
        "aggregate": cited(profile.value(f"mass_mix.{mix.row}.aggregate")),
        "ratio": ratio,
    }


def ratio(mix: NominalMassMix, *, profile: Profile) -> Input:
    """Free water to cement, by mass: the sheet's, else the row's most.

    Source: the sheet's `water_cement`, else `mass_mix.<row>.water` of the standards data.

    Args:
        mix: the mix of the drawing.
        profile: the standards profile.

    Returns:
        The ratio [1].

    Raises:
        ValueError: neither states it.

    >>> from estimates.standards import load
    >>> m20 = NominalMassMix(kind="nominal_mass", row="m20", stone_split={"20": 60, "10": 40})
    >>> ratio(m20, profile=load.profile("is")).value
    0.6
    """
    if mix.water_cement is not None:
        return Input(mix.water_cement, "1", "drawing: water/cement by mass")
    key = f"mass_mix.{mix.row}.water"
    if key not in profile.values:
        message = f"the mix by mass {mix.row or 'by parts'!r} states no water; give water_cement"
        raise ValueError(message)
    water = profile.value(key)
    if f"mass_mix.{mix.row}.cement" in profile.values:
        cement = profile.number(f"mass_mix.{mix.row}.cement")
    else:
        cement = profile.number("mass_ratio.bag")
    source = f"{water.citation}: {water.value:g} {water.unit} to {cement:g} of cement"
    return Input(water.value / cement, "1", source)


def _per_bag(mix: NominalMassMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    given = per_bag(mix, profile=profile)
    sand, stone = ("sand", "stone") if mix.parts is not None else _split()
    source = "drawing: parts by mass" if mix.parts is not None else given["aggregate"].source
    made = Made(f"nominal mix by mass, {mix.row or 'parts'}, yield by absolute volumes", source)
    shared = {
        "concrete": concrete,
        "air": lines.air(mix, profile=profile),
        **given,
        "water_cement": ratio(mix, profile=profile),
        "water_density": lines.water_density(profile),
        "cement_particle": lines.particle(mix, material="cement", profile=profile),
        "sand_particle": lines.particle(mix, material="sand", profile=profile),
    }
    terms = [
        "bag / cement_particle",
        f"{sand} / sand_particle",
        "bag * water_cement / water_density / 1000",
    ]
    for size, percent in lines.sizes(mix).items():
        shared[f"share_{size}"] = Input(percent, "%", "drawing: stone split")
        shared[f"particle_{size}"] = lines.particle(mix, material=f"stone-{size}", profile=profile)
        terms.append(f"{stone} * share_{size} / 100 / particle_{size}")
    formula = f"concrete * (1 - air / 100) / ({' + '.join(terms)}) * bag"
    cement = lines.cement(formula, inputs=shared, made=made)
    inputs = {"cement": carried(cement), **given}
    return _rest(
        mix,
        cement=cement,
        sand=f"cement / bag * {sand}",
        stone=f"cement / bag * {stone}",
        inputs=inputs,
        made=made,
        profile=profile,
    )


def _split() -> tuple[str, str]:
    return "(aggregate / (1 + ratio))", "(aggregate - aggregate / (1 + ratio))"


def _per_volume(mix: NominalMassMix, *, row: str, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    content = {
        name: _kg_m3(row, name=name, profile=profile)
        for name in ("cement", "sand", "stone")
        if f"mass_mix.{row}.{name}" in profile.values
    }
    made = Made(f"nominal mix by mass, {row}, per volume as printed", content["cement"].source)
    shared = {"concrete": concrete}
    cement = lines.cement("concrete * content", inputs=shared | {"content": content["cement"]}, made=made)
    return _rest(
        mix,
        cement=cement,
        sand="concrete * sand",
        stone="concrete * stone",
        inputs=shared | {"sand": content["sand"], "stone": content["stone"]},
        made=made,
        profile=profile,
    )


def _kg_m3(row: str, *, name: str, profile: Profile) -> Input:
    value = profile.value(f"mass_mix.{row}.{name}")
    if value.unit == "kg/m³":
        return cited(value)
    converted = units.convert(value.value, unit=value.unit, to="kg/m³")
    return Input(converted, "kg/m³", f"{value.citation}: {value.value:g} {value.unit}")


def _rest(  # noqa: PLR0913 - the one form of the lines after the cement
    mix: NominalMassMix,
    *,
    cement: Quantity,
    sand: str,
    stone: str,
    inputs: dict[str, Input],
    made: Made,
    profile: Profile,
) -> tuple[Quantity, ...]:
    """Sand, stone and water: masses by the mix, loose volumes through the bulk densities."""
    bulk = lines.bulk(mix, material="sand", profile=profile)
    by_bulk = inputs | {"bulk_density": bulk}
    found = [*lines.loose("sand", formula=f"{sand} / bulk_density", inputs=by_bulk, made=made, density=bulk)]
    for size, percent in lines.sizes(mix).items():
        bulk = lines.bulk(mix, material=f"stone-{size}", profile=profile)
        share = Input(percent, "%", "drawing: stone split")
        by_bulk = inputs | {"bulk_density": bulk, "share": share}
        formula = f"{stone} * share / 100 / bulk_density"
        found += lines.loose(f"stone-{size}", formula=formula, inputs=by_bulk, made=made, density=bulk)
    water = {
        "cement": carried(cement),
        "water_cement": ratio(mix, profile=profile),
        "water_density": lines.water_density(profile),
    }
    poured = lines.water("cement * water_cement / water_density", inputs=water, made=made)
    return (cement, *found, poured)
