"""The one tag for quantities, the one for money, and the one for the figures of a derivation.

{% load pourtally %}
{% quantity line.order "cm3" %}                        12.35 m³
{% quantity line.order "cm3" part="figure" %}          12.35    (the head of the column says m³)
{% quantity 0 "cm3" part="unit" %}                     m³
{% quantity line.order "g" pack="bag" content=50000 %} 81 bags
{% money total %}                                      ₹1,23,456.00, in the firm's currency
{% money total "KES" part="figure" %}                  1,234.50
{% number input.value %}                               3,437.92

All give plain text, so {% quantity … as short %} works inside {% blocktranslate %}.
"""

from __future__ import annotations

from babel import Locale
from django import template
from django.template import Context

from projects.pages import figures

register = template.Library()


def _locale(context: Context) -> Locale:
    frame = context.get("frame")
    code = frame.get("locale") if frame else None
    return figures.locale_for(code) if code else figures.locale_now()


@register.simple_tag(takes_context=True)
def quantity(  # noqa: PLR0913 - a template tag's options are named where it is used
    context: Context,
    value: int | None,
    unit: str,
    *,
    part: str = "whole",
    places: int | None = None,
    pack: str | None = None,
    content: int = 0,
) -> str:
    """Write a stored quantity; a dash when there is none."""
    locale = _locale(context)
    if part == "unit":
        return str(figures.stock_unit(unit).shown)
    if value is None:
        return "–"
    if pack:
        return figures.packs(value, pack=pack, content=content, locale=locale)
    figure = figures.figure(value, unit=unit, locale=locale, places=places)
    if part == "figure":
        return figure
    return f"{figure}{figures.NBSP}{figures.stock_unit(unit).shown}"


@register.simple_tag(takes_context=True)
def money(context: Context, minor: int | None, currency: str | None = None, *, part: str = "whole") -> str:
    """Write an amount of money, in the firm's currency unless another is named; a dash when there is none."""
    locale = _locale(context)
    code = currency or context["frame"]["currency"]
    if part == "unit":
        return figures.money_sign(code, locale=locale)
    if minor is None:
        return "–"
    if part == "figure":
        return figures.money_figure(minor, currency=code, locale=locale)
    return figures.money(minor, currency=code, locale=locale)


@register.simple_tag(takes_context=True)
def number(context: Context, value: float | str | None) -> str:
    """Write a figure of a derivation; a word passes through unchanged."""
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    return figures.derivation_number(value, locale=_locale(context))
