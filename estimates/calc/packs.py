"""How materials are sold, and rounding an order up to whole packs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from estimates.calc.derivation import Quantity
from estimates.standards.load import Profile

_NOISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class PackSize:
    """A pack: its name, how much it holds, in what unit, and who says so."""

    name: str
    content: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Order:
    """What must be bought: whole packs, the quantity in them, and what is left over."""

    packs: int
    quantity: float
    surplus: float


def rounded_up(quantity: float, *, pack: PackSize) -> Order:
    """Rounds a quantity up to whole packs, never down.

    Source: derived: ceil(quantity ÷ content). A quotient within 1e-9 of a whole number is that number, so
    that sixteen bags worked out in floating point do not become seventeen.

    Args:
        quantity: what is needed, 0 or more, in the pack's unit.
        pack: the pack, its content greater than 0.

    Returns:
        The order; its surplus is what the packs hold beyond the quantity, 0 or more.

    Raises:
        ValueError: a quantity below 0, or a pack that holds nothing.

    >>> rounded_up(405.8, pack=PackSize("bag", 50, "kg", "works manual"))
    Order(packs=9, quantity=450, surplus=44.19999999999999)
    """
    if not quantity >= 0 or math.isinf(quantity):
        message = f"a quantity of {quantity} {pack.unit} cannot be ordered; it must be 0 or more"
        raise ValueError(message)
    if not pack.content > 0:
        message = (
            f"a {pack.name} of {pack.content} {pack.unit} holds nothing; its content must be greater than 0"
        )
        raise ValueError(message)
    quotient = quantity / pack.content
    nearest = round(quotient)
    whole = nearest if abs(quotient - nearest) <= _NOISE * max(1.0, quotient) else math.ceil(quotient)
    ordered = whole * pack.content
    surplus = 0.0 if whole == nearest and ordered <= quantity else ordered - quantity
    return Order(packs=whole, quantity=ordered, surplus=surplus)


def defaults(profile: Profile) -> dict[str, PackSize]:
    """The packs in which a profile's materials are usually sold, by code of the material or of its kind.

    Source: `pack.*` of the standards data; "steel" stands for all bar sizes, "stone" for all stone sizes.

    Args:
        profile: the standards profile.

    Returns:
        The packs by code, as "cement", "stone", "steel".

    >>> from estimates.standards import load
    >>> defaults(load.profile("is"))["cement"].content
    50.0
    """
    found: dict[str, PackSize] = {}
    for key, value in profile.group("pack").items():
        code, name = key.split(".", maxsplit=1)
        found[code] = PackSize(name=name, content=value.value, unit=value.unit, source=value.citation)
    return found


def by_mass(profile: Profile, *, kind: str) -> tuple[PackSize, ...]:
    """The units of mass in which a kind of material that is kept by length is sold too.

    Source: `pack_by_mass.*` of the standards data.

    Args:
        profile: the standards profile.
        kind: "steel".

    Returns:
        The packs, the largest first, each in its unit of mass.

    >>> from estimates.standards import load
    >>> [pack.name for pack in by_mass(load.profile("is"), kind="steel")]
    ['tonne', 'quintal', 'kilogram']
    """
    return tuple(
        PackSize(name=name, content=value.value, unit=value.unit, source=value.citation)
        for name, value in profile.group(f"pack_by_mass.{kind}").items()
    )


def bundles(profile: Profile, *, material: str) -> tuple[PackSize, ...]:
    """The bundles in which a bar size is sold, as length of bar.

    Source: `pack_bundle.*` of the standards data: bars in a bundle; each has the profile's stock length.

    Args:
        profile: the standards profile.
        material: code of the material, as "steel-8".

    Returns:
        The packs [m]; none where the profile names no bundle.

    >>> from estimates.standards import load
    >>> [(pack.name, pack.content) for pack in bundles(load.profile("is"), material="steel-8")]
    [('bundle of 10', 120.0)]
    """
    metres = profile.number("steel.stock_length") / 1000
    return tuple(
        PackSize(name=name, content=value.value * metres, unit="m", source=value.citation)
        for name, value in profile.group(f"pack_bundle.{material}").items()
    )


def of(item: Quantity, *, packs: Mapping[str, PackSize]) -> PackSize | None:
    """The pack of a bought quantity: its material's own, or that of its kind ("stone" for "stone-20").

    Source: derived: the part of the code before the hyphen names the kind. A bar stated by its length holds
    length × mass per metre, the one that the quantity was worked out with.

    Args:
        item: the quantity.
        packs: packs by code of the material or of its kind.

    Returns:
        The pack in the unit of the quantity, or None when it is not bought, or sold by any quantity.

    Raises:
        ValueError: the pack's content is stated in a unit that the quantity cannot be turned into.
    """
    if item.material is None:
        return None
    kind = item.material.split("-", maxsplit=1)[0]
    pack = packs[item.material] if item.material in packs else packs.get(kind)
    if pack is None or pack.unit == item.unit:
        return pack
    if (pack.unit, item.unit) == ("m", "kg") and "mass_per_metre" in item.inputs:
        per_metre = item.inputs["mass_per_metre"]
        content = pack.content * per_metre.value
        source = f"{pack.source}; {pack.content:g} m at {per_metre.value:g} kg/m, {per_metre.source}"
        return PackSize(name=f"{pack.content:g} m {pack.name}", content=content, unit="kg", source=source)
    message = f"the {pack.name} of {item.material} is stated in {pack.unit}; state it in {item.unit}"
    raise ValueError(message)
