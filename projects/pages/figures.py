"""Quantities and money as people read them: display unit, digits and grouping of the firm's locale.

Stored figures are integers of a material's stock unit or of a currency's minor unit; here, at the border,
they become text. Everything that shows a figure (pages, mail, paper) goes through these functions.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache

from babel import Locale
from babel.numbers import (
    format_currency,
    format_decimal,
    get_currency_precision,
    get_currency_symbol,
)
from django.utils.functional import Promise
from django.utils.translation import get_language, ngettext, to_locale
from django.utils.translation import gettext_lazy as _

NBSP = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class StockUnit:
    """A unit in which stock is stored, and how it is shown: `scale` stock units make one display unit."""

    shown: str | Promise
    scale: int
    places: int

    @property
    def finest(self) -> int:
        """The number of decimals that shows every stock unit."""
        return len(str(self.scale)) - 1


STOCK_UNITS = {
    "g": StockUnit("kg", 1_000, 1),
    "mm": StockUnit("m", 1_000, 2),
    "cm3": StockUnit("m³", 1_000_000, 2),
    "cm2": StockUnit("m²", 10_000, 2),
    "piece": StockUnit(_("no."), 1, 0),
    "mday": StockUnit(_("day"), 1_000, 2),
    # Liquids are stored in cm³ too, but are read in litres.
    "cm3:L": StockUnit("L", 1_000, 1),
}


@cache
def locale_for(code: str) -> Locale:
    """Find the CLDR locale of a code such as en_IN or en-in."""
    return Locale.parse(to_locale(code.replace("_", "-").lower()))


def locale_now() -> Locale:
    """Find the locale of the language that is being served; for pages without a firm."""
    return locale_for(get_language() or "en")


def stock_unit(name: str) -> StockUnit:
    """Look up a stock unit; KeyError names the unit that does not exist."""
    return STOCK_UNITS[name]


def decimal_text(value: Decimal, *, places: int, locale: Locale) -> str:
    """Write a decimal with a fixed number of places and the locale's grouping, rounded half to even."""
    pattern = locale.decimal_formats[None].pattern.split(".")[0] + ("." + "0" * places if places else "")
    rounded = value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    return format_decimal(rounded + 0, format=pattern, locale=locale)


def figure(value: int, *, unit: str, locale: Locale, places: int | None = None) -> str:
    """Write a stored quantity in its display unit, without the unit.

    A quantity that is not zero is never written as zero: when the usual places would hide it, it is
    written to the last stock unit.
    """
    shown = stock_unit(unit)
    amount = Decimal(value) / shown.scale
    wanted = shown.places if places is None else places
    if value and not amount.quantize(Decimal(1).scaleb(-wanted), rounding=ROUND_HALF_EVEN):
        wanted = shown.finest
    return decimal_text(amount, places=wanted, locale=locale)


def packs(value: int, *, pack: str, content: int, locale: Locale) -> str:
    """Write a stored quantity as a number of packs of `content` stock units each: '81 bags'."""
    if content <= 0:
        raise ValueError(f"content of a {pack} must be more than 0 stock units, not {content}")
    count = Decimal(value) / content
    places = 0 if count == count.to_integral_value() else 2
    return f"{decimal_text(count, places=places, locale=locale)}{NBSP}{pack_word(pack, count=count)}"


def pack_word(pack: str, *, count: Decimal) -> str:
    """Name a pack in the singular or plural that fits the count."""
    number = 1 if abs(count) == 1 else 2
    words = {
        "bag": ngettext("bag", "bags", number),
        "bar": ngettext("bar", "bars", number),
        "bundle": ngettext("bundle", "bundles", number),
        "coil": ngettext("coil", "coils", number),
        "drum": ngettext("drum", "drums", number),
        "can": ngettext("can", "cans", number),
        "roll": ngettext("roll", "rolls", number),
        "sheet": ngettext("sheet", "sheets", number),
        "truck": ngettext("truck", "trucks", number),
        "truck load": ngettext("truck load", "truck loads", number),
    }
    return words.get(pack, f"× {pack}")


def money(minor: int, *, currency: str, locale: Locale) -> str:
    """Write an amount of the currency's minor unit with its sign: ₹1,23,456.00."""
    return format_currency(major(minor, currency=currency), currency, locale=locale)


def money_figure(minor: int, *, currency: str, locale: Locale) -> str:
    """Write an amount without its sign, for a column that names the currency in its head."""
    places = get_currency_precision(currency)
    return decimal_text(major(minor, currency=currency), places=places, locale=locale)


def money_sign(currency: str, *, locale: Locale) -> str:
    """Write the sign of a currency as the locale does."""
    return get_currency_symbol(currency, locale=locale)


def major(minor: int, *, currency: str) -> Decimal:
    """Convert an amount of minor units to the currency's own unit, exactly."""
    return Decimal(minor).scaleb(-get_currency_precision(currency))


def derivation_number(value: float, *, locale: Locale) -> str:
    """Write a figure of a derivation: three decimals at most, and three significant digits below 0.1."""
    number = Decimal(repr(float(value)))
    places = 3
    if number and abs(number) < Decimal("0.1"):
        places = 2 - number.adjusted()
    rounded = round(number, places).normalize() + 0
    return format_decimal(rounded, locale=locale, decimal_quantization=False)
