"""Nominal mixes by loose volume: under a dry-volume factor, or by absolute volumes."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.mix import lines, methods
from estimates.calc.mix.lines import DRAWN, Made
from estimates.calc.sheet.mix import NominalVolumeMix
from estimates.standards.load import Profile

_SHARE: Final = "(cement_part + sand_part + stone_part)"
_BATCH: Final = "(cement_part * cement_density)"


def quantities(mix: NominalVolumeMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    """Cement, sand, stone by size and water of a volume of concrete.

    Source: by a dry-volume factor: the factor and the cement density of the mix's method
    (`mix.<method>` of the standards data), loose volumes in proportion to the parts. By absolute volumes:
    derived: parts × bulk densities give masses, masses ÷ particle densities give the solid volume, and
    with the water and the air they fill the concrete.

    Args:
        mix: the mix of the drawing.
        concrete: net concrete [m³].
        profile: the standards profile.

    Returns:
        `cement` [kg], `sand` and `stone.<size>` [m³ loose], their masses [kg], `water` [L].

    Raises:
        ValueError: the method is not one of the profile's; the message names those that are.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="absolute_volumes")
    >>> round(quantities(m20, concrete=Input(1, "m³", "by hand"), profile=load.profile("is"))[0].net)
    375
    """
    name = methods.method_name(mix, profile=profile)
    if methods.by_dry_factor(name, profile=profile):
        return _by_factor(mix, name=name, concrete=concrete, profile=profile)
    return _by_absolute_volumes(mix, name=name, concrete=concrete, profile=profile)


def _parts(mix: NominalVolumeMix) -> dict[str, Input]:
    return {
        "cement_part": Input(mix.parts.cement, "part", DRAWN),
        "sand_part": Input(mix.parts.sand, "part", DRAWN),
        "stone_part": Input(mix.parts.stone, "part", DRAWN),
    }


def _by_factor(
    mix: NominalVolumeMix, *, name: str, concrete: Input, profile: Profile
) -> tuple[Quantity, ...]:
    factor = profile.value(f"mix.{name}.dry_factor")
    shared = {"concrete": concrete, "dry_factor": cited(factor), **_parts(mix)}
    made = Made(f"nominal mix by volume, {name}", factor.citation)
    density = cited(profile.value(f"mix.{name}.cement_density"))
    cement = lines.cement(
        f"concrete * dry_factor * cement_part / {_SHARE} * cement_density",
        inputs=shared | {"cement_density": density},
        made=made,
    )
    sand = f"concrete * dry_factor * sand_part / {_SHARE}"
    stone = f"concrete * dry_factor * stone_part / {_SHARE} * share / 100"
    return (
        cement,
        *_aggregates(mix, sand=sand, stone=stone, inputs=shared, made=made, profile=profile),
        _water(mix, cement=cement, made=made, profile=profile),
    )


def _by_absolute_volumes(
    mix: NominalVolumeMix, *, name: str, concrete: Input, profile: Profile
) -> tuple[Quantity, ...]:
    density = profile.value(f"mix.{name}.cement_density")
    made = Made(f"nominal mix by volume, {name}", density.citation)
    shared = {
        "concrete": concrete,
        "air": lines.air(mix, profile=profile),
        **_parts(mix),
        "cement_density": lines.bulk(mix, material="cement", profile=profile),
        "cement_particle": lines.particle(mix, material="cement", profile=profile),
        "sand_density": lines.bulk(mix, material="sand", profile=profile),
        "sand_particle": lines.particle(mix, material="sand", profile=profile),
        "water_cement": Input(mix.water_cement, "1", "drawing: water/cement by mass"),
        "water_density": lines.water_density(profile),
    }
    terms = [
        f"{_BATCH} / cement_particle",
        "sand_part * sand_density / sand_particle",
        f"{_BATCH} * water_cement / water_density / 1000",
    ]
    for size, percent in lines.sizes(mix).items():
        shared |= {
            f"share_{size}": Input(percent, "%", "drawing: stone split"),
            f"density_{size}": lines.bulk(mix, material=f"stone-{size}", profile=profile),
            f"particle_{size}": lines.particle(mix, material=f"stone-{size}", profile=profile),
        }
        terms.append(f"stone_part * share_{size} / 100 * density_{size} / particle_{size}")
    # One part, as a volume: what the concrete without its air holds, over what one set of parts fills.
    one_part = f"concrete * (1 - air / 100) / ({' + '.join(terms)})"
    cement = lines.cement(f"{one_part} * {_BATCH}", inputs=shared, made=made)
    return (
        cement,
        *_aggregates(
            mix,
            sand=f"{one_part} * sand_part",
            stone=f"{one_part} * stone_part * share / 100",
            inputs=shared,
            made=made,
            profile=profile,
        ),
        _water(mix, cement=cement, made=made, profile=profile),
    )


def _aggregates(
    mix: NominalVolumeMix, *, sand: str, stone: str, inputs: dict[str, Input], made: Made, profile: Profile
) -> list[Quantity]:
    bulk = lines.bulk(mix, material="sand", profile=profile)
    found = [*lines.loose("sand", formula=sand, inputs=inputs, made=made, density=bulk)]
    for size, percent in lines.sizes(mix).items():
        share = inputs | {"share": Input(percent, "%", "drawing: stone split")}
        bulk = lines.bulk(mix, material=f"stone-{size}", profile=profile)
        found += lines.loose(f"stone-{size}", formula=stone, inputs=share, made=made, density=bulk)
    return found


def _water(mix: NominalVolumeMix, *, cement: Quantity, made: Made, profile: Profile) -> Quantity:
    inputs = {
        "cement": carried(cement),
        "water_cement": Input(mix.water_cement, "1", "drawing: water/cement by mass"),
        "water_density": lines.water_density(profile),
    }
    return lines.water("cement * water_cement / water_density", inputs=inputs, made=made)
