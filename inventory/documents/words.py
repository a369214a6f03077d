"""What the papers of buying have in common: quantities, days, and the fields of the title block."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from babel import Locale
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from estimates.documents.paper import Field
from projects.access.actor import Actor
from projects.pages import figures


def quantity(value: int, *, of: Any, locale: Locale) -> str:
    """Return stock units of a material in its shown unit."""
    unit = "cm3:L" if of.show_unit == "L" else of.stock_unit
    return f"{figures.figure(value, unit=unit, locale=locale)}{figures.NBSP}{figures.stock_unit(unit).shown}"


def day(when: date) -> str:
    """Return a day in words, with the day of the week."""
    return formats.date_format(when, "l j F Y")


@dataclass(frozen=True)
class Where:
    """A site by its name and place, where a paper has no more of it."""

    name: str
    place: str


def block(actor: Actor, *, site: Any, number: str, at: datetime) -> tuple[Field, ...]:
    """Return the fields of the title block of a paper about a site, which has a name and a place."""
    now = timezone.localtime(at)
    place = f"{site.name}, {site.place}" if site.place else site.name
    return (
        Field(name=_("Firm"), value=actor.firm_name),
        Field(name=_("Number"), value=number),
        Field(name=_("Site"), value=place, span=2),
        Field(name=_("As of"), value=f"{formats.date_format(now, 'DATETIME_FORMAT')} {now:%Z}", span=3),
    )
