"""What people decide on the plan: order what it suggests, in other packs or elsewhere, or turn it down."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from fractions import Fraction
from typing import NoReturn

from django.utils.translation import gettext as _

from inventory.calc.reorder import offers as offer_choice
from inventory.calc.reorder.workdays import Calendar
from inventory.models import Offer, PurchaseOrder, Suggestion
from inventory.queries import plan_inputs
from inventory.services import firm_days, orders, replan
from inventory.services.orders import LineAct, OrderAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Firm
from projects.services.acts import business_act

State = Suggestion.State


class NothingChosen(Refused):
    """No suggestion was chosen."""

    code = "nothing_chosen"


class Mixed(Refused):
    """The chosen suggestions do not fit into one order."""

    code = "mixed_order"


class NoOffer(Refused):
    """Nobody, or not this supplier, offers the material."""

    code = "no_offer"


class TooFew(Refused):
    """Fewer packs than the supplier sells, or none."""

    code = "too_few_packs"


class Decided(Stale):
    """Somebody, or a later plan, has dealt with the suggestion."""

    code = "decided"


class DayRefused(Refused):
    """Put off to a day that is over, or on which it would come too late by itself."""

    code = "day_refused"


class ReasonMissing(Refused):
    """A suggestion is turned down without saying why."""

    code = "reason_missing"


@dataclass(frozen=True)
class Choice:
    """A suggestion to order; other packs or another supplier than suggested when given."""

    suggestion_id: int
    packs: int | None = None
    supplier_id: int | None = None


@dataclass(frozen=True)
class ApproveAct:
    """Suggestions of one site and supplier that become one order."""

    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class RejectAct:
    """A suggestion that is turned down, and why."""

    suggestion_id: int
    reason: str


@dataclass(frozen=True)
class PostponeAct:
    """A suggestion to be seen again on a day, and why not now."""

    suggestion_id: int
    until: date
    reason: str


@dataclass(frozen=True)
class _Bought:
    suggestion: Suggestion
    offer: Offer
    packs: int
    typed: bool


@business_act(result=PurchaseOrder)
def approve(*, actor: Actor, act: ApproveAct, key: str, now: datetime) -> PurchaseOrder:
    """Turn suggestions of one site and supplier into an approved order.

    Above the actor's limit the order stays a draft that waits for the owner. Refused when a suggestion was
    decided before, nobody offers the material, or the suggestions do not fit into one order.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    actor.require(Permission.APPROVE_ORDERS)
    today = firm_days.of(now, actor=actor)
    bought = _bought(actor, choices=act.choices, today=today)
    first = bought[0]
    if any(_order_of(one) != _order_of(first) for one in bought):
        raise Mixed(_("These are for different sites or suppliers. Order each site and supplier apart."))
    order = orders.write(actor=actor, act=_order_act(bought, actor=actor, today=today), now=now)
    if not orders.needs_owner(order, actor=actor):
        orders.mark_approved(order, actor=actor, now=now)
    ids = [one.suggestion.pk for one in bought]
    decided = {"state": State.ORDERED, "decided_by_id": actor.person_id, "decided_at": now, "order": order}
    Suggestion.objects.filter(pk__in=ids).update(**decided)
    replan.soon(actor.firm_id, now=now)
    return order


@business_act(result=Suggestion)
def reject(*, actor: Actor, act: RejectAct, key: str, now: datetime) -> Suggestion:
    """Turn a suggestion down with a reason; it comes back only when what it was made from has changed."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    row = open_row(actor, suggestion_id=act.suggestion_id)
    row.state = State.REJECTED
    return _keep(row, reason=act.reason, actor=actor, now=now)


@business_act(result=Suggestion)
def postpone(*, actor: Actor, act: PostponeAct, key: str, now: datetime) -> Suggestion:
    """Put a suggestion off to a later day; it stays open, and what it counts on is planned all the same.

    A later plan that suggests something else puts it back among what is to be decided.
    Refused for a day that is not after today, or after the day on which the material is needed.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    row = open_row(actor, suggestion_id=act.suggestion_id)
    today = firm_days.of(now, actor=actor)
    if not today < act.until <= row.need_date:
        message = _("%(until)s does not do: choose a day after today and up to %(need)s, when it is needed.")
        raise DayRefused(message % {"until": act.until, "need": row.need_date}, field="until")
    row.postponed_until = act.until
    return _keep(row, reason=act.reason, actor=actor, now=now)


def _keep(row: Suggestion, *, reason: str, actor: Actor, now: datetime) -> Suggestion:
    if not reason.strip():
        raise ReasonMissing(_("Say why it is not bought; the reason stays with it."), field="reason")
    row.decided_by_id = actor.person_id
    row.decided_at = now
    row.decision_reason = reason.strip()[:200]
    row.save(update_fields=["state", "postponed_until", "decided_by", "decided_at", "decision_reason"])
    return row


