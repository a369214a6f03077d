"""Curing: how many days by cement and season, and the water, covers or compound that it takes."""

from collections.abc import Iterator
from typing import Final

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.works import Curing
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, StandardsError, Value

_TOP: Final = gettext_noop("top of the slab")


def least_days(curing: Curing, *, profile: Profile) -> Value:
    """Days that the profile asks the slab to be kept wet; an unknown cement counts as blended.

    Source: `curing.<rule>` of the standards data under the sheet's rule or the profile's own: days by cement
    and weather (IS 456 cl. 13.5.1: 7, 10 or 14), by kind of cement, or by strength gain and temperature of
    the surface (tables to EN 13670).

    Args:
        curing: the sheet's curing.
        profile: the standards profile.

    Returns:
        The least number of days [day].

    Raises:
        StandardsError: the profile has no such rule; the message names those that it has.

    >>> from estimates.standards import load
    >>> unknown = Curing(cement="unknown", method="ponding")
    >>> least_days(unknown, profile=load.profile("is")).value
    10.0
    """
    name = curing.rule or profile.choice("curing.rule").value
    if name not in rules(profile):
        message = (
            f"curing rule {name!r} is not known to profile {profile.id}; it has {', '.join(rules(profile))}"
        )
        raise StandardsError(message)
    cement = "blended" if curing.cement == "unknown" else curing.cement
    words = [f"{cement}_hot_dry"] if curing.hot_dry else []
    for word in (*words, cement):
        if f"curing.{name}.{word}" in profile.values:
            return profile.value(f"curing.{name}.{word}")
    gain = curing.strength_gain or profile.choice(f"curing_gain.{cement}").value
    temperature = curing.temperature or profile.choice("curing_gain.temperature").value
    return profile.value(f"curing.{name}.{gain}.{temperature}")


def rules(profile: Profile) -> tuple[str, ...]:
    """The named rules for days of curing.

    Source: the groups of `curing` of the standards data whose values are days.

    Args:
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> "days" in rules(load.profile("is"))
    True
    """
    group = profile.group("curing")
    return tuple(
        sorted({key.split(".", maxsplit=1)[0] for key, value in group.items() if value.unit == "day"})
    )


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


def quantities(area: Input, *, curing: Curing, profile: Profile) -> Iterator[Quantity]:
    """What the stated way of curing takes.

    Source: derived: water and cover for ponding and wet cloth, a cover alone for plastic sheet, a compound
    alone for a membrane.

    Args:
        area: the slab's area in plan [m²].
        curing: the sheet's curing.
        profile: the standards profile.

    Yields:
        `curing.water` [L] and `curing.cover` [m²], or `curing.compound` [L].
    """
    if curing.method == "compound":
        yield compound(area, profile=profile)
        return
    if curing.method != "sheet":
        yield water(area, curing=curing, profile=profile)
    yield cover(area)


def water(area: Input, *, curing: Curing, profile: Profile) -> Quantity:
    """Water to keep the slab's top wet.

    Source: `curing.ponding` and `curing.wet_cover` of the standards data, all common practice: one fill and a
    daily loss, or wettings a day of a wet cloth.

    Args:
        area: the slab's area in plan [m²].
        curing: the sheet's curing, by ponding or wet cloth.
        profile: the standards profile.

    Returns:
        `curing.water` [L].

    >>> from estimates.standards import load
    >>> pond = Curing(cement="opc", method="ponding")
    >>> water(Input(100, "m²", "by hand"), curing=pond, profile=load.profile("is")).net
    8500.0
    """
    inputs = {"area": area, "days": days(curing, profile=profile)}
    if curing.method == "ponding":
        formula, words = "area * (depth + daily_loss * days)", ("depth", "daily_loss")
    else:
        formula, words = "area * per_wetting * wettings * days", ("per_wetting", "wettings")
    for word in words:
        inputs[word] = _by_weather(f"curing.{curing.method}.{word}", hot_dry=curing.hot_dry, profile=profile)
    return Quantity(
        key="curing.water",
        member=_TOP,
        title=gettext_noop("Curing water"),
        unit="L",
        formula=formula,
        inputs=inputs,
        method="ponding" if curing.method == "ponding" else "wet cover",
        source=inputs[words[0]].source,
        kind="curing-water",
    )


def cover(area: Input) -> Quantity:
    """Cloth or sheet to cover the whole top: wet for the cure, or until the pond stands.

    Source: common practice: the top is covered once, overlaps are its allowance.

    Args:
        area: the slab's area in plan [m²].

    Returns:
        `curing.cover` [m²].

    >>> cover(Input(70, "m²", "by hand")).net
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


def compound(area: Input, *, profile: Profile) -> Quantity:
    """Curing compound sprayed over the top once.

    Source: `curing.compound.coverage` of the standards data; the maker's sheet wins where it says more.

    Args:
        area: the slab's area in plan [m²].
        profile: the standards profile.

    Returns:
        `curing.compound` [L].

    >>> from estimates.standards import load
    >>> compound(Input(100, "m²", "by hand"), profile=load.profile("is")).net
    20.0
    """
    coverage = profile.value("curing.compound.coverage")
    return Quantity(
        key="curing.compound",
        member=_TOP,
        title=gettext_noop("Curing compound"),
        unit="L",
        formula="area / coverage",
        inputs={"area": area, "coverage": cited(coverage)},
        method="top sprayed once",
        source=coverage.citation,
        material="curing-compound",
        kind="curing-compound",
    )


def _by_weather(key: str, *, hot_dry: bool, profile: Profile) -> Input:
    hot = f"{key}_hot_dry"
    return cited(profile.value(hot if hot_dry and hot in profile.values else key))
