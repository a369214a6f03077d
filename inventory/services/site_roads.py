"""Roads between sites: what a trip and a tonne cost there, for the moves that the plan suggests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.models import SiteRoad
from inventory.services import replan
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Site
from projects.services.acts import business_act

MOST_MINOR = 10**13


class BadRoad(Refused):
    """A road that leads nowhere, or a figure out of reason."""

    code = "bad_road"


@dataclass(frozen=True)
class RoadAct:
    """A road, there and back unless the way back has figures of its own; minor units.

    Without `trip_minor` a trip costs what the firm says of any trip, and nothing is paid by the tonne.
    """

    from_site_id: int
    to_site_id: int
    trip_minor: int | None = None
    tonne_minor: int = 0


@business_act(result=SiteRoad)
def set_road(*, actor: Actor, act: RoadAct, key: str, now: datetime) -> SiteRoad:
    """Set what it costs to move goods between two sites, and ask for a new plan.

    Refused for a site to itself, for a figure out of its bounds, and for tonnes without a trip.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    source = scope.get(Site.objects.all(), actor, pk=act.from_site_id)
    target = scope.get(Site.objects.all(), actor, pk=act.to_site_id)
    if source == target:
        raise BadRoad(_("A road leads to another site. Choose two."), field="to_site_id")
    for field in ("trip_minor", "tonne_minor"):
        value = getattr(act, field)
        if value is not None and not 0 <= value <= MOST_MINOR:
            message = _("%(value)s must lie between 0 and %(most)s. Correct it.")
            raise BadRoad(message % {"value": value, "most": MOST_MINOR}, field=field)
    if act.trip_minor is None and act.tonne_minor:
        message = _("Say what a trip costs as well, 0 when only the tonnes are paid.")
        raise BadRoad(message, field="trip_minor")
    figures = {"trip_minor": act.trip_minor, "tonne_minor": act.tonne_minor}
    row, _made = SiteRoad.objects.update_or_create(from_site=source, to_site=target, defaults=figures)
    replan.soon(actor.firm_id, now=now)
    return row
