"""The lines of an order: whole packs at a price, of a pour, and perhaps called off against an agreed rate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.calc import money
from inventory.models import OrderLine, RateAgreement, Supplier
from inventory.queries import plan_offers
from inventory.services import called_off
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused
from projects.models import Pour, Site

MOST_PACKS = 1_000_000
MOST_OF_LINE = 10**15
"""Stock units and minor units of one line: far above any site, and an order of them still adds up."""


class BadLine(Refused):
    """A line with a figure out of bounds, a pack of another material or a pour of another site."""

    code = "bad_line"


class PriceMissing(Refused):
    """A line without a price, of a supplier who has none on record."""

    code = "price_missing"


@dataclass(frozen=True)
class LineAct:
    """A line: whole packs at `pack_price`, 1/10,000 minor unit for one; `pour_id` when it is for a pour.

    Without a price it takes what was agreed, or else what the supplier asks on the day of writing.
    """

    material_id: int
    pack_id: int
    packs: int
    pack_price: int | None = None
    pour_id: int | None = None
    agreement_id: int | None = None


@dataclass(frozen=True)
class Frame:
    """What the lines of an order have in common: who sells, where it goes, on which day they are written."""

    supplier: Supplier
    site: Site
    today: date
    actor: Actor


def build(lines: Sequence[LineAct], *, frame: Frame, after: int = 0) -> list[OrderLine]:
    """Return rows for lines, not saved, numbered after `after`; refused with `bad_line` and its likes."""
    prices = _prices(lines, frame=frame)
    agreed: Counter[int | None] = Counter()
    for line in lines:
        agreed[line.agreement_id] += line.packs
    return [
        _line(line, position=position, prices=prices, of_agreed=agreed[line.agreement_id], frame=frame)
        for position, line in enumerate(lines, start=after + 1)
    ]


def set_packs(row: OrderLine, *, packs: int, price: int) -> None:
    """Let a row ask for so many packs at a price; 0 strikes it. Refused with `bad_line` out of bounds."""
    if not 0 <= packs <= MOST_PACKS:
        message = _("Line %(line)s: %(packs)s packs; it must lie between 0 and %(most)s.")
        params = {"line": row.position, "packs": packs, "most": MOST_PACKS}
        raise BadLine(message % params, field="packs", **params)
    if price < 0:
        message = _("Line %(line)s: the price of a pack cannot be below 0.")
        raise BadLine(message % {"line": row.position}, field="pack_price", line=row.position)
    row.packs, row.pack_price = packs, price
    row.quantity = packs * row.pack.content
    row.mass_g = packs * row.pack.mass_g if row.pack.mass_g is not None and packs else None
    row.amount_minor = money.amount(packs, rate=price, per=1)
    if max(row.quantity, row.amount_minor) > MOST_OF_LINE:
        message = _(
            "Line %(line)s is more than one line may hold. Check the packs, what one holds and costs."
        )
        raise BadLine(message % {"line": row.position}, field="lines", line=row.position)


def _prices(lines: Sequence[LineAct], *, frame: Frame) -> dict[int, int]:
    """What the supplier asks today for a pack, at the break that the order's packs of it reach."""
    packs: Counter[int] = Counter()
    for line in lines:
        packs[line.pack_id] += max(line.packs, 1)
    rows = frame.supplier.offers.filter(from_date__lte=frame.today, pack_id__in=list(packs))
    rows = rows.select_related("pack", "supplier").prefetch_related("breaks")
    latest = {row.pack_id: row for row in rows.order_by("from_date", "id")}
    return {
        pack_id: plan_offers.price_of(row, packs=packs[pack_id])
        for pack_id, row in latest.items()
        if row.valid_until is None or row.valid_until >= frame.today
    }


def _price(
    line: LineAct, *, position: int, prices: dict[int, int], agreement: RateAgreement | None, frame: Frame
) -> int:
    """Price of a pack: nothing for the client's own, else what was agreed, typed, or is asked today."""
    if frame.supplier.is_client:
        return 0
    if agreement is not None:
        return agreement.pack_price
    if line.pack_price is not None:
        return line.pack_price
    if line.pack_id not in prices:
        message = _("Line %(line)s: this supplier has no price on record for it. Give the price of a pack.")
        raise PriceMissing(message % {"line": position}, field="lines", line=position)
    return prices[line.pack_id]


def _line(line: LineAct, *, position: int, prices: dict[int, int], of_agreed: int, frame: Frame) -> OrderLine:
    actor, site = frame.actor, frame.site
    material = scope.get(Material.objects.all(), actor, pk=line.material_id)
    pack = scope.get(Pack.objects.all(), actor, pk=line.pack_id)
    _require_line(line, position=position, fits=pack.material_id == material.id)
    agreement = _agreement(line, pack=pack, packs=of_agreed, frame=frame)
    if line.pour_id is not None:
        pour = scope.get(Pour.objects.select_related("slab"), actor, pk=line.pour_id)
        if pour.slab.site_id != site.id:
            message = _("Line %(line)s: %(pour)s is on another site than the order.")
            raise BadLine(message % {"line": position, "pour": pour}, field="lines", line=position)
    row = OrderLine(
        position=position, material=material, pack=pack, pour_id=line.pour_id, agreement=agreement
    )
    price = _price(line, position=position, prices=prices, agreement=agreement, frame=frame)
    set_packs(row, packs=line.packs, price=price)
    return row


def _agreement(line: LineAct, *, pack: Pack, packs: int, frame: Frame) -> RateAgreement | None:
    """The agreement of a line, of which enough is left for all lines of the order that name it."""
    if line.agreement_id is None:
        return None
    return called_off.take(
        line.agreement_id,
        packs=packs,
        pack=pack,
        order_to=(frame.supplier, frame.site),
        on=frame.today,
        actor=frame.actor,
    )


def _require_line(line: LineAct, *, position: int, fits: bool) -> None:
    if not fits:
        message = _("Line %(line)s: this pack is of another material. Choose one of the material's packs.")
        raise BadLine(message % {"line": position}, field="lines", line=position)
    if not 1 <= line.packs <= MOST_PACKS:
        message = _("Line %(line)s: %(packs)s packs; it must lie between 1 and %(most)s.")
        params = {"line": position, "packs": line.packs, "most": MOST_PACKS}
        raise BadLine(message % params, field="lines", **params)
