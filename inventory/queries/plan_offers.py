"""Who sells a material on a day, and how: offers with their breaks, agreed rates with what is left."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from django.db.models import Q

from estimates.models import Material, Pack, StockUnit
from inventory.calc.reorder import quotes
from inventory.calc.reorder.quotes import Break, Quote
from inventory.models import Offer, RateAgreement, Supplier
from inventory.queries import agreements
from inventory.queries.agreements import AgreementRow
from projects.access import scope
from projects.access.actor import Actor

NOBODY = 0
"""Number of the quote of what nobody offers, or of what is beyond an agreed total."""

ANY_LOAD_G = 10**9
"""Grams of a truck without a limit: more than any site takes on a day."""

MASSES_MG = {StockUnit.GRAM: 1_000, StockUnit.CUBIC_CENTIMETRE: 1_600}
"""Of a stock unit; for sand and stone in bulk about 1.6 t/m³, common practice."""


@dataclass(frozen=True)
class Sold:
    """What can be bought of a material at a site: offers, and agreed rates that hold there."""

    offers: tuple[Offer, ...] = ()
    agreed: tuple[AgreementRow, ...] = ()

    @cached_property
    def by_key(self) -> dict[int, Offer | RateAgreement]:
        """The rows behind the quotes, by the number of the quote."""
        offers: dict[int, Offer | RateAgreement] = {row.pk: row for row in self.offers}
        return offers | {-one.row.pk: one.row for one in self.agreed}

    @property
    def rows(self) -> list[Offer | RateAgreement]:
        """Offers and agreed rates."""
        return list(self.by_key.values())

    def row(self, key: int) -> Offer | RateAgreement | None:
        """The offer or agreed rate behind a quote, None for the one that nobody made."""
        return self.by_key.get(key)

    @cached_property
    def quotes(self) -> tuple[Quote, ...]:
        """All of them as the plan takes them, the cheapest first; what was agreed before what costs the same.

        An agreed rate ends with its total and its days; when nobody offers the material beside it, one of the
        same supplier without a known price stands for what is beyond.
        """
        found = [of_offer(row) for row in self.offers] + [_of_agreement(one) for one in self.agreed]
        if found and not self.offers:
            found.append(_beyond(min(found, key=_rank)))
        return tuple(sorted(found, key=_rank))


@dataclass(frozen=True)
class Book:
    """Offers and agreed rates by material, put together once for all sites that buy alike."""

    offers: Mapping[int, list[Offer]]
    agreed: Mapping[int, list[AgreementRow]]
    _known: dict[tuple[int, ...], Sold] = field(default_factory=dict)

    def sold(self, *, site_id: int, material_id: int) -> Sold:
        """Return what holds at a site: an agreed rate may be for one site alone."""
        there = [one for one in self.agreed.get(material_id, ()) if one.row.site_id in {None, site_id}]
        slot = (material_id, *(one.row.pk for one in there))
        if slot not in self._known:
            offers = tuple(self.offers.get(material_id, ()))
            self._known[slot] = Sold(offers=offers, agreed=tuple(there))
        return self._known[slot]


def offers_on(actor: Actor, *, day: date) -> dict[int, list[Offer]]:
    """Return what each supplier asks on a day, by material; ended suppliers and older prices left out.

    A price whose validity is over is left out too, and none before it takes its place.
    """
    rows = (
        scope.visible(Offer.objects.filter(from_date__lte=day), actor)
        .filter(Q(supplier__ended_date__isnull=True) | Q(supplier__ended_date__gt=day))
        .select_related("supplier", "pack", "material")
        .prefetch_related("breaks")
        .order_by("from_date", "id")
    )
    latest = {(row.supplier_id, row.material_id, row.pack_id): row for row in rows}
    found: dict[int, list[Offer]] = defaultdict(list)
    for row in sorted(latest.values(), key=lambda row: row.pk):
        if row.valid_until is None or row.valid_until >= day:
            found[row.material_id].append(row)
    return found


def agreed_on(actor: Actor, *, day: date) -> dict[int, list[AgreementRow]]:
    """Return which agreed rates hold on a day with something left of them, by material."""
    found: dict[int, list[AgreementRow]] = defaultdict(list)
    for one in agreements.holding(actor, on=day):
        if one.left:
            found[one.row.material_id].append(one)
    return found


def book(actor: Actor, *, day: date) -> Book:
    """Read what can be bought on a day, of everything and for every site."""
    return Book(offers_on(actor, day=day), agreed_on(actor, day=day))


def of_offer(row: Offer) -> Quote:
    """Put an offer as the plan takes it."""
    return Quote(
        key=row.pk,
        seller=row.supplier_id,
        content=row.pack.content,
        breaks=(
            Break(packs=1, pack_price=row.pack_price),
            *(Break(packs=one.from_packs, pack_price=one.pack_price) for one in row.breaks.all()),
        ),
        incremental=row.incremental,
        minimum_packs=row.minimum_packs,
        lead_days=row.lead_days,
        load_g=None if row.truck_packs is None else _packed_g(row.supplier, packs=row.truck_packs),
    )


def price_of(row: Offer, *, packs: int) -> int:
    """Return what one of so many packs costs by an offer, in 1/10,000 minor unit, rounded to the nearest.

    Where a break holds for the packs beyond it alone, it is their mean.
    """
    return (2 * quotes.amount(packs, quote=of_offer(row)) + packs) // (2 * packs)


def truck_g(supplier: Supplier) -> int:
    """Return the grams that a truck of a supplier takes."""
    return ANY_LOAD_G if supplier.truck_kg is None else supplier.truck_kg * 1_000


def unit_mg(material: Material) -> int:
    """Return the mass of a stock unit in milligrams, 0 when it does not load a truck."""
    return material.nominal_mg_per_mm or MASSES_MG.get(StockUnit(material.stock_unit), 0)


def load_g(supplier: Supplier, *, packs: Sequence[tuple[Material, Pack, int]], on: date) -> int:
    """Return what packs of materials take of a supplier's trucks, in grams, by what it offers on a day."""
    rows = supplier.offers.filter(from_date__lte=on).order_by("from_date", "id")
    fill = dict(rows.values_list("pack_id", "truck_packs"))
    total = 0
    for material, pack, count in packs:
        full = fill.get(pack.pk)
        mass = pack.content * unit_mg(material) // 1_000 if full is None else _packed_g(supplier, packs=full)
        total += max(1, count * mass)
    return total


def _packed_g(supplier: Supplier, *, packs: int) -> int:
    """The part of a truck's load that a pack takes, rounded down so that so many packs fill it."""
    return max(1, truck_g(supplier) // packs)


def _of_agreement(one: AgreementRow) -> Quote:
    row = one.row
    return Quote(
        key=-row.pk,
        seller=row.supplier_id,
        content=row.pack.content,
        breaks=(Break(packs=1, pack_price=row.pack_price),),
        lead_days=row.lead_days,
        most_packs=one.left,
        last_order=row.valid_until.toordinal(),
    )


def _beyond(quote: Quote) -> Quote:
    price = Break(packs=1, pack_price=quote.pack_price + 1)
    return Quote(
        key=NOBODY, seller=quote.seller, content=quote.content, breaks=(price,), lead_days=quote.lead_days
    )


def _rank(one: Quote) -> tuple[int, int, int]:
    return (one.pack_price * 10**6 // one.content, one.lead_days, one.key)
