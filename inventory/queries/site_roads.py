"""Roads between the firm's sites."""

from __future__ import annotations

from inventory.calc.reorder.market import Road
from inventory.models import SiteRoad
from projects.access import scope
from projects.access.actor import Actor

RATE = 10_000
"""1/10,000 minor units in a minor unit."""


def listing(actor: Actor) -> list[SiteRoad]:
    """Which roads have figures of their own, by the names of their sites."""
    rows = scope.visible(SiteRoad.objects.exclude(trip_minor=None), actor)
    return list(
        rows.select_related("from_site", "to_site").order_by("from_site__name", "to_site__name", "id")
    )


def of_plan(actor: Actor) -> dict[tuple[int, int], Road]:
    """Give each road as the plan takes it; the way back costs the same unless it has figures of its own."""
    found: dict[tuple[int, int], Road] = {}
    back: dict[tuple[int, int], Road] = {}
    for row in listing(actor):
        road = Road(trip=(row.trip_minor or 0) * RATE, tonne=row.tonne_minor * RATE)
        found[row.from_site_id, row.to_site_id] = road
        back[row.to_site_id, row.from_site_id] = road
    return back | found
