"""What the plan suggests to move, sent on its way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from inventory.models import Suggestion, Transfer
from inventory.services import suggestions, transfers
from inventory.services.suggestions import Mixed, NothingChosen
from inventory.services.transfers import DispatchAct
from inventory.services.usage import SlipLineAct
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.services.acts import business_act

State = Suggestion.State


@dataclass(frozen=True)
class SendAct:
    """Moves from one site to another that go as one transfer."""

    suggestion_ids: tuple[int, ...]
    vehicle: str = ""


@business_act(result=Transfer)
def send(*, actor: Actor, act: SendAct, key: str, now: datetime) -> Transfer:
    """Send suggested moves as one transfer, with the freight of one trip.

    Refused when none is chosen, one was decided before, they are between different sites, or the store that
    they leave has less by now.
    """
    actor.require(Permission.PLAN_ORDERS)
    actor.require(Permission.MOVE_STOCK)
    if not act.suggestion_ids or len(set(act.suggestion_ids)) < len(act.suggestion_ids):
        raise NothingChosen(_("Choose what to move first, each once."), field="suggestions")
    rows = [suggestions.open_row(actor, suggestion_id=pk) for pk in sorted(act.suggestion_ids)]
    first = rows[0]
    if any(row.kind != Suggestion.Kind.MOVE or _way(row) != _way(first) for row in rows):
        raise Mixed(_("These are no moves between the same two sites. Send each pair of sites apart."))
    assert first.from_site_id is not None  # noqa: S101 - a database rule: a move has the site it leaves
    sent = DispatchAct(
        from_site_id=first.from_site_id,
        to_site_id=first.site_id,
        happened_at=None,
        lines=tuple(
            SlipLineAct(material_id=row.material_id, amount=Decimal(row.packs), pack_id=row.pack_id)
            for row in rows
        ),
        vehicle=act.vehicle,
        freight_minor=max(int(row.reason["freight_minor"]) for row in rows),
    )
    transfer = transfers.dispatch(actor=actor, act=sent, key=f"{key}:transfer", now=now)
    decided = {
        "state": State.ORDERED,
        "decided_by_id": actor.person_id,
        "decided_at": now,
        "transfer": transfer,
    }
    Suggestion.objects.filter(pk__in=[row.pk for row in rows]).update(**decided)
    return transfer


def _way(row: Suggestion) -> tuple[int | None, int]:
    return (row.from_site_id, row.site_id)
