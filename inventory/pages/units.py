"""The units in which people count a material on the forms of the stores."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from projects.pages.forms import FigureField

HAND_CARRIED_G = 100_000
"""Packs of up to so many grams are counted one by one: bags, coils."""

THOUSANDTHS = 1_000
MASSES = (gettext_noop("kg"), gettext_noop("quintal"), gettext_noop("t"))
"""Units in which bars are weighed."""

SIGNS = {"m³": "m3", "m²": "m2", "no.": "no"}


@dataclass(frozen=True)
class Unit:
    """A unit or pack: its name, its pack or its code, and stock units in one (0 when not fixed)."""

    name: str
    pack_id: int | None = None
    unit: str = ""
    content: int = 0

    @property
    def code(self) -> str:
        """What stands for the unit in a form: p7 for a pack, kg for a unit."""
        return f"p{self.pack_id}" if self.pack_id else self.unit

    @property
    def act(self) -> dict[str, Any]:
        """The unit as a line of an act takes it."""
        return {"pack_id": self.pack_id, "unit": self.unit}


def packed(pack: Any) -> Unit:
    """Return a pack as a unit."""
    return Unit(name=pack.name, pack_id=pack.pk, content=pack.content)


def shown(material: Any) -> Unit:
    """Return the unit in which a material is shown."""
    unit = SIGNS.get(material.show_unit, material.show_unit)
    return Unit(name=material.show_unit, unit=unit, content=material.show_factor)


def by_hand(material: Any) -> Unit:
    """Return what people count a material in: bags, bars and coils one by one, the rest in its unit."""
    for pack in material.packs.all():
        if pack.mass_g is not None:
            continue
        if material.stock_unit == "mm" or (material.stock_unit == "g" and pack.content <= HAND_CARRIED_G):
            return packed(pack)
    return shown(material)


def choices(material: Any) -> list[Unit]:
    """Return every unit in which a delivery of a material may be recorded, the handiest first."""
    units = [by_hand(material), *(packed(pack) for pack in material.packs.all()), shown(material)]
    if material.stock_unit == "mm":
        units += [Unit(name=str(_(name)), unit=name) for name in MASSES]
    if material.stock_unit == "cm3" and material.show_unit == "m³":
        units += [Unit(name="ft³", unit="cft"), Unit(name=str(_("brass, 100 ft³")), unit="brass")]
    return list(dict.fromkeys(units))


def figure(unit: Unit, *, label: Any, **options: Any) -> FigureField:
    """Make a box for a figure in this unit; it cleans to thousandths."""
    return FigureField(label=label, unit_shown=unit.name, scale=THOUSANDTHS, most=10**12, **options)


def amount(thousandths: int) -> Decimal:
    """Return a figure of such a box as an act takes it."""
    return Decimal(thousandths) / THOUSANDTHS


def find(units: Iterable[Unit], *, code: str) -> Unit | None:
    """Find a unit by its code."""
    return next((unit for unit in units if unit.code == code), None)
