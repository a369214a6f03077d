"""What a supplier quotes, in any unit and on any basis, as the cost on site of one stock unit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from estimates.calc import units
from inventory.calc import money

REGISTRY: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "g": ("mass", "g"),
        "kg": ("mass", "kg"),
        "quintal": ("mass", "quintal"),
        "t": ("mass", "t"),
        "lb": ("mass", "lb"),
        "L": ("volume", "L"),
        "m3": ("volume", "m³"),
        "cft": ("volume", "ft³"),
        "yd3": ("volume", "yd³"),
        "brass": ("volume", "brass"),
    }
)
"""Units by which loose material and cement are quoted: their kind, and their name in the registry."""

OWN: Mapping[str, tuple[str, str]] = MappingProxyType({"g": ("mass", "g"), "cm3": ("volume", "cm³")})
"""Stock units that have a kind of that sort, and their name in the registry."""

PPM = 1_000_000
Basis = Literal["included", "unit", "whole"]


@dataclass(frozen=True, slots=True)
class Unit:
    """What a price is for: `number` of a unit, as 4 for a truck of 4 brass; how heavy it lies [kg/m³]."""

    code: str
    number: Fraction = Fraction(1)
    bulk_density_kg_m3: int | None = None


@dataclass(frozen=True, slots=True)
class Charge:
    """Freight or loading: 1/10,000 minor unit for a priced unit, for the whole quantity, or in the price."""

    amount: int = 0
    basis: Basis = "included"


@dataclass(frozen=True, slots=True)
class Tax:
    """Tax in millionths, whether the figures quoted hold it, and whether the firm gets it back."""

    ppm: int = 0
    included: bool = False
    recoverable: bool = False


@dataclass(frozen=True, slots=True)
class Quoted:
    """A price of 1/10,000 minor unit for `stock_per` stock units, and what comes on top.

    `minimum` is the least number of priced units; `whole` says that they are sold whole: bags, truck loads.
    """

    price: int
    stock_per: Fraction
    freight: Charge = Charge()
    loading: Charge = Charge()
    tax: Tax = Tax()
    minimum: Fraction = Fraction(0)
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Landed:
    """What a need comes to: priced units bought, stock units beyond the need, and the cost on site by parts.

    The cost is in 1/10,000 minor unit; `rate` is the cost of one stock unit of what is bought.
    """

    bought: Fraction
    surplus: Fraction
    price: Fraction
    freight: Fraction
    loading: Fraction
    tax: Fraction
    rate: Fraction

    @property
    def total(self) -> Fraction:
        """The cost on site of all that is bought."""
        return self.price + self.freight + self.loading + self.tax


def stock_per(unit: Unit, *, stock_unit: str, grams_per_metre: int | None = None) -> Fraction:
    """Tell how many stock units one priced unit holds; a mass becomes a volume only by a stated density.

    Source: the definitions of the registry of units; derived: volume = mass / bulk density, bar length =
    mass / mass per metre.

    Args:
        unit: what the price is for.
        stock_unit: stock unit of the material: g, mm, cm3, cm2, piece or mday.
        grams_per_metre: nominal mass of a bar [g/m], for bars quoted by mass.

    Returns:
        Stock units in one priced unit, above 0, exactly.

    Raises:
        ValueError: a unit of the wrong kind, a density that is needed and missing, or a number of 0 or less.

    A truck of 2 brass is 200 ft³:

    >>> stock_per(Unit("brass", Fraction(2)), stock_unit="cm3")
    Fraction(3539605824, 625)
    """
    if unit.number <= 0:
        raise ValueError(f"{unit.number} {unit.code} must be above 0")
    if stock_unit not in OWN or unit.code not in REGISTRY:
        return unit.number * money.stock_per(
            unit.code, stock_unit=stock_unit, grams_per_metre=grams_per_metre
        )
    own_kind, own_name = OWN[stock_unit]
    kind, name = REGISTRY[unit.code]
    if kind == own_kind:
        return unit.number * _exact(name, to=own_name)
    density = unit.bulk_density_kg_m3
    if density is None or density <= 0:
        raise ValueError(f"{unit.code} is a {kind}: state the bulk density in kg/m³ (it is {density})")
    if own_kind == "volume":  # kg/m³ are mg/cm³: 1,600 kg/m³ are 1.6 g/cm³
        return unit.number * _exact(name, to="g") * 1_000 / density
    return unit.number * _exact(name, to="cm³") * density / 1_000


def landed(quoted: Quoted, *, need: int) -> Landed:
    """Cost on site of a need: what must be bought, with freight, loading and the tax that is not got back.

    Bought is the need, at least the minimum, in whole units where they are sold whole. Tax is on the price
    with the freight and loading that the supplier charges.
    Source: derived: landed cost = basic price + loading + freight + tax not recoverable; its parts are common
    practice of the trade, as is one rate of tax for goods and their carriage on one bill.

    Args:
        quoted: price and terms.
        need: stock units, above 0.

    Returns:
        What is bought, and its cost by parts.

    Raises:
        ValueError: the need, the price or a charge is out of its bounds.

    10 bags of 50 kg at 400.00 with 18 % tax that is not got back cost 4,720.00, 9.44 a kilogram:

    >>> bag = Quoted(price=400_000_000, stock_per=Fraction(50_000), tax=Tax(ppm=180_000), whole=True)
    >>> cost = landed(bag, need=500_000)
    >>> int(cost.total), int(cost.rate * 1_000)
    (4720000000, 9440000)
    """
    _require(quoted, need=need)
    bought = max(Fraction(need) / quoted.stock_per, quoted.minimum)
    if quoted.whole:
        bought = Fraction(math.ceil(bought))
    net = Fraction(PPM, PPM + quoted.tax.ppm) if quoted.tax.included else Fraction(1)
    price = bought * quoted.price * net
    freight = _charged(quoted.freight, bought=bought) * net
    loading = _charged(quoted.loading, bought=bought) * net
    tax = Fraction(0)
    if not quoted.tax.recoverable:
        tax = (price + freight + loading) * quoted.tax.ppm / PPM
    stock = bought * quoted.stock_per
    return Landed(
        bought=bought,
        surplus=stock - need,
        price=price,
        freight=freight,
        loading=loading,
        tax=tax,
        rate=(price + freight + loading + tax) / stock,
    )


def pack_price(cost: Landed, *, content: int) -> int:
    """Price of a pack at a landed cost, rounded half to even to 1/10,000 minor unit.

    Source: derived: price = rate × content.

    Args:
        cost: the landed cost.
        content: stock units in the pack, above 0.

    Returns:
        1/10,000 minor unit for one pack on site.

    Raises:
        ValueError: a content of 0 or less.
    """
    if content <= 0:
        raise ValueError(f"a pack of {content} stock units holds nothing")
    exact = cost.rate * content
    return money.half_even(exact.numerator, denominator=exact.denominator)


def _exact(name: str, *, to: str) -> Fraction:
    """The registry's conversion, exactly: these units are defined to at most six decimals of g or cm³."""
    return Fraction(str(round(units.convert(1.0, unit=name, to=to), 6)))


def _charged(charge: Charge, *, bought: Fraction) -> Fraction:
    if charge.basis == "included":
        return Fraction(0)
    return charge.amount * bought if charge.basis == "unit" else Fraction(charge.amount)


def _require(quoted: Quoted, *, need: int) -> None:
    if need <= 0:
        raise ValueError(f"a need of {need} must be above 0")
    if quoted.stock_per <= 0:
        raise ValueError(f"{quoted.stock_per} stock units in a priced unit must be above 0")
    figures = (quoted.price, quoted.freight.amount, quoted.loading.amount, quoted.tax.ppm, quoted.minimum)
    if any(figure < 0 for figure in figures):
        raise ValueError("price, freight, loading, tax and minimum must be 0 or more")
