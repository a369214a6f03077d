"""Suppliers and what they offer: the price of a pack from a date on, the least order, the days it takes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import Offer, OfferBreak, Supplier
from inventory.services import replan
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act


class NameMissing(Refused):
    """A supplier without a name."""

    code = "name_missing"


class NameTaken(Refused):
    """Another supplier of the firm has this name."""

    code = "name_taken"


class BadEmail(Refused):
    """An e-mail address to which nothing can be sent."""

    code = "bad_email"


class BadCredit(Refused):
    """Credit days below nothing or beyond a year."""

    code = "bad_credit"


class PackOfOther(Refused):
    """The pack belongs to another material."""

    code = "pack_of_other_material"


class BadOffer(Refused):
    """A price, minimum or lead time out of its bounds."""

    code = "bad_offer"


@dataclass(frozen=True)
class SupplierAct:
    """A new supplier."""

    name: str
    phone: str = ""
    email: str = ""
    credit_days: int = 0
    is_client: bool = False


@dataclass(frozen=True)
class SupplierChange:
    """A supplier's details as they shall be; from `ended_date` on nothing is bought there."""

    supplier_id: int
    name: str
    phone: str = ""
    email: str = ""
    credit_days: int = 0
    ended_date: date | None = None
    is_client: bool = False


@dataclass(frozen=True)
class BreakAct:
    """A price, in 1/10,000 minor unit for one pack, that holds from a number of packs on."""

    from_packs: int
    pack_price: int


@dataclass(frozen=True)
class OfferAct:
    """An offer: `pack_price` in 1/10,000 minor unit for one pack on site, `lead_days` in working days.

    A break holds for all packs of an order, or, `incremental`, for those beyond its number. After
    `valid_until` the plan does not buy by it. `truck_packs` fill a truck, where room and not mass fills it.
    """

    supplier_id: int
    material_id: int
    pack_id: int
    from_date: date
    pack_price: int
    lead_days: int
    minimum_packs: int = 1
    valid_until: date | None = None
    breaks: tuple[BreakAct, ...] = ()
    incremental: bool = False
    truck_packs: int | None = None


MOST_BREAKS = 10
MOST_DAYS = 365
MOST_PACKS = 100_000


@business_act(result=Supplier)
def add(*, actor: Actor, act: SupplierAct, key: str, now: datetime) -> Supplier:
    """Add a supplier; refused without a name, with a name in use, or with an address that is none.

    One that is the client brings the client's own material, at nil value.
    """
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    name = _checked_name(act.name, actor=actor, besides=None)
    return Supplier.objects.create(
        firm_id=actor.firm_id,
        name=name,
        phone=act.phone.strip(),
        email=_checked_email(act.email),
        credit_days=_checked_credit(act.credit_days),
        is_client=act.is_client,
    )


def put(*, actor: Actor, name: str) -> Supplier:
    """Add a supplier by the name alone, inside the caller's act; refuses as `add` does."""
    return Supplier.objects.create(firm_id=actor.firm_id, name=_checked_name(name, actor=actor, besides=None))


@business_act(result=Supplier)
def change(*, actor: Actor, act: SupplierChange, key: str, now: datetime) -> Supplier:
    """Change a supplier's details, or end buying there; refused as `add` is."""
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    supplier = scope.get(Supplier.objects.select_for_update(), actor, pk=act.supplier_id)
    supplier.name = _checked_name(act.name, actor=actor, besides=supplier.id)
    supplier.phone = act.phone.strip()
    supplier.email = _checked_email(act.email)
    supplier.credit_days = _checked_credit(act.credit_days)
    supplier.ended_date = act.ended_date
    supplier.is_client = act.is_client
    supplier.save(update_fields=["name", "phone", "email", "credit_days", "ended_date", "is_client"])
    replan.soon(actor.firm_id, now=now)
    return supplier


@business_act(result=Offer)
def set_offer(*, actor: Actor, act: OfferAct, key: str, now: datetime) -> Offer:
    """Set what a supplier asks for a pack from a date on; the same date again corrects it.

    Refused when the pack is another material's, a figure is out of bounds, or a break is no better price.
    """
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    return put_offer(actor=actor, act=act, now=now)


