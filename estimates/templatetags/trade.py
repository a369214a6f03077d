"""Quantities in the units of the trade, beside metric ones: {% trade value unit profile key %}."""

from __future__ import annotations

from typing import Any, Final

from django import template
from django.template import Context

from estimates.calc import units
from projects.pages import figures

register = template.Library()

AMERICAN: Final = {
    "m³": ("yd³",),
    "m²": ("ft²",),
    "m": ("ft",),
    "mm": ("in",),
    "kg": ("lb",),
    "L": ("gal",),
}
LOOSE: Final = {"m³": ("ft³", "brass")}
HEAVY: Final = {"kg": ("quintal",)}
QUINTAL_KG: Final = 100


@register.simple_tag(takes_context=True)
def trade(context: Context, value: Any, unit: str, profile: str, key: str = "") -> str:
    """Write a metric quantity as the trade of a profile orders it; empty where it orders in metric units.

    American trade goes by yards, feet, pounds and gallons; Indian trade measures sand and stone by the cubic
    foot and the brass, and weighs by the quintal.
    """
    if not isinstance(value, int | float):
        return ""
    locale = figures.locale_for(context["frame"]["locale"])
    found = _units(unit, profile=profile, key=key, value=value)
    shown = ((units.convert(value, unit=unit, to=other), other) for other in found)
    return ", ".join(
        f"{figures.derivation_number(round(amount, 2), locale=locale)}{figures.NBSP}{other}"
        for amount, other in shown
    )


def _units(unit: str, *, profile: str, key: str, value: float) -> tuple[str, ...]:
    if profile == "aci":
        return AMERICAN.get(unit, ())
    if profile != "is":
        return ()
    if key.startswith(("sand", "stone")):
        return LOOSE.get(unit, ())
    return HEAVY.get(unit, ()) if key.startswith(("cement", "steel")) and value >= QUINTAL_KG else ()
