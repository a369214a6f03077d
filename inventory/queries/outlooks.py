"""How planned pours look by the plan that stands: which may run short, of what, and what still helps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from inventory.models import PourOutlook
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour

MOST_POURS = 12
"""Pours that are named at once, the next ones."""

WORTH_SAYING_PPM = 50_000
"""A chance of running short from which a letter names the pour, by judgement: one in twenty."""


@dataclass(frozen=True)
class PourLook:
    """A pour and how it looks; None when the plan knows no needs of it."""

    pour: Pour
    outlook: PourOutlook | None


def coming(actor: Actor) -> list[PourLook]:
    """Which planned pours come next, and how do they look."""
    return [PourLook(row.pour, row) for row in _planned(actor)[:MOST_POURS]]


def doubtful(actor: Actor, *, until: date) -> list[PourLook]:
    """Which pours up to a day are likely enough to run short that a letter should say so."""
    rows = _planned(actor).filter(pour__pour_date__lte=until, most_ppm__gte=WORTH_SAYING_PPM)
    return [
        PourLook(row.pour, row)
        for row in rows[:MOST_POURS]
        if row.short_ppm is not None and row.short_ppm >= WORTH_SAYING_PPM
    ]


def one(actor: Actor, pour_id: int) -> PourLook:
    """How does this pour look; refused with NotFound when it is not the actor's to see."""
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, pk=pour_id)
    return PourLook(pour, _planned(actor).filter(pour=pour).first())


def _planned(actor: Actor) -> QuerySet[PourOutlook]:
    rows = scope.visible(PourOutlook.objects.filter(pour__state=Pour.State.PLANNED), actor)
    return rows.select_related("pour__slab__site", "worst", "run").order_by("pour__pour_date", "pour_id")
