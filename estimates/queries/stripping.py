"""When forms and props of a slab come off at the earliest by the code's table, and how cubes are judged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.works import stripping
from estimates.queries import designs, slabs, sources, standards
from projects.access.actor import Actor
from projects.errors import NotFound
from projects.models import Pour


@dataclass(frozen=True, kw_only=True)
class Row:
    """A part of the formwork with its least days and, pour by pour, the day before which it stays.

    `dated` pairs the pours' names with the days; a day is None where the engineer has to state it, because
    the table does not speak of the slab's cement.
    """

    title: str
    holds_for: str
    days: float
    source: str
    dated: tuple[tuple[str, date | None], ...]

    @property
    def dates(self) -> tuple[date | None, ...]:
        """The days alone, pour by pour."""
        return tuple(day for _name, day in self.dated)


@dataclass(frozen=True, kw_only=True)
class Acceptance:
    """What results of cubes or cylinders are held against."""

    title: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True, kw_only=True)
class StrippingSheet:
    """The tables of a slab; `cement_fits` tells whether they speak of its cement."""

    rows: tuple[Row, ...]
    pours: tuple[Pour, ...]
    cement_fits: bool
    overhangs: tuple[str, ...]
    acceptance: tuple[Acceptance, ...]


def of_slab(actor: Actor, *, slab_id: int) -> StrippingSheet:
    """Return the tables of a slab by its latest design; refused with NotFound when there is none."""
    slab = slabs.one(actor, slab_id=slab_id)
    if slab.design is None:
        raise NotFound(_("This slab has no design yet, so that nothing is known of its formwork."))
    sheet = designs.sheet_of(designs.one(actor, design_id=slab.design.pk))
    return of_design(actor, sheet=sheet, pours=slab.pours)


def of_design(actor: Actor, *, sheet: DesignSheet, pours: Iterable[Pour]) -> StrippingSheet:
    """Read the tables for a design and pours that the actor has been shown, by the firm's own figures."""
    profile, placed = standards.of_firm(actor, profile_id=sheet.profile), tuple(pours)
    fits = stripping.fits(sheet)
    rows = (
        Row(
            title=part.title,
            holds_for=part.holds_for,
            days=part.least.value,
            source=sources.in_words(part.least.citation),
            dated=tuple(
                (pour.name, stripping.not_before(pour.pour_date, least=part.least) if fits else None)
                for pour in placed
            ),
        )
        for part in stripping.parts(sheet, profile=profile)
    )
    return StrippingSheet(
        rows=tuple(rows),
        pours=placed,
        cement_fits=fits,
        overhangs=(*(one.name for one in sheet.overhangs), *(one.name for one in sheet.sunshades)),
        acceptance=tuple(
            Acceptance(
                title=value.note,
                value=value.value,
                unit=value.unit,
                source=sources.in_words(value.citation),
            )
            for value in profile.group("acceptance").values()
        ),
    )
