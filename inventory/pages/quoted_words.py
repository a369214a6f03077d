"""A quoted price in words, as it was quoted."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from babel import Locale
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.pages import showing
from projects.pages import figures

SIGNS = {"m3": "m³", "cft": "ft³", "yd3": "yd³", "m2": "m²", "no": "no."}


@dataclass(frozen=True)
class Said:
    """What the price is for, and what comes on top of it."""

    price: str
    terms: str


def said(row: Any, *, currency: str, locale: str) -> Said:
    """Return a quoted line in words."""
    chosen = figures.locale_for(locale)

    def money(rate: int) -> str:
        return figures.money(showing.minor(rate), currency=currency, locale=chosen)

    price = _("%(price)s for one %(what)s") % {"price": money(row.price), "what": _what(row, locale=chosen)}
    terms = [
        _charge(_("freight"), row.freight, row.freight_basis, money=money),
        _charge(_("loading"), row.loading, row.loading_basis, money=money),
        _tax(row, locale=chosen),
    ]
    if row.minimum_thousandths:
        least = _decimal(row.minimum_thousandths, parts=1_000, locale=chosen)
        terms.append(_("at least %(least)s") % {"least": least})
    if row.bulk_density_kg_m3:
        terms.append(_("loose %(density)s kg/m³") % {"density": row.bulk_density_kg_m3})
    days = {"days": row.lead_days}
    words = ngettext("%(days)s working day to deliver", "%(days)s working days to deliver", row.lead_days)
    terms.append(words % days)
    credit = row.quotation.credit_days
    if credit:
        terms.append(ngettext("%(n)s day of credit", "%(n)s days of credit", credit) % {"n": credit})
    return Said(price, ", ".join(term for term in terms if term))


def _what(row: Any, *, locale: Locale) -> str:
    if row.pack is not None:
        name: str = row.pack.name
        return name
    unit = SIGNS.get(row.unit, row.unit)
    if row.load_thousandths is None:
        return unit
    load = _decimal(row.load_thousandths, parts=1_000, locale=locale)
    return _("load of %(load)s %(unit)s") % {"load": load, "unit": unit}


def _charge(name: str, amount: int, basis: str, *, money: Any) -> str:
    if basis == "included":
        return _("%(name)s in it") % {"name": name}
    each = _("%(name)s %(amount)s for each")
    whole = _("%(name)s %(amount)s for all of it")
    return (each if basis == "unit" else whole) % {"name": name, "amount": money(amount)}


def _tax(row: Any, *, locale: Locale) -> str:
    if not row.tax_ppm:
        return _("no tax named")
    rate = _decimal(row.tax_ppm, parts=10_000, locale=locale)
    inside, on_top = _("tax of %(rate)s %% in it"), _("plus %(rate)s %% tax")
    words = (inside if row.tax_included else on_top) % {"rate": rate}
    return f"{words} {_('that the firm gets back')}" if row.tax_recoverable else words


def _decimal(value: int, *, parts: int, locale: Locale) -> str:
    figure = (Decimal(value) / parts).normalize() + 0
    places = max(0, -int(figure.as_tuple().exponent))
    return figures.decimal_text(figure, places=places, locale=locale)
