"""How materials are sold, and rounding an order up to whole packs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

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
    """The packs in which a profile's materials are usually sold, by code of the material.

    Source: `pack.*` of the standards data; "steel" stands for all bar sizes, "stone" for all stone sizes.

    Args:
        profile: the standards profile.

    Returns:
        The packs by code of the material, as "cement", "stone", "steel".

    >>> from estimates.standards import load
    >>> defaults(load.profile("is"))["cement"].content
    50.0
    """
    found: dict[str, PackSize] = {}
    for key, value in profile.group("pack").items():
        code, name = key.split(".", maxsplit=1)
        found[code] = PackSize(name=name, content=value.value, unit=value.unit, source=value.citation)
    return found


def of(code: str, *, packs: Mapping[str, PackSize]) -> PackSize | None:
    """The pack of a material: its own, or that of its kind ("steel" for "steel-10").

    Source: derived: the part of the code before the hyphen names the kind.

    Args:
        code: code of the material.
        packs: packs by code of the material or of its kind.

    Returns:
        The pack, or None when it is sold by any quantity.

    >>> bar = PackSize("bar", 12, "m", "mill")
    >>> of("steel-10", packs={"steel": bar}).content
    12
    """
    kind = code.split("-", maxsplit=1)[0]
    return packs[code] if code in packs else packs.get(kind)
