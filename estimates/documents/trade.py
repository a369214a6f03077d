"""Quantities in the units of the trade, as pages and paper write them beside metric ones."""

from __future__ import annotations

from babel import Locale

from estimates.calc import lengths, trade
from projects.pages import figures


def beside(value: float, *, unit: str, profile: str, key: str = "", locale: Locale) -> str:
    """Write a metric quantity as the trade of a profile orders it; empty where it orders in metric units."""
    found = trade.also(value, unit=unit, profile=profile, key=key)
    return ", ".join(
        f"{figures.derivation_number(round(amount, 2), locale=locale)}{figures.NBSP}{other}"
        for amount, other in found
    )


def of_stock(units: int, *, stock_unit: str, profile: str, key: str = "", locale: Locale) -> str:
    """Write stored stock units likewise."""
    shown = figures.stock_unit(stock_unit)
    return beside(units / shown.scale, unit=str(shown.shown), profile=profile, key=key, locale=locale)


def length(millimetres: float, *, profile: str) -> str:
    """Write a length as drawings of the profile do, in feet and inches to the nearest eighth; else empty."""
    return lengths.nearest(millimetres) if profile == "aci" else ""


def under(metric: str, also: str) -> str:
    """Put a quantity of the trade under the metric one, where there is one."""
    return f"{metric}\n{also}" if also else metric
