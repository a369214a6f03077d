"""Quotations: recorded as they were quoted, and one of them chosen with a reason."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.calc import quoted as calc
from inventory.models import (
    EnquiredSupplier,
    EnquiryLine,
    Quotation,
    QuotationChoice,
    QuotationLine,
    Supplier,
)
from inventory.queries import landed
from inventory.services import enquiries, firm_days, measures, suppliers, texts
from inventory.services.suppliers import MOST_DAYS, MOST_PACKS, OfferAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

BASES = frozenset(QuotationLine.Basis.values)
MOST_PRICE = 10**15
MOST_DENSITY = 8_000
"""Heavier than any loose material of this trade, steel as a block [kg/m³]. Source: common practice."""


class BadQuotation(Refused):
    """A figure of a quotation is out of its bounds, or names no line of the enquiry."""

    code = "bad_quotation"


class WrongKind(Refused):
    """The price is for a unit that cannot be turned into the material's own."""

    code = "wrong_kind"


class QuotationExpired(Refused):
    """The quotation's validity is over."""

    code = "quotation_expired"
    status = 409


class QuotationReplaced(Refused):
    """The supplier has quoted anew since."""

    code = "quotation_replaced"
    status = 409


class PackNeeded(Refused):
    """No pack of the material holds what the price is for, or the one named is another material's."""

    code = "pack_needed"


class ReasonMissing(Refused):
    """A quotation is chosen without a reason."""

    code = "reason_missing"


@dataclass(frozen=True, kw_only=True)
class QuotedLineAct:
    """A price in 1/10,000 minor unit for a pack, a unit of trade, or a load of `load` such units.

    `freight` and `loading` are in the price (`included`), for each priced unit (`unit`) or for the whole
    quantity (`whole`); `tax_percent` is on all of them, and in them when `tax_included`.
    """

    line_id: int
    price: int
    pack_id: int | None = None
    unit: str = ""
    load: Decimal | None = None
    bulk_density_kg_m3: int | None = None
    freight: int = 0
    freight_basis: str = "included"
    loading: int = 0
    loading_basis: str = "included"
    tax_percent: Decimal = Decimal(0)
    tax_included: bool = False
    tax_recoverable: bool = False
    minimum: Decimal = Decimal(0)
    lead_days: int = 1


@dataclass(frozen=True, kw_only=True)
class QuotationAct:
    """What a supplier answered to an enquiry."""

    enquiry_id: int
    supplier_id: int
    dated: date
    valid_until: date | None = None
    credit_days: int = 0
    reference: str = ""
    remark: str = ""
    lines: tuple[QuotedLineAct, ...] = ()


@dataclass(frozen=True)
class ChoiceAct:
    """The quoted line that is chosen, why, and in which pack the plan shall buy (empty: the one quoted)."""

    quoted_id: int
    reason: str
    pack_id: int | None = None


