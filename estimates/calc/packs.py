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

    Source: `pack.*` of the standards data; a bar's pack is its length × its mass per metre by the bar table.

    Args:
        profile: the standards profile.

    Returns:
        The packs by code of the material: "cement", "steel-10"; "stone" stands for all stone sizes.

    >>> from estimates.standards import load
    >>> sold = defaults(load.profile("is"))
    >>> sold["cement"].content, round(sold["steel-10"].content, 3)
    (50.0, 7.404)
    """
    found: dict[str, PackSize] = {}
    for key, value in profile.group("pack").items():
        code, name = key.split(".", maxsplit=1)
        if code != "steel":
            found[code] = PackSize(name=name, content=value.value, unit=value.unit, source=value.citation)
            continue
        for size_mm, row in profile.bars.items():
            mass = value.value * row.mass_kg_per_m
            source = f"{value.citation}; {row.citation}"
            found[f"steel-{size_mm}"] = PackSize(f"{value.value:g} m {name}", mass, "kg", source)
    return found


def of(code: str, *, unit: str, packs: Mapping[str, PackSize]) -> PackSize | None:
    """The pack of a material: its own, or that of its kind ("stone" for "stone-20").

    Source: derived: the part of the code before the hyphen names the kind.

    Args:
        code: code of the material.
        unit: unit in which the quantity is stated.
        packs: packs by code of the material or of its kind.

    Returns:
        The pack, or None when it is sold by any quantity.

    Raises:
        ValueError: the pack's content is stated in another unit.

    >>> load = PackSize("load", 0.5, "m³", "yard")
    >>> of("stone-20", unit="m³", packs={"stone": load}).content
    0.5
    """
    kind = code.split("-", maxsplit=1)[0]
    pack = packs[code] if code in packs else packs.get(kind)
    if pack is not None and pack.unit != unit:
        message = f"the {pack.name} of {code} is stated in {pack.unit}; state it in {unit}, as the bill does"
        raise ValueError(message)
    return pack
