"""Rate agreements: a price agreed once, and the orders that are called off against it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from estimates.models import Pack
from inventory.models import PurchaseOrder, RateAgreement, Supplier
from inventory.services import orders, replan, texts
from inventory.services.orders import MOST_PACKS, LineAct, OrderAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Site
from projects.services import numbers
from projects.services.acts import business_act

MOST_PRICE = 10**15
MOST_DAYS = 365


class BadAgreement(Refused):
    """A total, a price or days that cannot be agreed on."""

    code = "bad_agreement"


@dataclass(frozen=True)
class AgreementAct:
    """A rate: `pack_price` in 1/10,000 minor unit for one pack on site, up to `total_packs`, until a day.

    `lead_days` are working days from call-off to delivery.
    """

    supplier_id: int
    pack_id: int
    pack_price: int
    total_packs: int
    from_date: date
    valid_until: date
    site_id: int | None = None
    remark: str = ""
    lead_days: int = 1


@dataclass(frozen=True)
class EndAct:
    """An agreement that ends before its time, and why."""

    agreement_id: int
    reason: str


@dataclass(frozen=True)
class CallOffAct:
    """Packs that a site needs of what was agreed."""

    agreement_id: int
    site_id: int
    packs: int
    expected_date: date
    pour_id: int | None = None


@business_act(result=RateAgreement)
def agree(*, actor: Actor, act: AgreementAct, key: str, now: datetime) -> RateAgreement:
    """Put a rate on record; refused for a total of nothing, or for days that are out of order."""
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    supplier = scope.get(Supplier.objects.all(), actor, pk=act.supplier_id)
    pack = scope.get(Pack.objects.select_related("material"), actor, pk=act.pack_id)
    site = None if act.site_id is None else scope.get(Site.objects.all(), actor, pk=act.site_id)
    _require_bounds(act)
    replan.soon(actor.firm_id, now=now)
    return RateAgreement.objects.create(
        firm_id=actor.firm_id,
        number=numbers.next_number(firm_id=actor.firm_id, kind="RA", now=now),
        supplier=supplier,
        site=site,
        material=pack.material,
        pack=pack,
        pack_price=act.pack_price,
        total_packs=act.total_packs,
        from_date=act.from_date,
        valid_until=act.valid_until,
        lead_days=act.lead_days,
        remark=texts.fitting(act.remark, most=200, field="remark"),
        made_by_id=actor.person_id,
        made_at=now,
    )


@business_act(result=RateAgreement)
def end(*, actor: Actor, act: EndAct, key: str, now: datetime) -> RateAgreement:
    """End an agreement before its time; what was called off stays ordered. Asks for the reason."""
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise orders.ReasonMissing(_("Give the reason; it stays with the agreement."), field="reason")
    agreement = scope.get(RateAgreement.objects.select_for_update(of=("self",)), actor, pk=act.agreement_id)
    if agreement.ended_at is not None:
        message = _("%(number)s was ended before: %(reason)s.")
        raise orders.WrongState(message % {"number": agreement.number, "reason": agreement.end_reason})
    agreement.ended_at, agreement.end_reason = now, reason
    agreement.save(update_fields=["ended_at", "end_reason"])
    replan.soon(actor.firm_id, now=now)
    return agreement


@business_act(result=PurchaseOrder)
def call_off(*, actor: Actor, act: CallOffAct, key: str, now: datetime) -> PurchaseOrder:
    """Order packs at the agreed rate: approved and sent at once, unless the owner has to approve so much.

    The site may do it, and the office sees it among the orders. Refused when the agreement is over
    (`agreement_over`) or less is left of it (`agreement_spent`).
    """
    del key
    actor.require(Permission.CALL_OFF)
    agreement = scope.get(RateAgreement.objects.all(), actor, pk=act.agreement_id)
    line = LineAct(
        material_id=agreement.material_id,
        pack_id=agreement.pack_id,
        packs=act.packs,
        pour_id=act.pour_id,
        agreement_id=agreement.pk,
    )
    wanted = OrderAct(
        site_id=act.site_id,
        supplier_id=agreement.supplier_id,
        expected_date=act.expected_date,
        lines=(line,),
    )
    order = orders.write(actor=actor, act=wanted, now=now)
    replan.soon(actor.firm_id, now=now)
    if orders.needs_owner(order, actor=actor):
        return order
    return orders.mark_sent(orders.mark_approved(order, actor=actor, now=now), now=now)


def _require_bounds(act: AgreementAct) -> None:
    if not 1 <= act.total_packs <= MOST_PACKS:
        message = _("%(packs)s packs in all; it must lie between 1 and %(most)s.")
        params = {"packs": act.total_packs, "most": MOST_PACKS}
        raise BadAgreement(message % params, field="total_packs", **params)
    if not 0 <= act.pack_price <= MOST_PRICE:
        raise BadAgreement(_("The price of a pack is out of bounds. Check it."), field="pack_price")
    if not 0 <= act.lead_days <= MOST_DAYS:
        message = _("Delivery takes %(days)s working days; it must lie between 0 and %(most)s.")
        takes = {"days": act.lead_days, "most": MOST_DAYS}
        raise BadAgreement(message % takes, field="lead_days", **takes)
    if act.valid_until < act.from_date:
        message = _("Valid until %(until)s is before the first day, %(from)s. Correct one of them.")
        days = {"until": act.valid_until, "from": act.from_date}
        raise BadAgreement(message % days, field="valid_until")
