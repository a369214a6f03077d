"""How materials and states are shown on the pages of ordering and spend."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from babel.numbers import format_percent
from django.utils import formats
from django.utils.translation import gettext as _

from projects.pages import figures

HAND_CARRIED_G = 100_000
"""Packs up to so much are counted one by one, so that people think in them: bags of cement."""

PRICE_PARTS = 10_000


@dataclass(frozen=True)
class Shown:
    """A material as the quantity tag takes it: its unit, and the pack that people count it in, if any."""

    name: str
    unit: str
    pack: str = ""
    content: int = 0


def material(of: Any, *, pack: Any = None) -> Shown:
    """Say how a material is written: litres are kept in cm³, and bags are counted."""
    counted = pack is not None and of.stock_unit == "g" and pack.content <= HAND_CARRIED_G
    if counted and not loose(of, pack=pack):
        return Shown(of.name, _unit(of), pack.name, pack.content)
    return Shown(of.name, _unit(of))


def bought(of: Any, *, pack: Any) -> Shown:
    """Say how what is bought is written: always in its packs, but for a pack that is the unit itself."""
    if loose(of, pack=pack):
        return Shown(of.name, _unit(of))
    return Shown(of.name, _unit(of), pack.name, pack.content)


def loose(of: Any, *, pack: Any) -> bool:
    """Say whether a pack is no more than one of the units in which the material is shown."""
    same: bool = pack.content == of.show_factor
    return same


def _unit(of: Any) -> str:
    unit: str = "cm3:L" if of.show_unit == "L" else of.stock_unit
    return unit


def packs(value: int, *, shown: Shown, locale: str) -> str:
    """Write a number of whole packs, or of whole units where the pack is the unit."""
    chosen = figures.locale_for(locale)
    if shown.pack:
        return figures.packs(value, pack=shown.pack, content=shown.content, locale=chosen)
    unit = figures.stock_unit(shown.unit)
    return f"{figures.figure(value, unit=shown.unit, locale=chosen, places=0)}{figures.NBSP}{unit.shown}"


def quantity(value: int, *, shown: Shown, locale: str) -> str:
    """Write a quantity in packs where people count them, else in the material's unit."""
    chosen = figures.locale_for(locale)
    if shown.pack:
        return figures.packs(value, pack=shown.pack, content=shown.content, locale=chosen)
    unit = figures.stock_unit(shown.unit)
    return f"{figures.figure(value, unit=shown.unit, locale=chosen)}{figures.NBSP}{unit.shown}"


def day(when: date) -> str:
    """Write a day as people say it, without the year."""
    return formats.date_format(when, "j F")


def minor(price: int | Fraction) -> int:
    """Round a price of 1/10,000 minor unit, or a share of an amount, to the minor unit for showing."""
    return round(Fraction(price, PRICE_PARTS)) if isinstance(price, int) else round(price)


KINDS = {
    "draft": "none",
    "approved": "none",
    "sent": "none",
    "part": "warning",
    "closed": "enough",
    "cancelled": "none",
}
"""Which mark an order's state carries."""


def order_kind(state: str) -> str:
    """Return the mark of an order's state."""
    return KINDS.get(state, "none")


def late(days: int) -> str:
    """Say by how many days something is late."""
    return _("late by 1 day") if days == 1 else _("late by %(days)s days") % {"days": days}


def chance(ppm: int, *, locale: str) -> str:
    """Write a probability in whole per cent; what is neither impossible nor sure is not rounded to it."""
    least, most = 10_000, 990_000
    if 0 < ppm < least:
        return _("under %(percent)s") % {"percent": format_percent(0.01, locale=locale)}
    if most < ppm < least * 100:
        return _("over %(percent)s") % {"percent": format_percent(0.99, locale=locale)}
    return str(format_percent(ppm / 1_000_000, format="#,##0%", locale=locale))


def share(ppm: int, *, locale: str) -> str:
    """Write a small share in per cent with one decimal, rounded up."""
    return str(format_percent(-(-ppm // 1_000) / 1_000, format="#,##0.0%", locale=locale))