def _bought(actor: Actor, *, choices: tuple[Choice, ...], today: date) -> list[_Bought]:
    if not choices:
        raise NothingChosen(_("Choose what to order first."), field="suggestions")
    if len({choice.suggestion_id for choice in choices}) < len(choices):
        raise NothingChosen(_("A suggestion is chosen twice. Choose each once."), field="suggestions")
    offers = plan_inputs.offers_on(actor, day=today)
    found = []
    for choice in sorted(choices, key=lambda choice: choice.suggestion_id):
        row = open_row(actor, suggestion_id=choice.suggestion_id)
        if row.kind == Suggestion.Kind.MOVE:
            raise Mixed(_("This is to be moved from another site, not ordered. Send it, or turn it down."))
        offer = _offer(row, choice=choice, offers=offers.get(row.material_id, []))
        packs = _packs(row, choice=choice, offer=offer)
        found.append(_Bought(suggestion=row, offer=offer, packs=packs, typed=choice.packs is not None))
    return _with_minimum(found)


def open_row(actor: Actor, *, suggestion_id: int) -> Suggestion:
    """Lock a suggestion that is to be decided; refused when it was decided before."""
    rows = Suggestion.objects.select_related("material", "site").select_for_update(of=("self",))
    row = scope.get(rows, actor, pk=suggestion_id)
    if row.state != State.OPEN:
        message = _("This suggestion is %(state)s by now. Look at the plan again.")
        raise Decided(message % {"state": row.get_state_display()}, state=row.state)
    return row


def _offer(row: Suggestion, *, choice: Choice, offers: list[Offer]) -> Offer:
    """Find the offer to buy by: in the suggested pack where the supplier has it, else the cheapest."""
    supplier_id = choice.supplier_id or row.supplier_id
    fit = [offer for offer in offers if offer.supplier_id == supplier_id]
    if not fit:
        message = _("Nobody chosen offers %(material)s today. Choose a supplier who does, or add an offer.")
        raise NoOffer(message % {"material": row.material.name}, field="supplier", material=row.material.code)
    return min(fit, key=lambda o: (o.pack_id != row.pack_id, Fraction(o.pack_price, o.pack.content), o.pk))


def _packs(row: Suggestion, *, choice: Choice, offer: Offer) -> int:
    """Tell how many packs to order: as typed, as suggested, or as many of another pack as hold as much."""
    packs = -(-row.quantity // offer.pack.content) if choice.packs is None else choice.packs
    if packs < 1:
        _refuse_few(offer, material=row.material.name, packs=packs)
    return packs


def _with_minimum(bought: list[_Bought]) -> list[_Bought]:
    """Hold each offer's minimum for the order as a whole: what lacks comes with the last line not typed."""
    found = list(bought)
    for offer in {one.offer.pk: one.offer for one in bought}.values():
        mine = [at for at, one in enumerate(found) if one.offer.pk == offer.pk]
        packs = sum(found[at].packs for at in mine)
        if packs >= offer.minimum_packs:
            continue
        free = [at for at in mine if not found[at].typed]
        if not free:
            _refuse_few(offer, material=found[mine[0]].suggestion.material.name, packs=packs)
        last = found[free[-1]]
        found[free[-1]] = replace(last, packs=last.packs + offer.minimum_packs - packs)
    return found


def _refuse_few(offer: Offer, *, material: str, packs: int) -> NoReturn:
    message = _("%(supplier)s sells %(least)s packs or more of %(material)s; you asked for %(packs)s.")
    params = {
        "supplier": offer.supplier.name,
        "least": offer.minimum_packs,
        "material": material,
        "packs": packs,
    }
    raise TooFew(message % params, field="packs", **params)


def _order_of(one: _Bought) -> tuple[int, int]:
    return (one.suggestion.site_id, one.offer.supplier_id)


def _order_act(bought: list[_Bought], *, actor: Actor, today: date) -> OrderAct:
    firm = Firm.objects.get(pk=actor.firm_id)
    calendar = Calendar(days_off=frozenset({firm.day_off}))
    wanted = min(date.fromisoformat(one.suggestion.reason["deliver_by"]) for one in bought)
    lead = max(one.offer.lead_days for one in bought)
    earliest = offer_choice.arrival(today, lead_days=lead, calendar=calendar)
    lines = tuple(
        LineAct(
            material_id=one.suggestion.material_id,
            pack_id=one.offer.pack_id,
            packs=one.packs,
            pack_price=one.offer.pack_price,
            pour_id=one.suggestion.pour_id,
        )
        for one in bought
    )
    first = bought[0]
    return OrderAct(
        site_id=first.suggestion.site_id,
        supplier_id=first.offer.supplier_id,
        expected_date=max(wanted, earliest),
        lines=lines,
    )
