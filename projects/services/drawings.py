"""Drawings as received from the engineer's office."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Drawing, Site


class DrawingDiffers(Refused):
    """The same number and revision is on record with another date or engineer."""

    code = "drawing_differs"
    status = 409


@dataclass(frozen=True)
class DrawingAct:
    """One revision of a drawing."""

    site_id: int
    number: str
    revision: str
    dated: date
    engineer: str
    title: str = ""


def receive(*, actor: Actor, act: DrawingAct, now: datetime) -> Drawing:
    """Record a drawing's revision once, inside the caller's act; the same one again is the same row.

    Refused when this number and revision is on record with another date or engineer: a changed drawing
    needs a new revision.
    """
    actor.require(Permission.EDIT_DESIGNS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    row, _created = Drawing.objects.get_or_create(
        site=site,
        number=act.number,
        revision=act.revision,
        defaults={
            "dated": act.dated,
            "engineer": act.engineer,
            "title": act.title,
            "received_at": now,
        },
    )
    if (row.dated, row.engineer) != (act.dated, act.engineer):
        message = _(
            "Drawing %(number)s revision %(revision)s is on record as dated %(dated)s by %(engineer)s. "
            "A changed drawing needs a new revision letter; ask the engineer."
        ) % {
            "number": row.number,
            "revision": row.revision,
            "dated": row.dated.isoformat(),
            "engineer": row.engineer,
        }
        raise DrawingDiffers(message, field="drawing")
    return row
