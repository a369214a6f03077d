"""Pours: planned, moved, done and closed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Sum
from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Pour, Slab
from projects.services import outbox
from projects.services.acts import business_act

WHOLE = 1_000_000


class WrongState(Stale):
    """The slab or pour is past the state in which this can be done."""

    code = "wrong_state"


class ShareTooLarge(Refused):
    """The pours of a slab would be more than the slab."""

    code = "share_too_large"


@dataclass(frozen=True)
class PourAct:
    """A pour to plan; the share is the part of the slab's volume, in millionths."""

    slab_id: int
    name: str
    pour_date: date
    share_ppm: int = WHOLE


@dataclass(frozen=True)
class MoveAct:
    """A new date for a planned pour."""

    pour_id: int
    pour_date: date


@dataclass(frozen=True)
class PouredAct:
    """A pour that was placed."""

    pour_id: int
    poured_at: datetime


@dataclass(frozen=True)
class ClosingAct:
    """A pour whose returns and waste are recorded."""

    pour_id: int


@business_act(result=Pour)
def plan(*, actor: Actor, act: PourAct, key: str, now: datetime) -> Pour:
    """Plan a pour of a slab; refused when the pours together would exceed the slab."""
    del key
    actor.require(Permission.PLAN_POURS)
    slab = scope.get(Slab.objects.select_for_update(), actor, pk=act.slab_id)
    if slab.closed_at is not None:
        raise WrongState(_("This slab is finished; no pour can be added."))
    if slab.pours.filter(name=act.name).exists():
        raise WrongState(_("This slab has a pour called “%s” already.") % act.name, field="name")
    taken = slab.pours.aggregate(total=Sum("share_ppm"))["total"] or 0
    if not 0 < act.share_ppm <= WHOLE - taken:
        message = _("Share %(share)s %% is more than what is left of the slab, %(left)s %%.") % {
            "share": act.share_ppm / 10_000,
            "left": (WHOLE - taken) / 10_000,
        }
        raise ShareTooLarge(message, field="share", left_ppm=WHOLE - taken)
    pour = Pour.objects.create(slab=slab, name=act.name, pour_date=act.pour_date, share_ppm=act.share_ppm)
    _ask_for_needs(actor=actor, now=now)
    return pour


@business_act(result=Pour)
def move(*, actor: Actor, act: MoveAct, key: str, now: datetime) -> Pour:
    """Move a planned pour to another date; its needs move with it."""
    del key
    actor.require(Permission.PLAN_POURS)
    pour = scope.get(Pour.objects.select_for_update(of=("self",)), actor, pk=act.pour_id)
    if pour.state != Pour.State.PLANNED:
        raise WrongState(_("This pour is %s; its date can no longer be moved.") % pour.get_state_display())
    pour.pour_date = act.pour_date
    pour.save(update_fields=["pour_date"])
    _ask_for_needs(actor=actor, now=now)
    return pour


@business_act(result=Pour)
def mark_poured(*, actor: Actor, act: PouredAct, key: str, now: datetime) -> Pour:
    """Record that a pour was placed; refused for a time to come."""
    del key
    actor.require(Permission.LOG_POURS)
    pour = scope.get(Pour.objects.select_for_update(of=("self",)), actor, pk=act.pour_id)
    if pour.state != Pour.State.PLANNED:
        raise WrongState(_("This pour is %s already.") % pour.get_state_display())
    if act.poured_at > now:
        raise Refused(_("The time of placing lies in the future. Check the date."), field="poured_at")
    pour.state = Pour.State.POURED
    pour.poured_at = act.poured_at
    pour.pour_date = act.poured_at.astimezone(ZoneInfo(actor.time_zone)).date()
    pour.save(update_fields=["state", "poured_at", "pour_date"])
    _ask_for_needs(actor=actor, now=now)
    return pour


@business_act(result=Pour)
def close(*, actor: Actor, act: ClosingAct, key: str, now: datetime) -> Pour:
    """Close a placed pour once its returns and waste are recorded."""
    del key
    actor.require(Permission.LOG_POURS)
    pour = scope.get(Pour.objects.select_for_update(of=("self",)), actor, pk=act.pour_id)
    if pour.state != Pour.State.POURED:
        message = _("This pour is %s; only a pour that was placed can be closed.")
        raise WrongState(message % pour.get_state_display())
    pour.state = Pour.State.CLOSED
    pour.closed_at = now
    pour.save(update_fields=["state", "closed_at"])
    _ask_for_needs(actor=actor, now=now)
    return pour


def _ask_for_needs(*, actor: Actor, now: datetime) -> None:
    outbox.ask_soon(firm_id=actor.firm_id, job="estimates.requirements", now=now)