@business_act(result=Quotation)
def record(*, actor: Actor, act: QuotationAct, key: str, now: datetime) -> Quotation:
    """Record a quotation as it was quoted; a later one of the same supplier takes the place of an earlier.

    Refused for a unit of the wrong kind (`wrong_kind`), a figure out of bounds, or an ended enquiry.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    enquiry = enquiries.open_one(actor, act.enquiry_id)
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    _require_head(act)
    known = {line.pk: line for line in enquiry.lines.select_related("material")}
    lines = []
    for n, typed in enumerate(act.lines, start=1):
        with texts.at_line(n):
            lines.append(_line(typed, known=known, actor=actor))
    if not lines or len({line.line_id for line in lines}) < len(lines):
        message = _("A quotation has a price for at least one line of the enquiry, and one for each.")
        raise BadQuotation(message, field="lines")
    quotation = Quotation.objects.create(
        enquiry=enquiry,
        supplier=supplier,
        reference=texts.fitting(act.reference, most=60, field="reference"),
        dated=act.dated,
        valid_until=act.valid_until,
        credit_days=act.credit_days,
        remark=texts.fitting(act.remark, most=400, field="remark"),
        recorded_by_id=actor.person_id,
        recorded_at=now,
    )
    EnquiredSupplier.objects.get_or_create(enquiry=enquiry, supplier=supplier)
    for line in lines:
        line.quotation = quotation
    QuotationLine.objects.bulk_create(lines)
    return quotation


@business_act(result=QuotationChoice)
def choose(*, actor: Actor, act: ChoiceAct, key: str, now: datetime) -> QuotationChoice:
    """Choose a quoted price, with the reason; the supplier's offer has it from today, so the plan does.

    Refused when the quotation is expired or was replaced, without a reason, or when no pack fits.
    """
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise ReasonMissing(_("Say why this one; it stays with the choice."), field="reason")
    rows = QuotationLine.objects.select_related("quotation__supplier", "line__material", "pack")
    row = scope.get(rows, actor, pk=act.quoted_id)
    enquiries.open_one(actor, row.quotation.enquiry_id)
    today = firm_days.of(now, actor=actor)
    _require_current(row, today=today)
    pack = _pack(row, act=act, actor=actor)
    cost = landed.cost(row)
    offer = suppliers.put_offer(
        actor=actor,
        act=OfferAct(
            supplier_id=row.quotation.supplier_id,
            material_id=row.line.material_id,
            pack_id=pack.pk,
            from_date=today,
            pack_price=calc.pack_price(cost, content=pack.content),
            minimum_packs=_minimum(row, pack=pack),
            lead_days=row.lead_days,
            valid_until=row.quotation.valid_until,
        ),
        now=now,
    )
    return QuotationChoice.objects.create(
        quoted=row,
        offer=offer,
        pack_price=offer.pack_price,
        reason=reason,
        chosen_by_id=actor.person_id,
        chosen_at=now,
    )


def _require_head(act: QuotationAct) -> None:
    if act.valid_until is not None and act.valid_until < act.dated:
        message = _("Valid until %(until)s is before the quotation's day, %(dated)s. Correct one of them.")
        params = {"until": act.valid_until, "dated": act.dated}
        raise BadQuotation(message % params, field="valid_until", **params)
    if not 0 <= act.credit_days <= MOST_DAYS:
        message = _("Bills are due after %(days)s days; it must lie between 0 and %(most)s.")
        limits = {"days": act.credit_days, "most": MOST_DAYS}
        raise BadQuotation(message % limits, field="credit_days", **limits)


def _line(act: QuotedLineAct, *, known: dict[int, EnquiryLine], actor: Actor) -> QuotationLine:
    line = known.get(act.line_id)
    if line is None:
        raise BadQuotation(_("The enquiry has no such line. Choose one of its own."), field="line_id")
    pack = None if act.pack_id is None else scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    if pack is not None and pack.material_id != line.material_id:
        message = _("%(pack)s is no pack of %(material)s. Choose one of its packs.")
        raise PackNeeded(message % {"pack": pack.name, "material": line.material.name}, field="pack_id")
    _require_figures(act)
    row = QuotationLine(
        line=line,
        price=act.price,
        pack=pack,
        unit="" if pack else measures.plain_unit(act.unit or line.material.show_unit)[:8],
        load_thousandths=None if act.load is None else measures.thousandths(act.load, field="load"),
        bulk_density_kg_m3=act.bulk_density_kg_m3,
        freight=act.freight,
        freight_basis=act.freight_basis,
        loading=act.loading,
        loading_basis=act.loading_basis,
        tax_ppm=int(act.tax_percent * 10_000),
        tax_included=act.tax_included,
        tax_recoverable=act.tax_recoverable,
        minimum_thousandths=measures.thousandths(act.minimum, field="minimum"),
        lead_days=act.lead_days,
    )
    _require_kind(row, material=line.material)
    return row


def _require_figures(act: QuotedLineAct) -> None:
    bounds: dict[str, tuple[int | Decimal, int]] = {
        "price": (act.price, MOST_PRICE),
        "freight": (act.freight, MOST_PRICE),
        "loading": (act.loading, MOST_PRICE),
        "tax_percent": (act.tax_percent, 100),
        "lead_days": (act.lead_days, MOST_DAYS),
        "bulk_density_kg_m3": (act.bulk_density_kg_m3 or 0, MOST_DENSITY),
    }
    for field, (figure, most) in bounds.items():
        if not 0 <= figure <= most:
            message = _("%(figure)s is out of bounds; it must lie between 0 and %(most)s.")
            raise BadQuotation(message % {"figure": figure, "most": most}, field=field)
    if act.load is not None and (act.pack_id is not None or act.load <= 0):
        message = _("A load is so many of a unit, more than 0. Give the unit, not a pack.")
        raise BadQuotation(message, field="load")
    for field, basis in (("freight_basis", act.freight_basis), ("loading_basis", act.loading_basis)):
        if basis not in BASES:
            message = _("%(basis)s is no basis. Use one of %(known)s.")
            raise BadQuotation(message % {"basis": basis, "known": ", ".join(sorted(BASES))}, field=field)


def _require_kind(row: QuotationLine, *, material: Material) -> None:
    try:
        landed.stock_per(row, material=material)
    except ValueError as fault:
        message = _(
            "%(material)s is kept in %(shown)s; a price for %(unit)s cannot be compared with it. Give "
            "another unit or, between mass and volume, the bulk density that the supplier states."
        )
        params = {"material": material.name, "shown": material.show_unit, "unit": row.unit}
        raise WrongKind(message % params, field="unit", **params) from fault


def _require_current(row: QuotationLine, *, today: date) -> None:
    quotation = row.quotation
    later = Quotation.objects.filter(
        enquiry=quotation.enquiry_id, supplier=quotation.supplier_id, pk__gt=quotation.pk
    )
    if later.exists():
        message = _("%(name)s has quoted anew since. Choose the newer quotation.")
        raise QuotationReplaced(message % {"name": quotation.supplier.name})
    if quotation.valid_until is not None and quotation.valid_until < today:
        message = _(
            "The quotation of %(name)s was valid until %(until)s. Ask whether it holds and record it anew."
        )
        params = {"name": quotation.supplier.name, "until": quotation.valid_until}
        raise QuotationExpired(message % params, field="quoted_id", **params)


def _pack(row: QuotationLine, *, act: ChoiceAct, actor: Actor) -> Pack:
    """The pack in which the plan shall buy: the one named, the one quoted, or the one of the same content."""
    material = row.line.material
    if act.pack_id is not None:
        named = scope.get(Pack.objects.all(), actor, pk=act.pack_id)
        if named.material_id == material.pk:
            return named
    elif row.pack is not None:
        return row.pack
    else:
        holds = round(landed.stock_per(row, material=material))
        same = material.packs.filter(content=holds, mass_g=None).order_by("id").first()
        if same is not None:
            return same
    message = _("Say in which pack of %(material)s the plan shall buy; the price is turned into its own.")
    raise PackNeeded(message % {"material": material.name}, field="pack_id")


def _minimum(row: QuotationLine, *, pack: Pack) -> int:
    least = Fraction(row.minimum_thousandths, 1_000) * landed.stock_per(row, material=row.line.material)
    return min(max(math.ceil(least / pack.content), 1), MOST_PACKS)
