"""What would the plan be if: a pour moved, a supplier slower, a price changed. Nothing of it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from estimates.models import Material
from estimates.services import requirements
from inventory.calc.reorder import firm
from inventory.models import Offer, PlanRun, Suggestion, Supplier
from inventory.services import proposing
from inventory.services.proposing import Facts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Pour

MOST_ITEMS: Final = 600
"""Materials on sites that are planned twice while a person waits."""


class NothingChanged(Refused):
    """No change was given to look at."""

    code = "nothing_changed"


class TooMuch(Refused):
    """The change touches more sites than can be planned while a person waits."""

    code = "too_much_at_once"


class PourDone(Refused):
    """The pour is placed already, so that moving it means nothing."""

    code = "wrong_state"


@dataclass(frozen=True, kw_only=True)
class Change:
    """What is to be different; what is None stays.

    `price_percent` is of today's price: 200 doubles it.
    """

    pour_id: int | None = None
    pour_date: date | None = None
    supplier_id: int | None = None
    lead_days: int | None = None
    material_id: int | None = None
    price_percent: int | None = None


@dataclass(frozen=True)
class Pair:
    """A suggestion as it is now and as it would be; None where there is none."""

    now: Suggestion | None
    then: Suggestion | None

    @property
    def row(self) -> Suggestion:
        """Whichever of the two is there."""
        found = self.now or self.then
        assert found is not None  # noqa: S101 - a pair has one of them
        return found


@dataclass(frozen=True)
class Beside:
    """Two plans side by side: what differs, how many rows stay, what each orders for [minor units].

    `sites` names those that were planned when the firm is too large to plan as a whole, else it is None.
    """

    pairs: tuple[Pair, ...]
    same: int
    now_minor: int
    then_minor: int
    sites: tuple[int, ...] | None


def compare(*, actor: Actor, change: Change, now: datetime) -> Beside:
    """Plan the firm as it is and as it would be.

    The change is made in a transaction that is taken back once the facts are read, so that needs follow from
    the pour's date by the same rules as ever. A firm too large to wait for is planned only where the facts
    differ; `sites` then names those sites.
    """
    actor.require(Permission.PLAN_ORDERS)
    before = proposing.gather(actor, now=now)
    with transaction.atomic():
        _make(change, actor=actor, now=now)
        after = proposing.gather(actor, now=now)
        transaction.set_rollback(True)
    sites = None
    if len(after.items) > MOST_ITEMS:
        sites = _differing(before, after)
        before, after = before.of_sites(sites), after.of_sites(sites)
        if len(after.items) > MOST_ITEMS:
            message = _("This touches %(sites)s sites, too many to wait for. Look at one pour at a time.")
            raise TooMuch(message % {"sites": len(sites)})
    old, new = (_rows(actor, facts=facts) for facts in (before, after))
    slots = sorted({*old, *new}, key=lambda slot: (slot[1], slot[2], slot[3], slot[0], slot[5]))
    pairs = [Pair(old.get(slot), new.get(slot)) for slot in slots]
    differing = tuple(pair for pair in pairs if not proposing.same_terms(pair.now, pair.then))
    return Beside(
        pairs=differing,
        same=len(pairs) - len(differing),
        now_minor=_ordered(old),
        then_minor=_ordered(new),
        sites=tuple(sorted(sites)) if sites is not None else None,
    )


def _rows(actor: Actor, *, facts: Facts) -> dict[tuple[Any, ...], Suggestion]:
    run = PlanRun(firm_id=actor.firm_id, for_date=facts.today)
    plan = firm.first(facts.planned, market=facts.market, today=facts.today)
    seen = proposing.looks(facts, plan=plan)
    return proposing.slots(proposing.rows(actor, facts=facts, plan=plan, run=run, seen=seen))


def _ordered(rows: Mapping[tuple[Any, ...], Suggestion]) -> int:
    return sum(row.amount_minor or 0 for row in rows.values())


def _differing(before: Facts, after: Facts) -> set[int]:
    one, other = (
        {(item.plan.site_id, item.material.pk): item.digest for item in facts.items}
        for facts in (before, after)
    )
    return {slot[0] for slot in {*one, *other} if one.get(slot) != other.get(slot)}


def _make(change: Change, *, actor: Actor, now: datetime) -> None:
    made = [
        _move(change, actor=actor, now=now),
        _slow(change, actor=actor),
        _reprice(change, actor=actor),
    ]
    if not any(made):
        raise NothingChanged(_("Say what is to be different: a pour's day, a supplier's time, or a price."))


def _move(change: Change, *, actor: Actor, now: datetime) -> bool:
    if change.pour_id is None or change.pour_date is None:
        return False
    pour = scope.get(Pour.objects.all(), actor, pk=change.pour_id)
    if pour.state != Pour.State.PLANNED:
        message = _("This pour is %s; its date can no longer be moved.") % pour.get_state_display()
        raise PourDone(message, field="pour_id")
    Pour.objects.filter(pk=pour.pk).update(pour_date=change.pour_date)
    requirements.derive(actor=actor, now=now)
    return True


def _slow(change: Change, *, actor: Actor) -> bool:
    if change.supplier_id is None or change.lead_days is None:
        return False
    supplier = scope.get(Supplier.objects.all(), actor, pk=change.supplier_id)
    Offer.objects.filter(supplier=supplier).update(lead_days=change.lead_days)
    return True


def _reprice(change: Change, *, actor: Actor) -> bool:
    if change.material_id is None or change.price_percent is None:
        return False
    material = scope.get(Material.objects.all(), actor, pk=change.material_id)
    rows = Offer.objects.filter(material=material)
    offers = list(scope.visible(rows, actor))
    for offer in offers:
        offer.pack_price = offer.pack_price * change.price_percent // 100
    Offer.objects.bulk_update(offers, ["pack_price"])
    return True
