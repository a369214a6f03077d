"""The tag for rates: {% load rates %}{% rate row.rate row.rate_unit %} gives ₹8.25 / kg in its currency."""

from __future__ import annotations

from decimal import Decimal

from babel.numbers import format_currency, get_currency_precision
from django import template
from django.template import Context

from projects.pages import figures

register = template.Library()

PARTS = 4
"""Decimals of a minor unit in which a rate is kept."""


@register.simple_tag(takes_context=True)
def rate(context: Context, value: int | None, unit: str = "") -> str:
    """Write a rate with as many decimals as it has, two at least; a dash when there is none."""
    if value is None:
        return "–"
    frame = context["frame"]
    currency, locale = frame["currency"], figures.locale_for(frame["locale"])
    precision = get_currency_precision(currency)
    figure = Decimal(value).scaleb(-precision - PARTS).normalize()
    places = max(precision, -int(figure.as_tuple().exponent))
    written = format_currency(
        figure.quantize(Decimal(1).scaleb(-places)), currency, locale=locale, decimal_quantization=False
    )
    return f"{written}{figures.NBSP}/{figures.NBSP}{unit}" if unit else written
