"""Steel of a store by lot: bars, metres and kilograms, mass per metre against its tolerance, and offcuts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils.translation import gettext as _

from estimates.models import Material
from estimates.queries import standards
from estimates.standards.values import Profile, Value
from inventory.calc import money
from inventory.calc.measuring import bar_mass
from inventory.models import Lot, LotStock, Place
from inventory.queries.cutting import bars
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Site

PPM = 1_000_000


@dataclass(frozen=True)
class SteelRow:
    """A lot of bars at a store: quantity in mm, mass in g, deviation of the mass per metre in ppm."""

    lot: Lot
    place: Place
    quantity: int
    bars: int
    free: int
    mass_g: int
    deviation_ppm: int | None
    tolerance: Value | None
    age_days: int | None

    @property
    def offcut(self) -> bool:
        """Whether it is a rest of a longer bar."""
        return self.lot.offcut_since is not None

    @property
    def words(self) -> str:
        """What there is to say of its mass; empty when it lies within the tolerance or is not known."""
        if self.deviation_ppm is None or self.tolerance is None:
            return ""
        most = self.tolerance.value / 100 * PPM
        percent = {"percent": f"{self.tolerance.value:g}", "source": self.tolerance.citation}
        if self.deviation_ppm > most:
            return _("heavier than the tolerance of %(percent)s %%, %(source)s: metres are lost") % percent
        if self.deviation_ppm < -most:
            return _("lighter than the tolerance of %(percent)s %%, %(source)s: a defect") % percent
        return ""

    @property
    def short_g(self) -> int:
        """Mass paid for beyond what the same metres weigh by the table; below 0 when they weigh less."""
        nominal = self.lot.material.nominal_mg_per_mm or 0
        return self.mass_g - money.half_even(self.quantity * nominal, denominator=1_000)


def steel_of(actor: Actor, *, site_id: int, today: date) -> list[SteelRow]:
    """List the bars in the store of a site by lot, offcuts after the bars of their size."""
    site = scope.get(Site.objects.all(), actor, pk=site_id)
    rows = _stock(actor, filter=Q(place__site=site))
    return sorted(rows_of(actor, rows, today=today), key=_by_size)


def offcut(actor: Actor, *, lot_id: int, today: date) -> tuple[Lot, list[SteelRow]]:
    """Show a lot of offcuts and where it lies; NotFound when it is none of the firm's."""
    known = Lot.objects.exclude(offcut_since=None)
    known = known.select_related("material", "supplier", "offcut_of", "cut__pattern__plan__site")
    lot = scope.get(known, actor, pk=lot_id)
    return lot, rows_of(actor, _stock(actor, filter=Q(lot=lot)), today=today)


def rows_of(actor: Actor, stock: list[LotStock], *, today: date) -> list[SteelRow]:
    """Work out what is shown of lots of steel."""
    profile = standards.of_firm(actor, profile_id=actor.profile)
    promised = bars.reserved(firm_id=actor.firm_id)
    return [
        _row(one, promised=promised.get((one.place_id, one.lot_id), 0), profile=profile, today=today)
        for one in stock
    ]


def tolerance(size_mm: int | None, *, profile: Profile) -> Value | None:
    """How far the mass of a metre may lie from the table's; None when the profile does not say."""
    return None if size_mm is None else bar_mass.tolerance(size_mm, profile=profile)


def _stock(actor: Actor, *, filter: Q) -> list[LotStock]:  # noqa: A002 - what a queryset calls it
    rows = scope.visible(LotStock.objects.filter(filter, quantity__gt=0), actor)
    rows = rows.filter(place__kind=Place.Kind.STORE, lot__material__stock_unit="mm")
    rows = rows.select_related("lot__material", "lot__supplier", "place__site")
    return list(rows.order_by("lot_id", "place_id"))


def _by_size(row: SteelRow) -> tuple[int, bool, int, int]:
    material: Material = row.lot.material
    return (material.size_mm or 0, row.offcut, -row.lot.bar_length_mm, row.lot.pk)


def _row(one: LotStock, *, promised: int, profile: Profile, today: date) -> SteelRow:
    lot, nominal = one.lot, one.lot.material.nominal_mg_per_mm or 0
    mass = lot.measured_mg_per_mm or nominal
    whole = one.quantity // lot.bar_length_mm if lot.bar_length_mm else 0
    weighed = lot.measured_mg_per_mm
    return SteelRow(
        lot=lot,
        place=one.place,
        quantity=one.quantity,
        bars=whole,
        free=max(whole - promised, 0),
        mass_g=money.half_even(one.quantity * mass, denominator=1_000),
        deviation_ppm=(weighed - nominal) * PPM // nominal if weighed and nominal else None,
        tolerance=tolerance(lot.material.size_mm, profile=profile),
        age_days=(today - lot.offcut_since).days if lot.offcut_since else None,
    )
