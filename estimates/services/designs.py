"""Designs: the sheet of a slab as saved, one revision after the other, never edited."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from estimates.calc import bill
from estimates.calc.reading import reader as sheets
from estimates.calc.reading.reader import DesignSheet
from estimates.models import Design
from estimates.queries import designs as rows
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Faulty, Stale
from projects.models import Drawing, Slab
from projects.services import drawings
from projects.services.acts import business_act
from projects.services.drawings import DrawingAct


class SlabFinished(Stale):
    """The slab's account is closed."""

    code = "slab_finished"


@dataclass(frozen=True)
class DesignAct:
    """A design sheet for a slab, as JSON object: the same whether typed, sent or uploaded."""

    slab_id: int
    sheet: Mapping[str, Any]


@business_act(result=Design)
def save(*, actor: Actor, act: DesignAct, key: str, now: datetime) -> Design:
    """Save a design sheet as the slab's next design; the sheet of its latest design gives that one again.

    Refused with every fault of the sheet, and when the slab is finished.
    """
    del key
    actor.require(Permission.EDIT_DESIGNS)
    slab = scope.get(Slab.objects.select_for_update(), actor, pk=act.slab_id)
    if slab.closed_at is not None:
        raise SlabFinished(_("This slab is finished; it takes no new design. Add a new slab for new work."))
    faults = rows.faults_of(act.sheet)
    if faults:
        raise Faulty(_("The design sheet has faults; nothing was saved."), faults=faults)
    sheet = sheets.read(act.sheet)
    plain = json.loads(sheets.to_json(sheet))
    digest = bill.digest(sheet)
    latest = slab.designs.order_by("-number").first()
    if latest is not None and latest.digest == digest:
        return latest
    return Design.objects.create(
        slab=slab,
        drawing=_drawing(sheet, slab=slab, actor=actor, now=now),
        number=latest.number + 1 if latest else 1,
        sheet=plain,
        digest=digest,
        created_by_id=actor.person_id,
        created_at=now,
    )


def _drawing(sheet: DesignSheet, *, slab: Slab, actor: Actor, now: datetime) -> Drawing:
    reference = sheet.drawing
    assert reference.dated is not None  # noqa: S101 - a sheet without the date has a fault
    act = DrawingAct(
        site_id=slab.site_id,
        number=reference.number,
        revision=reference.revision,
        dated=reference.dated,
        engineer=reference.engineer,
        title=sheet.slab,
    )
    return drawings.receive(actor=actor, act=act, now=now)
