"""A quoted line as the arithmetic of landed cost takes it."""

from __future__ import annotations

from fractions import Fraction
from typing import cast

from estimates.models import Material
from inventory.calc import money
from inventory.calc import quoted as calc
from inventory.calc.quoted import Charge, Landed, Quoted, Tax, Unit
from inventory.models import QuotationLine


def stock_per(row: QuotationLine, *, material: Material) -> Fraction:
    """How many stock units does one priced unit hold; ValueError for a unit of the wrong kind."""
    if row.pack is not None:
        return Fraction(row.pack.content)
    number = Fraction(1) if row.load_thousandths is None else Fraction(row.load_thousandths, 1_000)
    unit = Unit(row.unit, number, row.bulk_density_kg_m3)
    return calc.stock_per(unit, stock_unit=material.stock_unit, grams_per_metre=material.nominal_mg_per_mm)


def cost(row: QuotationLine) -> Landed:
    """What does the enquiry's quantity cost on site; needs the line, its material and the pack beside it."""
    asked = Quoted(
        price=row.price,
        stock_per=stock_per(row, material=row.line.material),
        freight=Charge(row.freight, cast("calc.Basis", row.freight_basis)),
        loading=Charge(row.loading, cast("calc.Basis", row.loading_basis)),
        tax=Tax(row.tax_ppm, included=row.tax_included, recoverable=row.tax_recoverable),
        minimum=Fraction(row.minimum_thousandths, 1_000),
        whole=row.pack is not None or row.load_thousandths is not None,
    )
    return calc.landed(asked, need=row.line.quantity)


def compared_in(material: Material) -> tuple[str, Fraction]:
    """In which unit are prices compared, and how many stock units is one: bars by the kilogram."""
    if material.stock_unit == "mm" and material.nominal_mg_per_mm:
        return "kg", money.stock_per("kg", stock_unit="mm", grams_per_metre=material.nominal_mg_per_mm)
    return material.show_unit, Fraction(material.show_factor)
