"""What people decide on the plan: order what it suggests, in other packs or elsewhere, or turn it down."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime
from fractions import Fraction
from typing import NoReturn

from django.utils.translation import gettext as _

from inventory.calc.reorder import offers as offer_choice
from inventory.models import Offer, PurchaseOrder, RateAgreement, Suggestion
from inventory.queries import plan_market, plan_offers
from inventory.services import firm_days, orders, replan, texts
from inventory.services.orders import LineAct, OrderAct
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
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


class BelowLeast(Refused):
    """The supplier takes no order of so little."""

    code = "below_least_order"


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
    """A suggestion with what it is bought by: an offer, or an agreed rate that it is called off from."""

    suggestion: Suggestion
    source: Offer | RateAgreement
    packs: int
    typed: bool

    @property
    def least(self) -> int:
        """Packs below which the supplier sells none."""
        return self.source.minimum_packs if isinstance(self.source, Offer) else 1

    @property
    def key(self) -> tuple[bool, int]:
        """Tells offers and agreed rates apart."""
        return (isinstance(self.source, RateAgreement), self.source.pk)


@business_act(result=PurchaseOrder)
def approve(*, actor: Actor, act: ApproveAct, key: str, now: datetime) -> PurchaseOrder:
    """Turn suggestions of one site and supplier into an approved order.

    Its lines are priced at the break that their packs reach, or called off at the agreed rate; it bears the
    charge for its trucks. Above the actor's limit it stays a draft that waits for the owner. Refused when a
    suggestion was decided before, nobody offers the material, the suggestions do not fit into one order, or
    the supplier takes no order of so little.
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
    _require_least(order, actor=actor)
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
    offers = plan_offers.offers_on(actor, day=today)
    found = []
    for choice in sorted(choices, key=lambda choice: choice.suggestion_id):
        row = open_row(actor, suggestion_id=choice.suggestion_id)
        if row.kind == Suggestion.Kind.MOVE:
            raise Mixed(_("This is to be moved from another site, not ordered. Send it, or turn it down."))
        source = _source(row, choice=choice, offers=offers.get(row.material_id, []))
        packs = _packs(row, choice=choice, source=source)
        found.append(_Bought(suggestion=row, source=source, packs=packs, typed=choice.packs is not None))
    return _with_minimum(found)


def open_row(actor: Actor, *, suggestion_id: int) -> Suggestion:
    """Lock a suggestion that is to be decided; refused when it was decided before."""
    roads = ("material", "site", "agreement__supplier", "agreement__pack")
    rows = Suggestion.objects.select_related(*roads).select_for_update(of=("self",))
    row = scope.get(rows, actor, pk=suggestion_id)
    if row.state != State.OPEN:
        message = _("This suggestion is %(state)s by now. Look at the plan again.")
        raise Decided(message % {"state": row.get_state_display()}, state=row.state)
    return row


def _source(row: Suggestion, *, choice: Choice, offers: list[Offer]) -> Offer | RateAgreement:
    """Find what to buy by: the agreed rate, or an offer, in the suggested pack where the supplier has it."""
    supplier_id = choice.supplier_id or row.supplier_id
    if row.agreement is not None and supplier_id == row.supplier_id:
        return row.agreement
    fit = [offer for offer in offers if offer.supplier_id == supplier_id]
    if not fit:
        message = _("Nobody chosen offers %(material)s today. Choose a supplier who does, or add an offer.")
        raise NoOffer(message % {"material": row.material.name}, field="supplier", material=row.material.code)
    return min(fit, key=lambda o: (o.pack_id != row.pack_id, Fraction(o.pack_price, o.pack.content), o.pk))


def _packs(row: Suggestion, *, choice: Choice, source: Offer | RateAgreement) -> int:
    """Tell how many packs to order: as typed, as suggested, or as many of another pack as hold as much."""
    packs = -(-row.quantity // source.pack.content) if choice.packs is None else choice.packs
    if packs < 1:
        _refuse_few(source.supplier.name, least=1, material=row.material.name, packs=packs)
    return packs


def _with_minimum(bought: list[_Bought]) -> list[_Bought]:
    """Hold each offer's minimum for the order as a whole: what lacks comes with the last line not typed."""
    found = list(bought)
    for first in {one.key: one for one in bought}.values():
        mine = [at for at, one in enumerate(found) if one.key == first.key]
        packs = sum(found[at].packs for at in mine)
        if packs >= first.least:
            continue
        free = [at for at in mine if not found[at].typed]
        if not free:
            name, material = first.source.supplier.name, first.suggestion.material.name
            _refuse_few(name, least=first.least, material=material, packs=packs)
        last = found[free[-1]]
        found[free[-1]] = replace(last, packs=last.packs + first.least - packs)
    return found


def _refuse_few(supplier: str, *, least: int, material: str, packs: int) -> NoReturn:
    message = _("%(supplier)s sells %(least)s packs or more of %(material)s; you asked for %(packs)s.")
    params = {"supplier": supplier, "least": least, "material": material, "packs": packs}
    raise TooFew(message % params, field="packs", **params)


def _require_least(order: PurchaseOrder, *, actor: Actor) -> None:
    """Refuse an order whose goods are below what its supplier takes."""
    goods, supplier = order.total_minor - order.freight_minor, order.supplier
    if goods >= supplier.least_order_minor or supplier.is_client:
        return
    message = _(
        "%(supplier)s takes orders from %(least)s on; this comes to %(goods)s. Order more of it at once, or "
        "buy elsewhere."
    )
    least = supplier.least_order_minor
    words = {"least": texts.money(least, actor=actor), "goods": texts.money(goods, actor=actor)}
    name = {"supplier": supplier.name}
    raise BelowLeast(message % (words | name), least_minor=least, goods_minor=goods)


def _order_of(one: _Bought) -> tuple[int, int]:
    return (one.suggestion.site_id, one.source.supplier_id)


def _order_act(bought: list[_Bought], *, actor: Actor, today: date) -> OrderAct:
    first = bought[0]
    wanted = min(date.fromisoformat(one.suggestion.reason["deliver_by"]) for one in bought)
    earliest = offer_choice.arrival(
        today,
        lead_days=max(one.source.lead_days for one in bought),
        calendar=plan_market.calendar(actor),
        seller=plan_market.seller(first.source.supplier),
    )
    packs: Counter[tuple[bool, int]] = Counter()
    for one in bought:
        packs[one.key] += one.packs
    lines = tuple(_line(one, of_source=packs[one.key]) for one in bought)
    return OrderAct(
        site_id=first.suggestion.site_id,
        supplier_id=first.source.supplier_id,
        expected_date=max(wanted, earliest),
        lines=lines,
    )


def _line(one: _Bought, *, of_source: int) -> LineAct:
    """A line at the agreed rate, or at the price that all packs of its offer in the order come to."""
    source = one.source
    offered = isinstance(source, Offer)
    return LineAct(
        material_id=one.suggestion.material_id,
        pack_id=source.pack_id,
        packs=one.packs,
        pack_price=plan_offers.price_of(source, packs=of_source) if isinstance(source, Offer) else None,
        pour_id=one.suggestion.pour_id,
        agreement_id=None if offered else source.pk,
    )
