"""Quantities in the units of the trade, beside metric ones.

{% load trade %}
{% trade line.value line.unit profile line.key %}          1,029.07 yd³
{% trade_stock need.quantity "cm3" profile "sand" %}       738.08 ft³, 7.38 brass
{% trade_length row.length_mm profile %}                   12'-6 1/2"

Each is empty where the profile's trade goes by metric units.
"""

from __future__ import annotations

from typing import Any

from babel import Locale
from django import template
from django.template import Context

from estimates.documents import trade as written
from projects.pages import figures

register = template.Library()


@register.simple_tag(takes_context=True)
def trade(context: Context, value: Any, unit: str, profile: str, key: str = "") -> str:
    """Write a metric quantity as the trade of a profile orders it; empty for a word."""
    if not isinstance(value, int | float):
        return ""
    return written.beside(value, unit=unit, profile=profile, key=key, locale=_locale(context))


@register.simple_tag(takes_context=True)
def trade_stock(context: Context, units: int, stock_unit: str, profile: str, key: str = "") -> str:
    """Write stored stock units as the trade of a profile orders them."""
    return written.of_stock(units, stock_unit=stock_unit, profile=profile, key=key, locale=_locale(context))


@register.simple_tag
def trade_length(millimetres: float | None, profile: str) -> str:
    """Write a length in feet and inches where the profile's drawings do."""
    return "" if millimetres is None else written.length(millimetres, profile=profile)


def _locale(context: Context) -> Locale:
    return figures.locale_for(context["frame"]["locale"])