def put_offer(*, actor: Actor, act: OfferAct, now: datetime) -> Offer:
    """Write an offer inside the caller's act; refuses as `set_offer` does."""
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    pack = scope.get(Pack.objects.all(), actor, pk=act.pack_id)
    if pack.material_id != material.id:
        message = _("%(pack)s is no pack of %(material)s. Choose one of its packs.")
        raise PackOfOther(message % {"pack": pack.name, "material": material.name}, field="pack")
    _require_bounds(act)
    _require_breaks(act)
    if supplier.is_client and (act.pack_price or act.breaks):
        message = _("What %(name)s brings is the client's own and comes in at nil value. The price is 0.")
        raise BadOffer(message % {"name": supplier.name}, field="pack_price")
    offer, _created = Offer.objects.update_or_create(
        supplier=supplier,
        material=material,
        pack=pack,
        from_date=act.from_date,
        defaults={
            "pack_price": act.pack_price,
            "minimum_packs": act.minimum_packs,
            "lead_days": act.lead_days,
            "valid_until": act.valid_until,
            "incremental": act.incremental,
            "truck_packs": act.truck_packs,
        },
    )
    offer.breaks.all().delete()
    OfferBreak.objects.bulk_create(
        OfferBreak(offer=offer, from_packs=one.from_packs, pack_price=one.pack_price)
        for one in sorted(act.breaks, key=lambda one: one.from_packs)
    )
    replan.soon(actor.firm_id, now=now)
    return offer


def _checked_name(typed: str, *, actor: Actor, besides: int | None) -> str:
    name = typed.strip()
    if not name:
        raise NameMissing(_("Give the supplier a name."), field="name")
    same = scope.visible(Supplier.objects.filter(name__iexact=name), actor)
    if any(pk != besides for pk in same.values_list("pk", flat=True)):
        message = _("There is already a supplier called %(name)s. Open it, or give this one another name.")
        raise NameTaken(message % {"name": name}, field="name", name=name)
    return name


def _checked_credit(days: int) -> int:
    if not 0 <= days <= MOST_DAYS:
        message = _("Bills are due after %(days)s days; it must lie between 0 and %(most)s.")
        params = {"days": days, "most": MOST_DAYS}
        raise BadCredit(message % params, field="credit_days", **params)
    return days


def _checked_email(typed: str) -> str:
    email = typed.strip()
    if not email:
        return ""
    try:
        validate_email(email)
    except ValidationError:
        message = _("“%(email)s” is not an e-mail address. Correct it, or leave it empty.")
        raise BadEmail(message % {"email": email}, field="email", email=email) from None
    return email


def _require_bounds(act: OfferAct) -> None:
    if act.pack_price < 0:
        raise BadOffer(
            _("The price of a pack cannot be below 0."), field="pack_price", pack_price=act.pack_price
        )
    if not 1 <= act.minimum_packs <= MOST_PACKS:
        message = _("The least order is %(packs)s packs; it must lie between 1 and %(most)s.")
        params = {"packs": act.minimum_packs, "most": MOST_PACKS}
        raise BadOffer(message % params, field="minimum_packs", **params)
    if not 0 <= act.lead_days <= MOST_DAYS:
        message = _("Delivery takes %(days)s working days; it must lie between 0 and %(most)s.")
        days = {"days": act.lead_days, "most": MOST_DAYS}
        raise BadOffer(message % days, field="lead_days", **days)
    if act.truck_packs is not None and not 1 <= act.truck_packs <= MOST_PACKS:
        message = _("A truck takes %(packs)s packs; it must lie between 1 and %(most)s.")
        full = {"packs": act.truck_packs, "most": MOST_PACKS}
        raise BadOffer(message % full, field="truck_packs", **full)
    if act.valid_until is not None and act.valid_until < act.from_date:
        message = _("Valid until %(until)s is before the first day, %(from)s. Correct one of them.")
        dates = {"until": act.valid_until, "from": act.from_date}
        raise BadOffer(message % dates, field="valid_until")


def _require_breaks(act: OfferAct) -> None:
    """Refuse breaks that do not rise in packs and fall in price: a reader would take them for a slip."""
    if len(act.breaks) > MOST_BREAKS:
        message = _("An offer has at most %(most)s breaks. Leave out those that you never reach.")
        raise BadOffer(message % {"most": MOST_BREAKS}, field="breaks")
    packs, price = 1, act.pack_price
    for one in sorted(act.breaks, key=lambda one: one.from_packs):
        if not packs < one.from_packs <= MOST_PACKS:
            message = _(
                "A price from %(packs)s packs on does not fit: each break starts above the one before and "
                "above 1, up to %(most)s."
            )
            params = {"packs": one.from_packs, "most": MOST_PACKS}
            raise BadOffer(message % params, field="breaks", **params)
        if not 0 <= one.pack_price < price:
            message = _("From %(packs)s packs on the price must be lower than before. Correct it.")
            raise BadOffer(message % {"packs": one.from_packs}, field="breaks", from_packs=one.from_packs)
        packs, price = one.from_packs, one.pack_price
