"""Concrete into its constituents: nominal mixes by volume under named methods, and designed mixes."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, carried, cited
from estimates.calc.sheet.mix import Admixture, DesignedAdmixture, DesignedMix, NominalVolumeMix
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, StandardsError

_DRAWN: Final = "drawing: mix"
_SHARE: Final = "(cement_part + sand_part + stone_part)"
_TITLES: Final = {
    "waterproofer": gettext_noop("Integral waterproofing compound"),
    "plasticiser": gettext_noop("Plasticiser"),
    "sand": gettext_noop("Sand, loose"),
    "sand.mass": gettext_noop("Sand, mass when dry"),
    "stone-20": gettext_noop("Stone 20 mm, loose"),
    "stone-20.mass": gettext_noop("Stone 20 mm, mass when dry"),
    "stone-10": gettext_noop("Stone 10 mm, loose"),
    "stone-10.mass": gettext_noop("Stone 10 mm, mass when dry"),
}


def quantities(
    mix: NominalVolumeMix | DesignedMix, *, concrete: Input, profile: Profile
) -> tuple[Quantity, ...]:
    """Cement, sand, stone by size, water and admixtures of a volume of concrete.

    Source: nominal: dry-volume factor and cement density of the mix's method (`mix.<method>` of the standards
    data), loose volumes in proportion to the parts. Designed: the drawing's masses per cubic metre, loose
    volumes through the bulk densities that it states.

    Args:
        mix: the mix of the drawing.
        concrete: net concrete [m³].
        profile: the standards profile.

    Returns:
        `cement` [kg], `sand` and `stone.<size>` [m³ loose], their masses [kg], `water` [L], admixtures [L].

    Raises:
        ValueError: the method is not one of the profile's; the message names those that are.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="analysis_of_rates")
    >>> one = quantities(m20, concrete=Input(1, "m³", "by hand"), profile=load.profile("is"))
    >>> {item.key: round(item.net, 3) for item in one[:2]}
    {'cement': 399.981, 'sand': 0.425}
    """
    if isinstance(mix, DesignedMix):
        return _designed(mix, concrete=concrete, profile=profile)
    return _nominal(mix, concrete=concrete, profile=profile)


def method_name(mix: NominalVolumeMix, *, profile: Profile) -> str:
    """The named method of a nominal mix: the sheet's, or the profile's own.

    Source: `mix.default_method` of the standards data.

    Args:
        mix: the mix of the drawing.
        profile: the standards profile.

    Returns:
        The id of the method, as "analysis_of_rates".

    Raises:
        ValueError: the method is not one of the profile's; the message names those that are.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40})
    >>> method_name(m20, profile=load.profile("is"))
    'analysis_of_rates'
    """
    name = mix.method or profile.choice("mix.default_method").value
    known = methods(profile)
    if name not in known:
        message = f"mix method {name!r} is not known to profile {profile.id}; it has {', '.join(known)}"
        raise ValueError(message)
    return name


def methods(profile: Profile) -> tuple[str, ...]:
    """The named methods for nominal mixes by volume.

    Source: `mix.<method>.dry_factor` of the standards data.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> methods(load.profile("is"))[:2]
    ('analysis_of_rates', 'dry_volume_152')
    """
    keys = profile.group("mix")
    return tuple(sorted(key.removesuffix(".dry_factor") for key in keys if key.endswith(".dry_factor")))


def loss_held(mix: NominalVolumeMix | DesignedMix, *, profile: Profile) -> float:
    """Loss that the dry-volume factor of a nominal mix holds already.

    Source: derived: factor ÷ `mix_loss.factor_without_loss` − 1. Dry over wet volume is about 1.50; a page
    that explains 1.52 calls the rest waste.

    Args:
        mix: the mix of the drawing.
        profile: the standards profile.

    Returns:
        The loss [%], 0 for a designed mix.

    Raises:
        ValueError: the method is not one of the profile's.

    >>> from estimates.calc.sheet.mix import MixParts
    >>> from estimates.standards import load
    >>> m20 = NominalVolumeMix(kind="nominal_volume", parts=MixParts(1, 1.5, 3), water_cement=0.5,
    ...     stone_split={"20": 60, "10": 40}, method="dry_volume_152")
    >>> round(loss_held(m20, profile=load.profile("is")), 2)
    1.33
    """
    if isinstance(mix, DesignedMix):
        return 0.0
    factor = profile.number(f"mix.{method_name(mix, profile=profile)}.dry_factor")
    without = profile.number("mix_loss.factor_without_loss")
    if factor < without:
        message = f"dry factor {factor} is below {without}, the ratio of dry to wet volume without any loss"
        raise StandardsError(message)
    return (factor / without - 1) * 100


def _nominal(mix: NominalVolumeMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    name = method_name(mix, profile=profile)
    factor = profile.value(f"mix.{name}.dry_factor")
    shared = {
        "concrete": concrete,
        "dry_factor": cited(factor),
        "cement_part": Input(mix.parts.cement, "part", _DRAWN),
        "sand_part": Input(mix.parts.sand, "part", _DRAWN),
        "stone_part": Input(mix.parts.stone, "part", _DRAWN),
    }
    made = {"method": f"nominal mix by volume, {name}", "source": factor.citation}
    cement = _cement(
        f"concrete * dry_factor * cement_part / {_SHARE} * cement_density",
        inputs=shared | {"cement_density": cited(profile.value(f"mix.{name}.cement_density"))},
        made=made,
    )
    formula = f"concrete * dry_factor * sand_part / {_SHARE}"
    found = [
        cement,
        *_loose("sand", formula=formula, inputs=shared, made=made, density=_bulk("sand", profile)),
    ]
    formula = f"concrete * dry_factor * stone_part / {_SHARE} * share / 100"
    for size, percent in mix.stone_split.items():
        if percent:
            inputs = shared | {"share": Input(percent, "%", "drawing: stone split")}
            density = _bulk(f"stone-{size}", profile)
            found += _loose(f"stone-{size}", formula=formula, inputs=inputs, made=made, density=density)
    inputs = {
        "cement": carried(cement),
        "water_cement": Input(mix.water_cement, "1", "drawing: water/cement by mass"),
        "water_density": cited(profile.value("density.water")),
    }
    water = _water("cement * water_cement / water_density", inputs=inputs, made=made)
    return (*found, water, *(_dosed(item, cement=cement, made=made) for item in mix.admixtures))


def _designed(mix: DesignedMix, *, concrete: Input, profile: Profile) -> tuple[Quantity, ...]:
    made = {"method": "designed mix by mass", "source": _DRAWN}

    def content(mass_kg_m3: float) -> dict[str, Input]:
        return {"concrete": concrete, "content": Input(mass_kg_m3, "kg/m³", _DRAWN)}

    found = [_cement("concrete * content", inputs=content(mix.cement_kg_m3), made=made)]
    stones = [(f"stone-{size}", mass, mix.stone_bulk_kg_m3[size]) for size, mass in mix.stone_kg_m3.items()]
    for code, mass, bulk in [("sand", mix.sand_kg_m3, mix.sand_bulk_kg_m3), *stones]:
        density = Input(bulk, "kg/m³", "drawing: bulk density as bought")
        inputs = content(mass) | {"bulk_density": density}
        formula = "concrete * content / bulk_density"
        found += _loose(code, formula=formula, inputs=inputs, made=made, density=density)
    inputs = content(mix.water_kg_m3) | {"water_density": cited(profile.value("density.water"))}
    water = _water("concrete * content / water_density", inputs=inputs, made=made)
    return (*found, water, *(_designed_dose(item, concrete=concrete, made=made) for item in mix.admixtures))


def _bulk(code: str, profile: Profile) -> Input:
    return cited(profile.value(f"density.{code}"))


def _cement(formula: str, *, inputs: dict[str, Input], made: dict[str, str]) -> Quantity:
    return Quantity(
        key="cement",
        member=gettext_noop("concrete"),
        title=gettext_noop("Cement"),
        unit="kg",
        formula=formula,
        inputs=inputs,
        material="cement",
        kind="cement",
        **made,
    )


def _loose(
    code: str, *, formula: str, inputs: dict[str, Input], made: dict[str, str], density: Input
) -> tuple[Quantity, Quantity]:
    """The loose volume that is bought, and its mass for those who buy by mass."""
    key = code.replace("-", ".")
    volume = Quantity(
        key=key,
        member=gettext_noop("concrete"),
        title=_TITLES[code],
        unit="m³",
        formula=formula,
        inputs=inputs,
        material=code,
        kind=code.split("-", maxsplit=1)[0],
        **made,
    )
    mass = Quantity(
        key=f"{key}.mass",
        member=gettext_noop("concrete"),
        title=_TITLES[f"{code}.mass"],
        unit="kg",
        formula="volume * bulk_density",
        inputs={"volume": carried(volume), "bulk_density": density},
        method="loose volume × bulk density",
        source=density.source,
    )
    return volume, mass


def _water(formula: str, *, inputs: dict[str, Input], made: dict[str, str]) -> Quantity:
    return Quantity(
        key="water",
        member=gettext_noop("concrete"),
        title=gettext_noop("Mixing water, sand and stone taken as surface-dry"),
        unit="L",
        formula=formula,
        inputs=inputs,
        kind="water",
        **made,
    )


def _dosed(item: Admixture, *, cement: Quantity, made: dict[str, str]) -> Quantity:
    inputs = {
        "cement": carried(cement),
        "bag": Input(item.bag_kg, "kg", "drawing: bag that the dose is stated for"),
        "dose": Input(item.dose_ml_per_bag, "ml", "drawing: dose per bag"),
    }
    return _admixture(item.material, formula="cement / bag * dose / 1000", inputs=inputs, made=made)


def _designed_dose(item: DesignedAdmixture, *, concrete: Input, made: dict[str, str]) -> Quantity:
    inputs = {
        "concrete": concrete,
        "dose": Input(item.dose_kg_m3, "kg/m³", "drawing: dose"),
        "density": Input(item.density_kg_l, "kg/L", "drawing: density of the admixture"),
    }
    return _admixture(item.material, formula="concrete * dose / density", inputs=inputs, made=made)


def _admixture(material: str, *, formula: str, inputs: dict[str, Input], made: dict[str, str]) -> Quantity:
    return Quantity(
        key=f"admixture.{material}",
        member=gettext_noop("concrete"),
        title=_TITLES[material],
        unit="L",
        formula=formula,
        inputs=inputs,
        material=material,
        kind="admixture",
        method=made["method"],
        source=_DRAWN,
    )
