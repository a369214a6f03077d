"""What lies in the stores: by material and lot, with ages and what may be used."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Max, Q
from django.utils.translation import gettext as _

from estimates.models import Material
from inventory.calc import money, shelf
from inventory.models import Lot, LotStock, Place, Stock
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Site, Slab


@dataclass(frozen=True)
class StoreRow:
    """A store in the list of stores."""

    site: Site
    materials: int
    counted_at: datetime | None


@dataclass(frozen=True)
class LotRow:
    """What lies of a lot at a place; ages in days."""

    lot_id: int
    label: str
    supplier: str
    quantity: int
    made_date: date | None
    age_days: int | None
    usable_until: date | None
    blocked: bool
    words: str
    measured_mg_per_mm: int | None = None
    tested_until: date | None = None

    @property
    def week(self) -> str:
        """The week in which it was made, as bags of cement print it; empty when the day is not known."""
        if self.made_date is None:
            return ""
        year, week, _day = self.made_date.isocalendar()
        return _("week %(week)s of %(year)s") % {"week": week, "year": year}


@dataclass(frozen=True)
class HandRow:
    """What lies of a material at a place; the value is None for who may not see money."""

    material: Material
    place_id: int
    quantity: int
    value_minor: int | None
    lots: tuple[LotRow, ...]

    @property
    def mass_g(self) -> int | None:
        """Mass of bars, each lot by its weighed mass of a metre, else the nominal one; None for the rest."""
        nominal = self.material.nominal_mg_per_mm
        if self.material.stock_unit != "mm" or nominal is None:
            return None
        weighed = sum(lot.quantity * (lot.measured_mg_per_mm or nominal) for lot in self.lots)
        return money.half_even(weighed + self.without_lot * nominal, denominator=1_000)

    @property
    def blocked(self) -> int:
        """Stock units that are over age."""
        return sum(lot.quantity for lot in self.lots if lot.blocked)

    @property
    def usable(self) -> int:
        """Stock units that may be used."""
        return self.quantity - self.blocked

    @property
    def without_lot(self) -> int:
        """Stock units that came without a lot."""
        return self.quantity - sum(lot.quantity for lot in self.lots)


@dataclass(frozen=True)
class Hand:
    """What lies at a place."""

    site: Site
    place: Place | None
    rows: tuple[HandRow, ...]

    @property
    def value_minor(self) -> int | None:
        """The value of all of it; None for who may not see money."""
        values = [row.value_minor for row in self.rows if row.value_minor is not None]
        return sum(values) if values else None


def stores(actor: Actor) -> list[StoreRow]:
    """List the stores of the actor's open sites, with how many materials lie there and the last count."""
    held = Q(
        places__kind=Place.Kind.STORE, places__stock__quantity__gt=0, places__stock__material__stocked=True
    )
    rows = (
        scope.visible(Site.objects.filter(closed_date=None), actor)
        .annotate(
            held=Count("places__stock", filter=held, distinct=True),
            counted=Max("counts__happened_at", filter=Q(counts__state="posted")),
        )
        .order_by("name", "pk")
    )
    return [StoreRow(site=row, materials=row.held, counted_at=row.counted) for row in rows]


def on_hand(actor: Actor, *, site_id: int, today: date, empty: bool = False) -> Hand:
    """Show what lies in a store, with `empty` what lay there too; NotFound when it is not the actor's."""
    site = scope.get(Site.objects.all(), actor, pk=site_id)
    place = Place.objects.filter(site=site, kind=Place.Kind.STORE).first()
    return Hand(site=site, place=place, rows=_rows(place, actor=actor, today=today, least=0 if empty else 1))


def at_slab(actor: Actor, *, slab_id: int, today: date, empty: bool = False) -> Hand:
    """Show what was issued to a slab and has neither come back nor been lost, with `empty` what has too."""
    slab = scope.get(Slab.objects.select_related("site"), actor, pk=slab_id)
    place = Place.objects.filter(slab=slab, kind=Place.Kind.SLAB).first()
    return Hand(
        site=slab.site, place=place, rows=_rows(place, actor=actor, today=today, least=0 if empty else 1)
    )


def _rows(place: Place | None, *, actor: Actor, today: date, least: int) -> tuple[HandRow, ...]:
    if place is None:
        return ()
    lots: dict[int, list[LotRow]] = defaultdict(list)
    lot_rows = LotStock.objects.filter(place=place, quantity__gte=least).select_related(
        "lot__material", "lot__supplier"
    )
    for row in lot_rows.order_by("lot__made_date", "lot_id"):
        lots[row.lot.material_id].append(_lot(row, today=today))
    priced = actor.can(Permission.SEE_MONEY)
    stock = Stock.objects.filter(place=place, quantity__gte=least).select_related("material")
    stock = stock.prefetch_related("material__packs")
    return tuple(
        HandRow(
            material=row.material,
            place_id=place.pk,
            quantity=row.quantity,
            value_minor=row.value_minor if priced else None,
            lots=tuple(lots[row.material_id]),
        )
        for row in stock.order_by("material__code", "pk")
    )


def _lot(row: LotStock, *, today: date) -> LotRow:
    lot = row.lot
    until = shelf.last_day(
        made=lot.made_date,
        shelf_days=lot.material.shelf_days,
        tested_until=lot.tested_until,
        failed_on=lot.failed_date,
    )
    blocked = until is not None and today > until
    return LotRow(
        lot_id=lot.pk,
        label=lot.label,
        supplier=lot.supplier.name,
        quantity=row.quantity,
        made_date=lot.made_date,
        age_days=(today - lot.made_date).days if lot.made_date else None,
        usable_until=until,
        blocked=blocked,
        words=_words(lot, until=until, blocked=blocked, today=today),
        measured_mg_per_mm=lot.measured_mg_per_mm,
        tested_until=lot.tested_until,
    )


def _words(lot: Lot, *, until: date | None, blocked: bool, today: date) -> str:
    if blocked:
        return _("blocked: failed its test") if lot.failed_date else _("blocked: over age")
    warn_days = None if lot.tested_until else lot.material.warn_days
    if shelf.ages(made=lot.made_date, last=until, warn_days=warn_days, on=today):
        return _("use before it is over age")
    if until is None and lot.material.shelf_days:
        return _("age not known")
    return ""
