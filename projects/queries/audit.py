"""The record of acts, for the owner: who did what, when it happened and was recorded, from which device."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import reduce
from operator import or_

from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import AuditEntry, Person, Site

LIMIT = 50
MOST = 200

KINDS = {
    "receipts": (_("receipts"), ("deliveries", "quarantine", "papers")),
    "hire": (_("things on hire"), ("hire",)),
    "slips": (_("slips and transfers"), ("usage", "opening", "opening_book", "transfers", "issuing")),
    "offline": (_("written offline"), ("offline",)),
    "counts": (_("counts"), ("counts", "count_approval")),
    "buying": (
        _("suppliers and orders"),
        (
            "suppliers",
            "supplier_terms",
            "site_roads",
            "orders",
            "opening_orders",
            "suggestions",
            "planning",
            "other_use",
            "enquiries",
            "quotations",
        ),
    ),
    "money": (_("bills and payments"), ("supplier_bills", "opening_bills", "payments", "rates")),
    "design": (_("designs and bills of quantities"), ("designs", "bills", "figures", "materials", "intakes")),
    "steel": (_("cutting"), ("asking", "reserving", "bench", "settings")),
    "pours": (_("slabs and pours"), ("slabs", "pours", "drawings")),
    "people": (_("sites and people"), ("sites", "people", "jobs", "holidays")),
}
"""Kinds of acts by the services that do them; what stands in none is listed under all acts."""


class BadCursor(Refused):
    """The address of a page of the list that the list never gave."""

    code = "bad_cursor"


@dataclass(frozen=True)
class Wanted:
    """Which acts: of a person, a site, a kind, recorded from `since` on and before `until`."""

    person_id: int | None = None
    site_id: int | None = None
    kind: str = ""
    since: datetime | None = None
    until: datetime | None = None
    after: str = ""
    limit: int = LIMIT


@dataclass(frozen=True)
class Page:
    """Some acts, the latest first; `after` is the address of the next ones, empty at the end."""

    rows: tuple[AuditEntry, ...]
    after: str


def acts(actor: Actor, *, wanted: Wanted) -> Page:
    """List the acts of the firm, the last recorded first, paged by key; refused without the right to."""
    actor.require(Permission.SEE_AUDIT)
    rows = scope.visible(AuditEntry.objects.all(), actor).select_related("person", "site")
    limit = max(1, min(wanted.limit, MOST))
    listed = list(rows.filter(_asked(wanted)).order_by("-recorded_at", "-pk")[: limit + 1])
    more = len(listed) > limit
    last = listed[limit - 1] if more else None
    return Page(rows=tuple(listed[:limit]), after=f"{last.recorded_at.isoformat()}_{last.pk}" if last else "")


def people(actor: Actor) -> list[Person]:
    """List everybody who ever belonged to the firm, by name."""
    actor.require(Permission.SEE_AUDIT)
    return list(scope.visible(Person.objects.all(), actor).distinct().order_by("name", "pk"))


def sites(actor: Actor) -> list[Site]:
    """List the firm's sites, closed ones too, by name."""
    actor.require(Permission.SEE_AUDIT)
    return list(scope.visible(Site.objects.all(), actor).order_by("name", "pk"))


def _asked(wanted: Wanted) -> Q:
    asked = Q()
    if wanted.person_id is not None:
        asked &= Q(person_id=wanted.person_id)
    if wanted.site_id is not None:
        asked &= Q(site_id=wanted.site_id)
    if wanted.kind in KINDS:
        asked &= reduce(or_, (Q(act__startswith=f"{name}.") for name in KINDS[wanted.kind][1]))
    if wanted.since is not None:
        asked &= Q(recorded_at__gte=wanted.since)
    if wanted.until is not None:
        asked &= Q(recorded_at__lt=wanted.until)
    return asked & _later(wanted.after)


def _later(cursor: str) -> Q:
    """Build the condition for rows that come after the cursor; refused when the list never gave it."""
    if not cursor:
        return Q()
    moment, _sign, pk = cursor.rpartition("_")
    try:
        when, number = datetime.fromisoformat(moment), int(pk)
        when.astimezone(UTC)
    except (ValueError, OverflowError):
        when, number = datetime.min, 0  # noqa: DTZ901 - refused below for having no zone
    if when.tzinfo is None or not 0 < number < 10**18:
        message = _("This page of the list does not exist. Start at its beginning.")
        raise BadCursor(str(message), field="after")
    return Q(recorded_at__lte=when) & (Q(recorded_at__lt=when) | Q(pk__lt=number))
