"""Binding wire, curing water and curing cover: what follows from steel mass and slab area."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.works import Curing
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, Value

_TOP: Final = gettext_noop("top of the slab")


def binding_wire(steel_mass: Input, *, profile: Profile) -> Quantity:
    """Soft wire to tie the bars.

    Source: `binding_wire.per_tonne` of the standards data; 8 to 13 kg/t are met.

    Args:
        steel_mass: net mass of all bars [kg].
        profile: the standards profile.

    Returns:
        `steel.binding_wire` [kg].

    >>> from estimates.standards import load
    >>> binding_wire(Input(1500, "kg", "by hand"), profile=load.profile("is")).net
    15.0
    """
    rate = profile.value("binding_wire.per_tonne")
    return Quantity(
        key="steel.binding_wire",
        member="",
        title=gettext_noop("Binding wire"),
        unit="kg",
        formula="steel_mass / 1000 * per_tonne",
        inputs={"steel_mass": steel_mass, "per_tonne": cited(rate)},
        method="by mass of steel",
        source=rate.citation,
        material="binding-wire",
        kind="binding-wire",
    )


def least_days(curing: Curing, *, profile: Profile) -> Value:
    """Days that the profile asks the slab to be kept wet; an unknown cement counts as blended.

    Source: `curing.days` of the standards data (IS 456 cl. 13.5.1: 7, 10 or 14 days by cement and weather).

    Args:
        curing: the sheet's curing.
        profile: the standards profile.

    Returns:
        The least number of days [day].

    >>> from estimates.standards import load
    >>> unknown = Curing(cement="unknown", method="ponding")
    >>> least_days(unknown, profile=load.profile("is")).value
    10.0
    """
    cement = "opc" if curing.cement == "opc" else "blended"
    return profile.value(f"curing.days.{cement}_hot_dry" if curing.hot_dry else f"curing.days.{cement}")


def days(curing: Curing, *, profile: Profile) -> Input:
    """Days of curing that the water is reckoned for: the engineer's, or the profile's.

    Source: the drawing, else `least_days`.

    Args:
        curing: the sheet's curing.
        profile: the standards profile.

    Returns:
        The days [day].

    >>> from estimates.standards import load
    >>> days(Curing(cement="opc", method="ponding", days=21), profile=load.profile("is")).value
    21.0
    """
    if curing.days is not None:
        return Input(float(curing.days), "day", "drawing: curing")
    return cited(least_days(curing, profile=profile))


def curing_water(area: Input, *, curing: Curing, profile: Profile) -> Quantity:
    """Water to keep the slab's top wet.

    Source: `curing.ponding` and `curing.wet_cover` of the standards data, all common practice: one fill and a
    daily loss, or wettings a day of a wet cloth.

    Args:
        area: the slab's area in plan [m²].
        curing: the sheet's curing.
        profile: the standards profile.

    Returns:
        `curing.water` [L].

    >>> from estimates.standards import load
    >>> pond = Curing(cement="opc", method="ponding")
    >>> curing_water(Input(100, "m²", "by hand"), curing=pond, profile=load.profile("is")).net
    8500.0
    """
    inputs = {"area": area, "days": days(curing, profile=profile)}
    if curing.method == "ponding":
        formula, words = "area * (depth + daily_loss * days)", {"depth": "depth", "daily_loss": "daily_loss"}
    else:
        formula, words = (
            "area * per_wetting * wettings * days",
            {"per_wetting": "per_wetting", "wettings": "wettings"},
        )
    for name, key in words.items():
        inputs[name] = _by_weather(f"curing.{curing.method}.{key}", hot_dry=curing.hot_dry, profile=profile)
    return Quantity(
        key="curing.water",
        member=_TOP,
        title=gettext_noop("Curing water"),
        unit="L",
        formula=formula,
        inputs=inputs,
        method="ponding" if curing.method == "ponding" else "wet cover",
        source=inputs["depth" if curing.method == "ponding" else "per_wetting"].source,
        kind="curing-water",
    )


def curing_cover(area: Input) -> Quantity:
    """Cloth to cover the whole top: wet for the cure, or until the pond stands.

    Source: common practice: the top is covered once, overlaps are its allowance.

    Args:
        area: the slab's area in plan [m²].

    Returns:
        `curing.cover` [m²].

    >>> curing_cover(Input(70, "m²", "by hand")).net
    70.0
    """
    return Quantity(
        key="curing.cover",
        member=_TOP,
        title=gettext_noop("Curing cover"),
        unit="m²",
        formula="area",
        inputs={"area": area},
        method="top covered once",
        source="site-practice (common practice)",
        material="curing-cover",
        kind="curing-cover",
    )


def _by_weather(key: str, *, hot_dry: bool, profile: Profile) -> Input:
    hot = f"{key}_hot_dry"
    return cited(profile.value(hot if hot_dry and hot in profile.values else key))
