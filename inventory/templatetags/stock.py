"""How the pages of the stores write figures.

{% load stock %}
{% counted row.quantity row.material %}                        40 bags, or 12.35 m³ (packs prefetched)
{% measured line.found_thousandths line.measured_in %}         58 bags, or 12.5 m³, as it was measured
{% bought row.quantity row.material row.pack %}           108 bags, or 113 m² where the pack is the unit
{% quantity move.quantity move.material|unit %}                the unit that the quantity tag takes
{% chance outlook.short_ppm %}                                 12 %, or under 1 %
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from babel import Locale
from django import template
from django.template import Context

from inventory.pages import measuring_words, showing, units
from inventory.services import checks
from projects.pages import figures

register = template.Library()


def _locale(context: Context) -> Locale:
    return figures.locale_for(context["frame"]["locale"])


@register.filter
def unit(material: Any) -> str:
    """Name a material's unit for the quantity tag: liquids shown in litres are kept in cm³."""
    return "cm3:L" if material.show_unit == "L" else str(material.stock_unit)


@register.simple_tag(takes_context=True)
def counted(context: Context, value: int, material: Any) -> str:
    """Write a quantity as people count it: bags, bars and coils one by one, everything else in its unit."""
    hand = units.by_hand(material)
    if hand.pack_id:
        return figures.packs(value, pack=hand.name, content=hand.content, locale=_locale(context))
    name = unit(material)
    written = figures.figure(value, unit=name, locale=_locale(context))
    return f"{written}{figures.NBSP}{figures.stock_unit(name).shown}"


@register.simple_tag
def check_title(code: str) -> str:
    """Name a check in words."""
    return checks.title(code)


@register.simple_tag
def reading_title(line: Any, name: str) -> str:
    """Name a reading of a receipt line in words."""
    return measuring_words.title(line.material, method=line.method, name=name)


@register.simple_tag(takes_context=True)
def bought(context: Context, value: int, material: Any, pack: Any) -> str:
    """Write a quantity in the whole packs in which it is bought, or in the unit where the pack is no more."""
    return showing.packs(value, shown=showing.bought(material, pack=pack), locale=context["frame"]["locale"])


@register.simple_tag(takes_context=True)
def chance(context: Context, ppm: int) -> str:
    """Write a probability in whole per cent."""
    return showing.chance(ppm, locale=context["frame"]["locale"])


@register.simple_tag(takes_context=True)
def measured(context: Context, thousandths: int, unit_name: str) -> str:
    """Write a figure in the unit in which it was measured, a pack or a unit."""
    figure = Decimal(thousandths) / units.THOUSANDTHS
    places = max(0, -int(figure.normalize().as_tuple().exponent))
    written = figures.decimal_text(figure, places=places, locale=_locale(context))
    word = figures.pack_word(unit_name, count=figure)
    return f"{written}{figures.NBSP}{unit_name if word.startswith('× ') else word}"
