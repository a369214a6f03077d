"""What works of the sites beside their pours use of each material, as the ledger has it or the firm says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, Q, Subquery

from estimates.models import Material
from inventory.calc.reorder import background
from inventory.models import OtherUse, Place
from inventory.models.ledger import Movement
from inventory.queries.plan_needs import Slot
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Firm, Site

WITHOUT_POUR = (Place.Kind.OTHER_WORK, Place.Kind.WASTE, Place.Kind.COUNT)
"""Where material goes from a store when no pour has it."""


@dataclass(frozen=True)
class Use:
    """What other works of a site use of a material.

    `weeks` are those of the ledger, the latest last; `own` is the firm's own figure.
    """

    material: Material
    weeks: tuple[int, ...]
    own: OtherUse | None

    @property
    def found(self) -> int:
        """The mean of the weeks, in stock units."""
        return background.mean_of_weeks(self.weeks)

    @property
    def a_week(self) -> int:
        """What the plan takes, in stock units."""
        return self.found if self.own is None else self.own.a_week


def of_firm(actor: Actor, *, today: date) -> dict[Slot, Use]:
    """Return what is used beside pours, by site and material, in a fixed number of queries."""
    return _uses(actor, today=today)


def of_site(actor: Actor, *, site_id: int, today: date) -> list[Use]:
    """List what a site uses beside its pours, by material; refused when the site is not the actor's."""
    scope.get(Site.objects.all(), actor, pk=site_id)
    found = _uses(actor, today=today, site_id=site_id)
    return sorted(found.values(), key=lambda use: (use.material.name, use.material.pk))


def _uses(actor: Actor, *, today: date, site_id: int | None = None) -> dict[Slot, Use]:
    zone = ZoneInfo(Firm.objects.get(pk=actor.firm_id).time_zone)
    since = datetime.combine(today - timedelta(days=7 * background.WEEKS), time(), tzinfo=zone)
    rows = scope.visible(OtherUse.objects.select_related("material", "set_by"), actor)
    own = {(row.site_id, row.material_id): row for row in rows.order_by("id")}
    first = _first_days(actor, zone=zone)
    used: dict[Slot, list[tuple[date, int]]] = defaultdict(list)
    materials = {slot: row.material for slot, row in own.items()}
    for move in _moves(actor, since=since):
        gone = move.source.kind == Place.Kind.STORE
        store = move.source if gone else move.target
        slot = (store.site_id or 0, move.material_id)
        day = move.happened_at.astimezone(zone).date()
        used[slot].append((day, move.quantity if gone else -move.quantity))
        materials[slot] = move.material
    return {
        slot: Use(
            material=materials[slot],
            weeks=tuple(background.by_week(used.get(slot, ()), first=first.get(slot[0], today), today=today)),
            own=own.get(slot),
        )
        for slot in sorted(materials)
        if site_id in {None, slot[0]}
    }


def _first_days(actor: Actor, *, zone: ZoneInfo) -> dict[int, date]:
    """Return the day from which each site's store has a record."""
    into = Movement.objects.filter(target=OuterRef("pk")).order_by("recorded_at")
    stores = scope.visible(Place.objects.filter(kind=Place.Kind.STORE), actor)
    rows = stores.annotate(first=Subquery(into.values("recorded_at")[:1])).order_by("id")
    return {
        site_id: first.astimezone(zone).date()
        for site_id, first in rows.values_list("site_id", "first")
        if site_id is not None and first is not None
    }


def _moves(actor: Actor, *, since: datetime) -> Iterable[Movement]:
    """Return what went from stores to no pour, and what came back of it; reversed entries cancel out."""
    elsewhere = scope.visible(Place.objects.filter(kind__in=WITHOUT_POUR), actor)
    ids = list(elsewhere.order_by("id").values_list("pk", flat=True))
    store = Place.Kind.STORE
    ends = Q(target_id__in=ids, source__kind=store) | Q(source_id__in=ids, target__kind=store)
    rows = Movement.objects.filter(ends, happened_at__gte=since, pour=None, reverses=None, reversed_by=None)
    return scope.visible(rows, actor).select_related("source", "target", "material").order_by("id")
