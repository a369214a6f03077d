"""What people count and weigh, as whole stock units, with the conversion that was used."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from estimates.calc import units
from estimates.models import Material, Pack
from inventory.calc import money
from projects.errors import Refused

UNIT_SIGNS = {"m3": "m³", "m2": "m²", "no": "no.", "cft": "ft³", "yd3": "yd³"}
"""Units of trade that are written with a sign of their own."""

OF_TRADE = {
    ("cm3", "cft"): "cm³",
    ("cm3", "brass"): "cm³",
    ("cm3", "yd3"): "cm³",
    ("g", "quintal"): "g",
    ("g", "lb"): "g",
}
"""Units of trade by (stock unit, code), and the stock unit as the registry of units writes it."""

MAX_THOUSANDTHS = 10**12
MAX_STOCK = 10**15
"""Bounds of one entry: far above any site, far below what a database integer holds."""


class BadQuantity(Refused):
    """A quantity is not a number of this unit, is out of bounds, or finer than a thousandth."""

    code = "bad_quantity"


class BadUnit(Refused):
    """The material is not measured in this unit or pack."""

    code = "bad_unit"


class NotStocked(Refused):
    """The material is not kept in a store."""

    code = "not_stocked"


@dataclass(frozen=True)
class Measure:
    """A unit of a measurement: its name, thousandths of stock units in one, and why so many."""

    unit: str
    stock_per_unit: int
    source: str

    def stock(self, thousandths: int) -> int:
        """Convert thousandths of this unit to whole stock units, rounded half to even."""
        return money.half_even(thousandths * self.stock_per_unit, denominator=1_000_000)


def measure(
    material: Material, *, pack: Pack | None, unit: str = "", measured_mg_per_mm: int | None = None
) -> Measure:
    """Say how the unit of an entry converts to the material's stock unit.

    A pack wins over a unit; without either it is the unit in which the material is shown. Steel may be
    weighed: its length then follows from the measured mass per metre, else from the nominal one. Refused
    with `bad_unit` when the material is not measured so.
    """
    if pack is not None:
        if pack.material_id != material.pk:
            message = _("%(pack)s is not a pack of %(material)s. Choose one of its own packs.")
            raise BadUnit(message % {"pack": pack.name, "material": material.name}, field="pack_id")
        if pack.mass_g is not None:
            return _by_mass(pack, material=material, measured=measured_mg_per_mm)
        return Measure(pack.name, pack.content * 1_000, pack.source)
    unit = plain_unit(unit or material.show_unit)
    mass = measured_mg_per_mm or material.nominal_mg_per_mm
    try:
        per = _per(unit, stock_unit=material.stock_unit, mass=mass)
    except ValueError as fault:
        message = _("%(material)s is not measured in %(unit)s. Use %(shown)s or one of its packs.")
        params = {"material": material.name, "unit": unit, "shown": material.show_unit}
        raise BadUnit(message % params, field="unit") from fault
    weighed = material.stock_unit == "mm" and unit in money.GRAMS_PER_MASS_UNIT
    source = _mass_source(material, measured_mg_per_mm) if weighed else _unit_source(unit, material=material)
    return Measure(UNIT_SIGNS.get(unit, unit), _thousandths_of(per), source)


def bars(length_mm: int) -> Measure:
    """Count bars of one length; the length is what somebody measured."""
    source = _("measured: one is %(length)s mm long") % {"length": length_mm}
    return Measure(_("bar of %(length)s mm") % {"length": length_mm}, length_mm * 1_000, source)


def _by_mass(pack: Pack, *, material: Material, measured: int | None) -> Measure:
    """A pack that is a mass: what is weighed in it is as long as the mass per metre says."""
    per = money.stock_per("kg", stock_unit="mm", grams_per_metre=measured or material.nominal_mg_per_mm)
    length = Fraction(pack.mass_g or 0, 1_000) * per
    return Measure(pack.name, _thousandths_of(length), _mass_source(material, measured))


def _per(unit: str, *, stock_unit: str, mass: int | None) -> Fraction:
    """Stock units in one unit: exact for metric ones, by the registry of units for those of trade."""
    of_trade = OF_TRADE.get((stock_unit, unit))
    if of_trade is None:
        return money.stock_per(unit, stock_unit=stock_unit, grams_per_metre=mass)
    return Fraction(units.convert(1.0, unit=UNIT_SIGNS.get(unit, unit), to=of_trade))


def _unit_source(unit: str, *, material: Material) -> str:
    of_trade = (material.stock_unit, unit) in OF_TRADE
    return _("definition of the unit: %(unit)s") % {"unit": unit} if of_trade else _("metric units")


def _thousandths_of(per: Fraction) -> int:
    return money.half_even(per.numerator * 1_000, denominator=per.denominator)


def _mass_source(material: Material, measured: int | None) -> str:
    if measured:
        return _("weighed: %(mass)s g/m") % {"mass": measured}
    mass = material.nominal_mg_per_mm
    return _("nominal mass %(mass)s g/m, %(source)s") % {"mass": mass, "source": material.mass_source}


def plain_unit(unit: str) -> str:
    """Return a unit's plain code: m3 for m³."""
    signs = {sign: plain for plain, sign in UNIT_SIGNS.items()}
    return signs.get(unit, unit)


def thousandths(amount: Decimal, *, field: str) -> int:
    """Return a figure as a whole number of thousandths; refused when it is negative, finer or too large."""
    if not amount.is_finite():
        raise BadQuantity(_("Enter a number."), field=field)
    if amount < 0:
        raise BadQuantity(_("%(amount)s is below 0. Enter 0 or more.") % {"amount": amount}, field=field)
    scaled = amount * 1_000
    if scaled > MAX_THOUSANDTHS:
        message = _("%(amount)s is more than one entry may hold (1,000,000,000). Check the unit.")
        raise BadQuantity(message % {"amount": amount}, field=field)
    if scaled != scaled.to_integral_value():
        message = _("%(amount)s is finer than a thousandth. Round it to three decimals.")
        raise BadQuantity(message % {"amount": amount}, field=field)
    return int(scaled)


def require_stocked(material: Material) -> None:
    """Refuse with `not_stocked` a material that is never in a store, such as water."""
    if not material.stocked:
        message = _("%(material)s is not kept in a store, so there is nothing to record.")
        raise NotStocked(message % {"material": material.name}, field="material_id")


def stock_of(amount: Decimal, *, measure: Measure, field: str) -> int:
    """Convert a figure above 0 to whole stock units; refused when nothing is left or it is too large."""
    stock = measure.stock(thousandths(amount, field=field))
    if stock <= 0:
        message = _("%(amount)s %(unit)s is nothing. Enter more than 0.")
        raise BadQuantity(message % {"amount": amount, "unit": measure.unit}, field=field)
    return bounded(stock, field=field)


def bounded(stock: int, *, field: str) -> int:
    """Return the stock units unchanged; refused when they are more than one entry may hold."""
    if stock > MAX_STOCK:
        raise BadQuantity(_("This is more than one entry may hold. Check the unit."), field=field)
    return stock


def words(material: Material, *, quantity: int) -> str:
    """Write stock units for a sentence: in the shown unit, and in whole packs where they are whole."""
    shown = Decimal(quantity) / material.show_factor
    figure = number_format(shown.normalize() + 0, force_grouping=True, use_l10n=True)
    text = f"{figure} {material.show_unit}"
    pack = material.packs.filter(mass_g=None).order_by("-content", "id").first()
    if pack is None or quantity == 0 or quantity % pack.content:
        return text
    return f"{text} ({number_format(quantity // pack.content, force_grouping=True)} × {pack.name})"
